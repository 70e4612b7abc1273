"""The pages: what each address shows, and what each form does."""

from __future__ import annotations

import re
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import PlainTextResponse

from ampwright.deliver.screen import tally
from ampwright.deliver.store.store import CannotUndo, OperationReused
from ampwright.deliver.store.values import value_at
from ampwright.deliver.web import contexts, done, survey
from ampwright.deliver.web.file_pages import file_fields
from ampwright.deliver.web.judging import judged
from ampwright.deliver.web.line import line
from ampwright.deliver.web.look import error_page, show
from ampwright.deliver.web.parts import Part, part_of, parts, paths_of, standings
from ampwright.deliver.web.screens.issued import no_longer_agree
from ampwright.deliver.web.site import (
    Form,
    Here,
    Site,
    Typed,
    base_of,
    head,
    how,
    kept,
    operation_of,
    see,
    title_of,
)
from ampwright.job.fields import in_words
from ampwright.job.files import BadJobFile, dump
from ampwright.job.record import Job
from ampwright.working import capital

router = APIRouter(default_response_class=Response)


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
            name = site.store.take_in(text, operation=operation_of(typed), who=site.who, origin=site.origin)
            return see(f"/jobs/{name}")
        except BadJobFile as bad:
            faults = tuple(str(each) for each in bad.faults)
        except OperationReused as wrong:
            return error_page(request, 409, "This was sent before", capital(str(wrong)) + ".")
    return show(request, "jobs", _jobs_page(site, faults, typed.get("title", "")), 422)


@router.get("/jobs/{name}")
def job(request: Request, site: Here, name: str) -> Response:
    """The line of a job, and what to find out next."""
    record, _ = site.store.read(name)
    assessment = judged(record)
    found = standings(assessment)
    conflicts = tuple((each, operation_of()) for each in site.store.open_conflicts(name))
    beside = tuple(each for each in found.values() if each.part.joins == "beside")
    drawn = line(record, found)
    return show(request, "job", contexts.JobPage(head(name, record), assessment, drawn, beside, conflicts,
                                                 no_longer_agree(site, name)))  # fmt: skip


@router.get("/jobs/{name}/checks")
def checks(request: Request, site: Here, name: str) -> Response:
    """Every check with its working."""
    record, _ = site.store.read(name)
    return show(request, "checks", contexts.ChecksPage(head(name, record), judged(record)))


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
    return show(request, "history", contexts.HistoryPage(head(name, record), site.store.history(name)))


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
    base = base_of(typed)
    try:
        record, _ = site.store.read(name, base)
        values = site.store.values(name, base)
        new = survey.changes(values, list(paths_of(record, parts()[part])), typed)
        new |= _entries(record, parts()[part], typed)
        if not new:
            return see(f"/jobs/{name}")
        site.store.change(name, new, base=base, **how(site, typed))
        return kept(name, typed)
    except BadJobFile as bad:
        return show(request, "part", _part_page(site, name, parts()[part], base, typed, bad), 422)
    except OperationReused as wrong:
        return error_page(request, 409, "This was saved before", capital(str(wrong)) + ".")


@router.post("/jobs/{name}/take-out")
def take_out(request: Request, site: Here, name: str, typed: Form) -> Response:
    """Take one entry out of a list."""
    found = re.fullmatch(r"(.+)\[(\d{1,4})\]", typed.get("item", ""))
    base = base_of(typed)
    try:
        items = value_at(site.store.values(name, base), found[1]) if found else None
        if not found or not isinstance(items, list) or int(found[2]) >= len(items):
            return error_page(request, 422, "That is not in the job", "Load the page again.")
        left = [each for number, each in enumerate(items) if number != int(found[2])]
        site.store.change(name, {found[1]: left or None}, base=base, **how(site, typed))
        return kept(name, typed)
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
    return show(request, "done", done.page(site.store, head(name, record), told, found, operation_of()))


@router.post("/jobs/{name}/undo")
def undo(request: Request, site: Here, name: str, typed: Form) -> Response:
    """Take an operation back."""
    try:
        site.store.undo(name, typed.get("of", ""), **how(site, typed))
    except (CannotUndo, OperationReused, BadJobFile) as wrong:
        return error_page(request, 409, "This cannot be taken back", capital(str(wrong)) + ".")
    return kept(name, typed)


@router.post("/jobs/{name}/settle")
def settle(request: Request, site: Here, name: str, typed: Form) -> Response:
    """Decide which of two entries of the same field stands."""
    seq = typed.get("seq", "")
    try:
        site.store.settle(name, int(seq) if re.fullmatch(r"\d{1,15}", seq) else -1,
                          keep_held=typed.get("take") == "held", **how(site, typed))  # fmt: skip
    except (CannotUndo, OperationReused, BadJobFile) as wrong:
        return error_page(request, 409, "This cannot be decided so", capital(str(wrong)) + ".")
    return kept(name, typed)


def _jobs_page(site: Site, faults: tuple[str, ...] = (), typed: str = "") -> contexts.JobsPage:
    found = ((name, judged(site.store.read(name)[0])) for name in site.store.names())
    listed = tuple(contexts.Listed(name, title_of(each.job), each.job.reference or "", tally(each))
                   for name, each in found)  # fmt: skip
    return contexts.JobsPage(listed, operation_of(), faults, typed)


def _part_page(site: Site, name: str, part: Part, base: int, typed: Typed | None = None,
               bad: BadJobFile | None = None) -> contexts.PartPage:  # fmt: skip
    record, _ = site.store.read(name, base)
    assessment = judged(record)
    faults = bad.faults if bad else ()
    values = site.store.values(name, base)
    operation = typed["operation"] if typed and typed.get("operation") else operation_of()
    return contexts.PartPage(head(name, record), standings(assessment)[part.id], base, operation,
                             survey.sections(values, assessment, part, typed, faults),
                             survey.additions(record, part, typed, faults),
                             tuple(f"{in_words(each.path)}: {each.says}" if each.path else each.says
                                   for each in faults),
                             tuple(each for each in site.store.photos.of_job(name)
                                   if part_of(each.path) is part),
                             file_fields(site, name, record, base, lambda path: part_of(path) is part))  # fmt: skip


def _entries(record: Job, part: Part, typed: Typed) -> dict[str, Any]:
    """The new entries that a form describes: every list whose first box was filled in."""
    new = {}
    for each in survey.additions(record, part):
        described = {key: value for key, value in survey.entry(each, typed).items() if value is not None}
        if described:
            new[each.place] = described
    return new
