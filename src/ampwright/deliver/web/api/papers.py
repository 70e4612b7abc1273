"""Issued papers: what stands in the way, issue, read, supersede; signatures, and numbers confirmed against a copy."""

from __future__ import annotations

import dataclasses
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Path, Query, Response

from ampwright.deliver import issuing, standing
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.store.ledger import Issued, Ledger
from ampwright.deliver.store.trust import Signature, TrustBook
from ampwright.deliver.web.api import shapes_of_papers as shapes
from ampwright.deliver.web.api.bodies import body_of
from ampwright.deliver.web.api.jobs import Document, Id
from ampwright.deliver.web.api.problems import Refused
from ampwright.deliver.web.api.routes import BASE, BODY, ApiRoute, problems, sent
from ampwright.deliver.web.api.working_out import at_work, told_why
from ampwright.deliver.web.site import Here, Site, shown, today
from ampwright.job.faults import Fault

LARGEST_NUMBER = 2**31 - 1
router = APIRouter(prefix=BASE, route_class=ApiRoute, tags=["issued papers"])
Row = Annotated[int, Path(ge=1, le=LARGEST_NUMBER, description="The number of a row of the list.", examples=[1])]
PROGRAMS_SIGN_NOTHING = "a program signs for nobody: whoever signs is signed in and signs on the page of the job"
PDF = "application/pdf"
LONG = ("no-such-job", "no-answer-yet", "at-work", "old-figures")


def _paper_told(*names: str) -> dict[int | str, dict[str, Any]]:
    schema = {"type": "string", "format": "binary"}
    return problems(*names) | {200: {"description": "The paper (PDF/A-3a).",
                                     "content": {PDF: {"schema": schema}}}}  # fmt: skip


@router.get("/issued", response_model=shapes.IssuedList, responses=problems())
def issued(site: Here, limit: Annotated[int, Query(ge=1, le=200, description="How many at most.")] = 100,
           after: Annotated[int, Query(ge=0, le=LARGEST_NUMBER, description="`next` of the page before.")] = 0,
           ) -> Response:  # fmt: skip
    """List the papers that the firm has issued: `ampwright issued --check`."""
    ledger = Ledger(site.store.engine)
    left = [each for each in ledger.rows(site.store.firm) if each.number > after]
    return Document({"papers": [_row(each) for each in left[:limit]], "agrees": ledger.check() is None,
                     "next": left[limit - 1].number if len(left) > limit else None})  # fmt: skip


@router.get("/jobs/{job}/issued", response_model=shapes.IssuedOfJob, responses=problems(*LONG))
def issued_of(site: Here, job: Id) -> Response:
    """What stands in the way of issuing, what was issued of a job, and what of that no longer agrees with it."""
    with at_work(), told_why():
        papers = [_row(each.issued) | {"superseded_by": each.by.number if each.by else None,
                                       "differs": list(each.differs), "other_figures": each.other_figures}
                  for each in standing.standings(site.store, job)]  # fmt: skip
        pack = issuing.pack_of(site.store, job)
        reasons = [{"gate": each.gate.value, "says": each.says} for each in pack.gates]
        return Document({"reasons": reasons, "ready": list(issuing.ready(pack)), "papers": papers})


@router.post("/jobs/{job}/issued", response_model=shapes.Made, status_code=201, openapi_extra=sent(shapes.Issue),
             responses=problems("not-ready", *LONG, *BODY))  # fmt: skip
def issue(site: Here, job: Id, wanted: Annotated[shapes.Issue, Depends(body_of(shapes.Issue))]) -> Response:
    """Issue papers of a job as it stands: `ampwright issue`. One issued before is superseded, never changed.

    Sent again for the same state of the job it gives the same papers. Each paper has its own gates; while one of them
    holds a paper that is asked for, none is issued, and what holds it is in faults, each under its gate.
    """
    try:
        with at_work(), told_why():
            made = issuing.issue(site.store, job, tuple(dict.fromkeys(wanted.papers)), today(), site.who)
    except issuing.NotReady as bad:
        raise Refused("not-ready", *(Fault(None, each.gate.value, each.says) for each in bad.reasons)) from bad
    return Document({"papers": [_row(each) for each in made]}, 201, {"Location": f"{BASE}/jobs/{job}/issued"})


@router.get("/jobs/{job}/issued/{number}", response_class=Response,
            responses=_paper_told("no-such-job", "nothing-here", "at-work"))  # fmt: skip
