"""The pages: what each address shows, and what each form does."""

from __future__ import annotations

import re
import secrets
from dataclasses import dataclass
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Depends, Request, Response
from fastapi.responses import PlainTextResponse, RedirectResponse
from starlette.datastructures import UploadFile

from ampwright.deliver.screen import tally
from ampwright.deliver.store.history import Outcome
from ampwright.deliver.store.store import CannotUndo, OperationReused, Store
from ampwright.deliver.store.values import value_at
from ampwright.deliver.web import contexts, done, survey
from ampwright.deliver.web.judging import judged
from ampwright.deliver.web.line import line
from ampwright.deliver.web.look import error_page, sentence, show
from ampwright.deliver.web.parts import Part, part_of, parts, paths_of, standings
from ampwright.job.fields import in_words
from ampwright.job.files import BadJobFile, dump
from ampwright.job.record import Job

ORIGIN = "a page on this machine"
Typed = dict[str, str]
router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, slots=True)
class Site:
    """What the pages stand on: the store, and the name that changes are kept under."""

    store: Store
    who: str


async def posted(request: Request) -> Typed:
    """The texts of a form; an uploaded file that is no UTF-8 text is empty, and named under `not-text`."""
    typed: Typed = {}
    async with request.form(max_fields=3000, max_files=1) as form:
        for name, value in form.multi_items():
            if not isinstance(value, UploadFile):
                typed[name] = value
            elif value.size:
                try:
                    typed[name] = (await value.read()).decode("utf-8-sig")
                except UnicodeDecodeError:
                    typed["not-text"] = value.filename or "the file"
    return typed


def site_of(request: Request) -> Site:
    """What the app stands on."""
    found: Site = request.app.state.site
    return found


Form = Annotated[Typed, Depends(posted)]
Here = Annotated[Site, Depends(site_of)]


@router.get("/")
def jobs(request: Request, site: Here) -> Response:
    """The list of jobs."""
    return show(request, "jobs", _jobs_page(site))


@router.post("/jobs")
def take_in(request: Request, site: Here, typed: Form) -> Response:
    """Make a job of a job file, of pasted text, or of a title alone."""
    text = typed.get("file") or typed.get("text", "")
    faults: tuple[str, ...] = ()
    if "not-text" in typed:
        faults = (f"{typed['not-text']} is not UTF-8 text; save the file as plain text in UTF-8",)
    elif not text.strip():
        title = typed.get("title", "").strip()
        text = dump(Job(title=title))
        faults = () if title else ("write what the job is, or choose a job file",)
    if not faults:
        try:
            name = site.store.take_in(text, operation=_operation(typed), who=site.who, origin=ORIGIN)
            return _see(f"/jobs/{name}")
        except BadJobFile as bad:
            faults = tuple(str(each) for each in bad.faults)
    return show(request, "jobs", _jobs_page(site, faults, typed.get("title", "")), 422)


@router.get("/jobs/{name}")
def job(request: Request, site: Here, name: str) -> Response:
    """The line of a job, and what to find out next."""
    record, _ = site.store.read(name)
    assessment = judged(record)
    found = standings(assessment)
    conflicts = tuple((each, _operation()) for each in site.store.open_conflicts(name))
    beside = tuple(each for each in found.values() if each.part.joins == "beside")
    drawn = line(record, found)
    return show(request, "job", contexts.JobPage(_head(name, record), assessment, drawn, beside, conflicts))


@router.get("/jobs/{name}/checks")
def checks(request: Request, site: Here, name: str) -> Response:
    """Every check with its working."""
    record, _ = site.store.read(name)
    return show(request, "checks", contexts.ChecksPage(_head(name, record), judged(record)))


@router.get("/jobs/{name}/file")
def give_out(site: Here, name: str) -> Response:
    """The job as a job file."""
    text = site.store.give_out(name)
    title = re.sub(r"[^A-Za-z0-9-]+", "-", site.store.read(name)[0].reference or "job").strip("-") or "job"
    return PlainTextResponse(text, headers={"Content-Disposition": f'attachment; filename="{title}.yaml"'})


@router.get("/jobs/{name}/history")
def history(request: Request, site: Here, name: str) -> Response:
    """Everything that was done to a job."""
    record, _ = site.store.read(name)
    return show(request, "history", contexts.HistoryPage(_head(name, record), site.store.history(name)))


@router.get("/jobs/{name}/part/{part}")
def part_page(request: Request, site: Here, name: str, part: str) -> Response:
    """The survey of one part."""
    if part not in parts():
        return error_page(request, 404, "There is no such part", "Go back to the job and choose one on the line.")
    return show(request, "part", _part_page(site, name, parts()[part], site.store.read(name)[1]))


@router.post("/jobs/{name}/part/{part}")
def save(request: Request, site: Here, name: str, part: str, typed: Form) -> Response:
    """Keep what a survey form says that differs from what it showed."""
    if part not in parts():
        return error_page(request, 404, "There is no such part", "Go back to the job and choose one on the line.")
    base = _base(typed)
    try:
        record, _ = site.store.read(name, base)
        values = site.store.values(name, base)
        new = survey.changes(values, list(paths_of(record, parts()[part])), typed)
        new |= _entries(record, parts()[part], typed)
        if not new:
            return _see(f"/jobs/{name}")
        return _kept(name, site.store.change(name, new, base=base, **_how(site, typed)), typed)
    except BadJobFile as bad:
        return show(request, "part", _part_page(site, name, parts()[part], base, typed, bad), 422)
    except OperationReused as wrong:
        return error_page(request, 409, "This was saved before", sentence(str(wrong)) + ".")


