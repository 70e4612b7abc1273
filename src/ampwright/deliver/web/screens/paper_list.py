"""The papers of a job: made on demand as they stand in the record now, why they are drafts, and who owes what."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fastapi import APIRouter, Request, Response

from ampwright.assess.paperwork.counting import coverage
from ampwright.deliver import issuing
from ampwright.deliver.coverage import owed
from ampwright.deliver.documents.blocks import Paper
from ampwright.deliver.documents.book import PAPERS, every_paper
from ampwright.deliver.documents.form import form_name
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.writing import laid_out
from ampwright.deliver.figures import Figures
from ampwright.deliver.web.contexts import Head
from ampwright.deliver.web.look import error_page, show
from ampwright.deliver.web.runs import Told, begun
from ampwright.deliver.web.screens.issued import waits_for
from ampwright.deliver.web.site import Here, Site, head, shown, today

CALLED = {"csv": "The same fields as CSV", "txt": "The same fields as a list to copy"}
MEDIA = {"pdf": "application/pdf", "csv": "text/csv", "txt": "text/plain"}
router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, eq=False)
class Made:
    """The papers of one state of a job: title, sentence, and files by their names; and what they wait for."""

    papers: tuple[Paper, ...]
    files: dict[str, bytes]
    waits: dict[str, str]
    reasons: tuple[str, ...]
    filled: str
    owed: dict[str, list[str]]


@dataclass(frozen=True, slots=True)
class PapersPage:
    """The papers, once they were made for the job as it stands by the figures in use."""

    head: Head
    made: Made | None
    figures: Figures

    @property
    def note(self) -> str:
        """Whose figures the papers are made by, and what is inside each."""
        return f"{self.figures.prices_say} {self.figures.ways_say} Each paper has the job file inside."

    def beside(self, paper: Paper) -> list[str]:
        """The names of the files of one paper."""
        return [f"{paper.name}.pdf", *(f"{paper.name}.{ending}" for ending, _ in paper.beside)]

    def called(self, file: str) -> str:
        """What a file beside a paper is."""
        return CALLED.get(file.rsplit(".", 1)[-1], file)


@router.get("/jobs/{name}/papers")
def papers(request: Request, site: Here, name: str) -> Response:
    """The page; with the papers if they were made for the job as it stands today."""
    pack = _pack(site, name)
    return show(request, "papers", PapersPage(head(name, pack.job), _found(site, pack), pack.figures))


@router.post("/jobs/{name}/papers")
def make(request: Request, site: Here, name: str) -> Response:
    """Make all of them, and go back to the page."""
    text, pack = site.store.give_out(name), _pack(site, name)
    run = site.runs.begin(_key(pack), lambda told: _made(pack, text, told))
    return begun(request, run, f"/jobs/{name}/papers")


@router.get("/jobs/{name}/papers/{file}")
def paper(request: Request, site: Here, name: str, file: str) -> Response:
    """One file of them."""
    made = _found(site, _pack(site, name))
    if made is None or file not in made.files:
        return error_page(request, 404, "That paper is not made", "The job or your figures are others since, or the "
                          "server was begun anew: make the papers again.")  # fmt: skip
    kind = MEDIA.get(file.rsplit(".", 1)[-1], "application/octet-stream")
    return shown(made.files[file], kind, file)


def _pack(site: Site, name: str) -> Pack:
    """As it is issued from: with the signatures that hold and what the firm has confirmed."""
    pack = issuing.pack_of(site.store, name)
    return pack if pack.job.date else replace(pack, day=today())


def _key(pack: Pack) -> tuple[object, ...]:
    return ("papers", pack.job, pack.day, pack.figures, pack.signed, pack.confirmed, pack.photographs,
            pack.files)  # fmt: skip


def _found(site: Site, pack: Pack) -> Made | None:
    """The papers, if they were made for the job as it stands today, signed and confirmed as it is."""
    run = site.runs.found(_key(pack))
    return None if run is None else run.answer()


def _made(pack: Pack, text: str, told: Told) -> Made:
    made, wanted = {}, _wanted(pack)
    for done, name in enumerate(wanted):
        told(f"writes the paper “{name}”", done, len(wanted))
        made[name] = every_paper()[name](pack)
    told("lays the papers out", len(wanted), len(wanted))
    files = dict(laid_out(made, pack, f"{pack.job.reference or 'job'}.yaml", text))
    with pack.figures.in_use():
        found = coverage(pack.job, pack.boxes)
    filled = (f"{len(found.filled)} of {len(found.compulsory)} compulsory boxes are filled, from "
              f"{found.entries_count} entries.")  # fmt: skip
    return Made(tuple(made.values()), files, {each: waits_for(pack, each) for each in made}, pack.draft(*made), filled,
                owed(found.empty))  # fmt: skip


def _wanted(pack: Pack) -> tuple[str, ...]:
    """The papers, then a form of plain boxes for each that the job owes."""
    return (*PAPERS, *dict.fromkeys(form_name(each.paper) for each in pack.boxes))