def paper(site: Here, job: Id, number: Row) -> Response:
    """An issued paper, byte for byte as it was issued; one that was superseded says so on each page."""
    site.store.read(job)
    with at_work():
        made = issuing.paper_of(site.store, job, str(number))
    if made is None:
        raise Refused("nothing-here", Fault(None, "number", "no such paper was issued of this job"))
    label, body = made
    return shown(body, PDF, f"{label}.pdf")


@router.get("/jobs/{job}/signatures", response_model=shapes.Signatures, responses=problems(*LONG))
def signatures(site: Here, job: Id) -> Response:
    """Who signs the certificate for what, and which signatures hold under what it says now."""
    return Document(_signatures(site, job))


@router.get("/jobs/{job}/signatures/certificate", response_class=Response, responses=_paper_told(*LONG))
def to_read(site: Here, job: Id) -> Response:
    """The certificate as it stands, to be read before it is signed."""
    with at_work(), told_why():
        return shown(issuing.to_read(site.store, job), PDF, "certificate-to-sign.pdf")


@router.post("/jobs/{job}/signatures", response_model=shapes.Signatures, status_code=201,
             responses=problems("not-signed", *LONG, *BODY), openapi_extra=sent(shapes.Sign))  # fmt: skip
def sign(site: Here, job: Id, wanted: Annotated[shapes.Sign, Depends(body_of(shapes.Sign))]) -> Response:
    """Keep a signature that a person of the job gave, under the certificate as they saw it.

    Only on the machine itself: where there are accounts a program signs for nobody, and each signs on the page.
    """
    if site.store.person is not None:
        raise Refused("not-signed", PROGRAMS_SIGN_NOTHING)
    try:
        issuing.sign(site.store, job, wanted.role, seen=wanted.seen, strokes=wanted.strokes, typed=wanted.typed,
                     who=site.who)  # fmt: skip
    except issuing.CannotSign as bad:
        raise Refused("not-signed", str(bad)) from bad
    return Document(_signatures(site, job), 201, {"Location": f"{BASE}/jobs/{job}/signatures"})


@router.get("/jobs/{job}/confirmations", response_model=shapes.ToConfirm, responses=problems(*LONG))
def to_confirm(site: Here, job: Id) -> Response:
    """The numbers and clauses from memory under a job that the firm has not confirmed: `ampwright confirm`."""
    return Document(_left(issuing.pack_of(site.store, job), 0))


@router.post("/jobs/{job}/confirmations", response_model=shapes.ToConfirm,
             responses=problems(*LONG, *BODY), openapi_extra=sent(shapes.Confirm))  # fmt: skip
def confirm(site: Here, job: Id, wanted: Annotated[shapes.Confirm, Depends(body_of(shapes.Confirm))]) -> Response:
    """Keep that rows agree with the firm's own copy. A row that is confirmed already is not a fault, one unknown is."""
    store, book = site.store, TrustBook(site.store.engine)
    told = {each.what: each.says for each in issuing.bare_pack(store.read(job)[0]).from_memory}
    faults = [Fault(None, f"rows[{number}]", f"this job rests on no {each[:80]} from memory")
              for number, each in enumerate(wanted.rows) if each not in told]  # fmt: skip
    if faults:
        raise Refused("not-understood", *faults)
    rows = [(each, told[each]) for each in wanted.rows]
    count = book.confirm(store.firm, rows, wanted.copy_seen.strip(), site.who)
    return Document(_left(issuing.pack_of(store, job), count))


def _row(each: Issued) -> dict[str, Any]:
    names = ("number", "label", "job", "head", "edition", "day", "at", "who", "supersedes", "paper_hash", "before",
             "hash")  # fmt: skip
    return {"paper": each.kind, **{name: getattr(each, name) for name in names}}


def _left(pack: Pack, count: int) -> dict[str, Any]:
    return {"confirmed": count, "left": [dataclasses.asdict(each) for each in pack.from_memory]}


def _signatures(site: Site, job: str) -> dict[str, Any]:
    seen, people = issuing.signing(site.store, job)
    return {"seen": seen, "people": [{"role": each.role, "name": each.name, "duties": list(each.duties),
                                      "holds": each.holds and _held(each.holds)} for each in people]}  # fmt: skip


def _held(by: Signature) -> dict[str, Any]:
    return {"at": by.at, "who": by.who, "drawn": bool(by.strokes)}