@router.post("/jobs/{name}/take-out")
def take_out(request: Request, site: Here, name: str, typed: Form) -> Response:
    """Take one entry out of a list."""
    found = re.fullmatch(r"(.+)\[(\d{1,4})\]", typed.get("item", ""))
    base = _base(typed)
    try:
        items = value_at(site.store.values(name, base), found[1]) if found else None
        if not found or not isinstance(items, list) or int(found[2]) >= len(items):
            return error_page(request, 422, "That is not in the job", "Load the page again.")
        left = [each for number, each in enumerate(items) if number != int(found[2])]
        return _kept(name, site.store.change(name, {found[1]: left or None}, base=base, **_how(site, typed)), typed)
    except BadJobFile as bad:
        return error_page(request, 422, "That cannot be taken out", "The job would not stand without it.",
                          tuple(str(each) for each in bad.faults))  # fmt: skip


@router.get("/jobs/{name}/done/{operation}")
def done_page(request: Request, site: Here, name: str, operation: str) -> Response:
    """What an operation changed."""
    told = site.store.history(name)
    record, _ = site.store.read(name)
    found = next((each for each in told if each.id == operation), None)
    if found is None:
        return error_page(request, 404, "There is no such change", "The history of the job lists all of them.")
    return show(request, "done", done.page(site.store, _head(name, record), told, found, _operation()))


@router.post("/jobs/{name}/undo")
def undo(request: Request, site: Here, name: str, typed: Form) -> Response:
    """Take an operation back."""
    try:
        outcome = site.store.undo(name, typed.get("of", ""), **_how(site, typed))
    except (CannotUndo, OperationReused, BadJobFile) as wrong:
        return error_page(request, 409, "This cannot be taken back", sentence(str(wrong)) + ".")
    return _kept(name, outcome, typed)


@router.post("/jobs/{name}/settle")
def settle(request: Request, site: Here, name: str, typed: Form) -> Response:
    """Decide which of two entries of the same field stands."""
    seq = typed.get("seq", "")
    try:
        outcome = site.store.settle(name, int(seq) if re.fullmatch(r"\d{1,15}", seq) else -1,
                                    keep_held=typed.get("take") == "held", **_how(site, typed))  # fmt: skip
    except (CannotUndo, OperationReused, BadJobFile) as wrong:
        return error_page(request, 409, "This cannot be decided so", sentence(str(wrong)) + ".")
    return _kept(name, outcome, typed)


def _jobs_page(site: Site, faults: tuple[str, ...] = (), typed: str = "") -> contexts.JobsPage:
    found = ((name, judged(site.store.read(name)[0])) for name in site.store.names())
    listed = tuple(contexts.Listed(name, _title(each.job), each.job.reference or "", tally(each))
                   for name, each in found)  # fmt: skip
    return contexts.JobsPage(listed, _operation(), faults, typed)


def _part_page(site: Site, name: str, part: Part, base: int, typed: Typed | None = None,
               bad: BadJobFile | None = None) -> contexts.PartPage:  # fmt: skip
    record, _ = site.store.read(name, base)
    assessment = judged(record)
    faults = bad.faults if bad else ()
    values = site.store.values(name, base)
    operation = typed["operation"] if typed and typed.get("operation") else _operation()
    return contexts.PartPage(_head(name, record), standings(assessment)[part.id], base, operation,
                             survey.sections(values, assessment, part, typed, faults),
                             survey.additions(record, part, typed, faults),
                             tuple(f"{in_words(each.path)}: {each.says}" if each.path else each.says
                                   for each in faults),
                             tuple(each for each in site.store.photos.of_job(name)
                                   if part_of(each.path) is part))  # fmt: skip


def _entries(record: Job, part: Part, typed: Typed) -> dict[str, Any]:
    """The new entries that a form describes: every list whose first box was filled in."""
    new = {}
    for each in survey.additions(record, part):
        described = {key: value for key, value in survey.entry(each, typed).items() if value is not None}
        if described:
            new[each.place] = described
    return new


def _kept(name: str, outcome: Outcome, typed: Typed) -> Response:
    return _see(f"/jobs/{name}/done/{quote(typed.get('operation', ''), safe='')}")


def _how(site: Site, typed: Typed) -> dict[str, str]:
    return {"operation": _operation(typed), "who": site.who, "origin": ORIGIN}


def _operation(typed: Typed | None = None) -> str:
    """The operation id that a form brought, or a new one for a form to bring. A form without one gets its own."""
    if typed is None:
        return secrets.token_hex(16)
    if not re.fullmatch(r"[0-9a-zA-Z-]{8,64}", typed.get("operation", "")):
        typed["operation"] = secrets.token_hex(16)
    return typed["operation"]


def _base(typed: Typed) -> int:
    text = typed.get("base", "")
    return int(text) if re.fullmatch(r"\d{1,15}", text) else 0


def _head(name: str, record: Job) -> contexts.Head:
    return contexts.Head(name, _title(record), record.reference or "")


def _title(record: Job) -> str:
    return record.title or record.reference or "A job without a name"


def _see(address: str) -> Response:
    return RedirectResponse(address, status_code=303)
