"""A firm's own figures on a page: what is in use of each kind, a copy of it, one's own put in, and taken back."""

from __future__ import annotations

import re
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from ampwright.assess.user_csv import BadTable
from ampwright.deliver.figures import KINDS, Kind
from ampwright.deliver.firm_figures import check
from ampwright.deliver.store.figure_book import ChangedSince, FigureBook, Version
from ampwright.deliver.store.store import OperationReused
from ampwright.deliver.web.look import error_page, show
from ampwright.deliver.web.site import Form, Here, Site, Typed, base_of, how, operation_of, see
from ampwright.job.faults import Fault
from ampwright.working import capital

CSV = "text/csv; charset=utf-8"
MOST_FAULTS_COUNT = 100
router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, slots=True)
class InUse:
    """One kind: its versions, the newest first; what was sent with its faults; `old` is why what is in use cannot be
    read any more."""

    kind: Kind
    versions: tuple[Version, ...]
    old: tuple[str, ...]
    operation: str
    typed: str = ""
    faults: tuple[str, ...] = ()

    @property
    def newest(self) -> Version | None:
        """The newest version, if there is one."""
        return self.versions[0] if self.versions else None

    @property
    def own(self) -> bool:
        """Whether the firm's own are in use."""
        return self.newest is not None and self.newest.text is not None

    @property
    def base(self) -> int:
        """The number of what is in use."""
        return self.newest.number if self.newest else 0


@dataclass(frozen=True, slots=True)
class FiguresPage:
    """All kinds."""

    kinds: tuple[InUse, ...]


@router.get("/figures")
def figures(request: Request, site: Here) -> Response:
    """What is in use."""
    return show(request, "figures", FiguresPage(tuple(_in_use(site, kind) for kind in KINDS.values())))


@router.get("/figures/{kind}/{which}.csv")
def copy(request: Request, site: Here, kind: str, which: str) -> Response:
    """The figures in use, those that come with the program, or one version, as a file."""
    if kind not in KINDS:
        return _nothing(request)
    versions, shipped = FigureBook(site.store).versions(kind), KINDS[kind].sort.text()
    texts = {str(each.number): each.text for each in versions if each.text is not None}
    text = {"shipped": shipped, "in-use": (versions[0].text if versions else None) or shipped, **texts}.get(which)
    if text is None:
        return _nothing(request)
    name = KINDS[kind].file if which == "in-use" else KINDS[kind].file.replace(".csv", f"-{which}.csv")
    return Response(text, media_type=CSV, headers={"Content-Disposition": f'attachment; filename="{name}"'})


@router.post("/figures/{kind}")
def put(request: Request, site: Here, kind: str, typed: Form) -> Response:
    """Use the figures that were sent from now on; else say all that is wrong with them, with what was sent."""
    if kind not in KINDS:
        return _nothing(request)
    text = typed.get("file") or typed.get("text", "")
    if "not-text" in typed:
        says = f"the file {typed['not-text']} is not plain text; save it from the spreadsheet as CSV in UTF-8"
        return _failed(request, site, kind, typed, (Fault(None, "", says),))
    try:
        check(KINDS[kind], text)
    except BadTable as bad:
        return _failed(request, site, kind, {**typed, "text": text}, bad.faults)
    return _kept(request, site, kind, text, typed)


@router.post("/figures/{kind}/take-back")
def take_back(request: Request, site: Here, kind: str, typed: Form) -> Response:
    """Use those that come with the program again."""
    if kind not in KINDS:
        return _nothing(request)
    return _kept(request, site, kind, None, typed)


def _nothing(request: Request) -> Response:
    return error_page(request, 404, "There are no such figures", "The page of your own figures lists what there is.")


def _kept(request: Request, site: Site, kind: str, text: str | None, typed: Typed) -> Response:
    try:
        FigureBook(site.store).put(kind, text, base=base_of(typed), **how(site, typed))
    except ChangedSince as wrong:
        return _failed(request, site, kind, {"text": text or ""}, (Fault(None, "", str(wrong)),), 409)
    except OperationReused as wrong:
        return error_page(request, 409, "This was sent before", capital(str(wrong)) + ".")
    return see(f"/figures#{kind}")


def _failed(request: Request, site: Site, kind: str, typed: Typed, faults: tuple[Fault, ...],
            status: int = 422) -> Response:  # fmt: skip
    more = len(faults) - MOST_FAULTS_COUNT
    told = (*map(str, faults[:MOST_FAULTS_COUNT]), *([f"and {more} more"] if more > 0 else []))
    found = tuple(_in_use(site, each, typed.get("text", "") if name == kind else "", told if name == kind else ())
                  for name, each in KINDS.items())  # fmt: skip
    return show(request, "figures", FiguresPage(found), status)


def _in_use(site: Site, kind: Kind, typed: str = "", faults: tuple[str, ...] = ()) -> InUse:
    versions = FigureBook(site.store).versions(kind.name)
    old: tuple[str, ...] = ()
    if versions and versions[0].text is not None:
        try:
            kind.read(versions[0].text)
        except BadTable as bad:
            old = tuple(map(str, bad.faults[:MOST_FAULTS_COUNT]))
    return InUse(kind, versions, old, operation_of(), re.sub(r"\r\n?", "\n", typed), faults)
