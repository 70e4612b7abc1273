"""The sketch and the ways on it: the drawing to scale, every hole, and a way taken into the record."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache

from fastapi import APIRouter, Request, Response

from ampwright.assess.route.faults import BadSketch
from ampwright.assess.route.routes import Route, Routes, routes_for
from ampwright.deliver.drawing.sheet import drawing_svg
from ampwright.deliver.figures import Figures
from ampwright.deliver.firm_figures import figures_in_use
from ampwright.deliver.route_screen import CAUTIONS, PROPOSAL, hole_says, sections_says, sensor_says, way_says
from ampwright.deliver.store.store import OperationReused
from ampwright.deliver.web.contexts import Head
from ampwright.deliver.web.look import error_page, show
from ampwright.deliver.web.screens.forms import changes_to
from ampwright.deliver.web.site import Form, Here, base_of, head, how, kept, operation_of
from ampwright.facts import look_up_text
from ampwright.job.files import BadJobFile, values_of
from ampwright.job.record import Job
from ampwright.working import capital

KEPT_COUNT = 32
router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, slots=True)
class Way:
    """One way on the sketch, in words; `stands` is whether the job has it already."""

    number: int
    heading: str
    sections: tuple[str, ...]
    holes: tuple[tuple[str, tuple[str, ...]], ...]
    stands: bool


@dataclass(frozen=True, slots=True)
class WayPage:
    """The ways found, the one that the job has, and what the sketch leaves open; or why none can be sought."""

    head: Head
    ways: tuple[Way, ...]
    typed: tuple[str, ...]
    sensors: tuple[str, ...]
    remarks: tuple[str, ...]
    cannot: tuple[str, ...]
    drawn: int
    base: int
    operation: str
    cautions: tuple[str, ...]
    figures: Figures

    @property
    def note(self) -> str:
        """What a way is, and whose efforts and bits it was found by."""
        return f"{self.figures.ways_say} {PROPOSAL}"


@router.get("/jobs/{name}/way")
def way(request: Request, site: Here, name: str, number: str = "1") -> Response:
    """The page, with one of the ways drawn."""
    job, base = site.store.read(name)
    figures = figures_in_use(site.store, name)
    found = _sought(job, figures)
    if isinstance(found, tuple):
        laid = tuple(sections_says(job.route))
        page = WayPage(head(name, job), (), laid, (), (), found, 0, base, operation_of(), (), figures)
        return show(request, "way", page)
    drawn = int(number) if re.fullmatch(r"\d", number) and 1 <= int(number) <= len(found.found) else 1
    ways = tuple(_way(job, place, each) for place, each in enumerate(found.found, start=1))
    cautions = tuple(look_up_text("gb/cautions", "text", id=each) for each in CAUTIONS)
    return show(request, "way", WayPage(
        head(name, job), ways, tuple(sections_says(job.route)), tuple(map(sensor_says, found.sensors)),
        tuple(found.remarks), (), min(drawn, len(ways)), base, operation_of(), cautions,
        figures))  # fmt: skip


@router.get("/jobs/{name}/way/{number}.svg")
def drawing(request: Request, site: Here, name: str, number: str, narrow: str = "") -> Response:
    """Plan, elevations and single line of one way, to scale."""
    job, _ = site.store.read(name)
    figures = figures_in_use(site.store, name)
    found = _sought(job, figures)
    if isinstance(found, tuple) or not re.fullmatch(r"[1-9]", number) or int(number) > len(found.found):
        return error_page(request, 404, "There is no such drawing", "The page of the ways lists those that there are.")
    return Response(_drawn(job, figures, int(number), bool(narrow)), media_type="image/svg+xml")


@router.post("/jobs/{name}/way")
def take(request: Request, site: Here, name: str, typed: Form) -> Response:
    """Write one way into the record, in the place of the route that stands there."""
    base = base_of(typed)
    job, _ = site.store.read(name, base)
    found, number = _sought(job, figures_in_use(site.store, name)), typed.get("number", "")
    if isinstance(found, tuple) or not re.fullmatch(r"[1-9]", number) or int(number) > len(found.found):
        return error_page(request, 409, "There is no such way any more",
                          "The sketch or your figures are others since; load it again.")  # fmt: skip
    chosen = taken(job, found.found[int(number) - 1])
    new = changes_to(job, chosen)
    if any(path.startswith("route[") for path in new):
        new = {path: value for path, value in new.items() if not path.startswith("route[")} | {"route": _whole(chosen)}
    try:
        site.store.change(name, new, base=base, **how(site, typed))
    except (BadJobFile, OperationReused) as wrong:
        return error_page(request, 409, "This way cannot be taken", capital(str(wrong)) + ".")
    return kept(name, typed)


def taken(job: Job, route: Route) -> Job:
    """The job with the stretches of a way, and the distance from gas where the sketch shows a pipe."""
    gas = any(each.kind == "gas" for each in route.job.sketch.services)
    site = replace(job.site, gas=route.job.site.gas) if gas else job.site
    return replace(job, route=route.job.route, site=site)


def _whole(job: Job) -> object:
    return values_of(job).get("route", [])


@lru_cache(maxsize=KEPT_COUNT)
def _sought(job: Job, figures: Figures) -> Routes | tuple[str, ...]:
    """The ways on a sketch without their designs; equal jobs have equal ones by equal figures. Else what is wrong."""
    try:
        with figures.in_use():
            return routes_for(job, None)
    except BadSketch as bad:
        return tuple(str(bad).splitlines())


@lru_cache(maxsize=KEPT_COUNT)
def _drawn(job: Job, figures: Figures, number: int, narrow: bool) -> str:
    routes = _sought(job, figures)
    assert isinstance(routes, Routes)
    with figures.in_use():
        return drawing_svg(routes, number, narrow=narrow, whose=figures.drawing_says)


def _way(job: Job, number: int, route: Route) -> Way:
    holes = tuple((capital(each.name), tuple(hole_says(each)[1:])) for each in route.holes)
    stretches = tuple(sections_says(route.job.route))
    return Way(number, way_says(route.way), stretches, holes, taken(job, route).route == job.route)
