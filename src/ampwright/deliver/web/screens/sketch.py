"""The sketch of the site as it is typed: what stands in it, drawn on plan, and a form for each thing."""

from __future__ import annotations

import re
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from ampwright.assess.route.faults import faults_of
from ampwright.deliver.drawing.sketch_view import sketch_svg
from ampwright.deliver.store.store import OperationReused
from ampwright.deliver.store.values import Values, value_at
from ampwright.deliver.web.contexts import Head
from ampwright.deliver.web.controls import Control
from ampwright.deliver.web.look import error_page, show
from ampwright.deliver.web.screens.forms import Faults, faults_in_words
from ampwright.deliver.web.screens.sketch_forms import KINDS, PLACES, Rows, asked, told
from ampwright.deliver.web.site import Form, Here, Site, Typed, base_of, head, how, kept, operation_of, see
from ampwright.job.files import BadJobFile
from ampwright.working import capital

router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, slots=True)
class Group:
    """What the sketch has of one kind: the address of each and what it is called; the address of a new one."""

    heading: str
    things: tuple[tuple[str, str], ...]
    add: str
    item: str


@dataclass(frozen=True, slots=True)
class SketchPage:
    """What stands in the sketch by kinds, and what keeps a way from being sought on it."""

    head: Head
    groups: tuple[Group, ...]
    faults: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ThingPage:
    """The form of one thing. `place` is its path in the record; `there` whether it is in the sketch yet."""

    head: Head
    place: str
    title: str
    there: bool
    boxes: tuple[Control, ...]
    rows: tuple[Rows, ...]
    walls: tuple[str, ...]
    base: int
    operation: str
    faults: tuple[str, ...] = ()


@router.get("/jobs/{name}/sketch")
def sketch(request: Request, site: Here, name: str) -> Response:
    """The page of all things drawn."""
    job, base = site.store.read(name)
    values = site.store.values(name, base)
    groups = tuple(_group(values, kind) for kind in KINDS)
    placed = tuple((f"places/{each}", f"{words}{'' if value_at(values, f'sketch.{each}') else ' (not placed yet)'}")
                   for each, words in PLACES.items())  # fmt: skip
    found = () if job.sketch == type(job.sketch)() else faults_of(job)
    groups = (groups[0], Group("Where things are", placed, "", ""), *groups[1:])
    return show(request, "sketch", SketchPage(head(name, job), groups, faults_in_words(found)))


@router.get("/jobs/{name}/sketch/plan.svg")
def plan(site: Here, name: str) -> Response:
    """The plan of the sketch, faults and all."""
    return Response(sketch_svg(site.store.read(name)[0].sketch), media_type="image/svg+xml")


@router.get("/jobs/{name}/sketch/{kind}/{which}")
def thing(request: Request, site: Here, name: str, kind: str, which: str) -> Response:
    """The form of one thing, or of a new one."""
    base = site.store.read(name)[1]
    place = _place(site.store.values(name, base), kind, which)
    return show(request, "sketch_thing", _thing(site, name, place, base)) if place else _none(request)


@router.post("/jobs/{name}/sketch/{kind}/{which}")
def save(request: Request, site: Here, name: str, kind: str, which: str, typed: Form) -> Response:
    """Keep what the form says, and go back to the sketch."""
    base = base_of(typed)
    site.store.read(name, base)
    values = site.store.values(name, base)
    place = _place(values, kind, which)
    if not place:
        return _none(request)
    try:
        new = told(values, place, typed)
        if new and site.store.change(name, new, base=base, **how(site, typed)).held:
            return kept(name, typed)
        return see(f"/jobs/{name}/sketch")
    except BadJobFile as bad:
        return show(request, "sketch_thing", _thing(site, name, place, base, typed, bad.faults), 422)
    except OperationReused as wrong:
        return error_page(request, 409, "This was saved before", capital(str(wrong)) + ".")


def things(values: Values) -> tuple[str, ...]:
    """The addresses under a job's sketch that have a form: each place and thing, and the next of each kind."""
    numbered = (f"{kind}/{number}" for kind in KINDS for number in range(len(_things(values, kind)) + 1))
    return (*(f"places/{each}" for each in PLACES), *numbered)


def _none(request: Request) -> Response:
    return error_page(request, 404, "There is no such thing in the sketch", "The page of the sketch lists what is.")


def _place(values: Values, kind: str, which: str) -> str:
    """The path of a thing, of the next one of its kind, or nothing."""
    if kind == "places":
        return f"sketch.{which}" if which in PLACES else ""
    known = kind in KINDS and re.fullmatch(r"\d{1,4}", which)
    return f"sketch.{kind}[{int(which)}]" if known and int(which) <= len(_things(values, kind)) else ""


def _things(values: Values, kind: str) -> list[dict[str, str]]:
    return value_at(values, f"sketch.{kind}") or []


def _group(values: Values, kind: str) -> Group:
    things = _things(values, kind)
    heading, item = KINDS[kind]
    count = "{}: " if kind == "walls" else ""  # as it is drawn
    return Group(heading, tuple((f"{kind}/{number}", count.format(number + 1) + each.get("name", item))
                                for number, each in enumerate(things)),
                 f"{kind}/{len(things)}", item)  # fmt: skip


def _thing(site: Site, name: str, place: str, base: int, typed: Typed | None = None,
           faults: Faults = ()) -> ThingPage:  # fmt: skip
    job, _ = site.store.read(name, base)
    values = site.store.values(name, base)
    there = bool(value_at(values, place))
    boxes, rows = asked(values, place, typed if typed is not None else None if there else _next(values, place), faults)
    kind = place.removeprefix("sketch.").partition("[")[0]
    title = PLACES.get(kind) or (value_at(values, place) or {}).get("name") or f"A new {KINDS[kind][1]}"
    operation = typed["operation"] if typed and typed.get("operation") else operation_of()
    walls = tuple(each["name"] for each in _things(values, "walls"))
    return ThingPage(head(name, job), place, title, there, tuple(boxes), tuple(rows), walls, base, operation,
                     faults_in_words(faults))  # fmt: skip


def _next(values: Values, place: str) -> Typed | None:
    """A wall begins where the one before it ended, until somebody says otherwise."""
    walls = _things(values, "walls")
    if not place.startswith("sketch.walls[") or not walls:
        return None
    before = f"sketch.walls[{len(walls) - 1}]"
    return {f"{place}.start.{axis}": f"{value_at(values, f'{before}.end.{axis}'):g}" for axis in ("x_mm", "y_mm")}
