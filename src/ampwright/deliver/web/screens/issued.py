"""Issuing: what stands in the way, what was issued, what no longer agrees, and where a person signs."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from ampwright.assess.paperwork.boxes import BOXES
from ampwright.deliver import issuing, standing
from ampwright.deliver.documents.book import SENT, to_issue
from ampwright.deliver.documents.draft import FromMemory, Gate, not_owed
from ampwright.deliver.documents.form import form_name
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.store.ledger import Broken, Ledger
from ampwright.deliver.store.trust import HIGH, WIDE, Signature, TrustBook
from ampwright.deliver.web.contexts import Head
from ampwright.deliver.web.look import error_page, show
from ampwright.deliver.web.site import Form, Here, Site, head, see, shown, today
from ampwright.facts import rows
from ampwright.working import capital, written_day

GATES = {
    Gate.CHECK: "Checks",
    Gate.OPEN: "Open questions",
    Gate.TEST: "Tests",
    Gate.BOX: "Boxes to fill",
    Gate.PERSON: "Signatures",
    Gate.MEMORY: "Numbers and clauses from memory",
    Gate.PRICE: "Your own prices",
}
NAMES = {
    "report": "Design report", "quote": "Quote", "costs": "The firm's own costs", "visit": "Visit list",
    "materials": "Materials and van list", "plan": "Construction-phase plan", "tests": "Certificate data and tests",
    "commissioning": "Commissioning and settings", "handover": "Customer handover", "network": "Network notice",
    "labels": "Labels",
} | {form_name(each): each[3:] for each in dict.fromkeys(row["deliverable"] for row in rows(BOXES))
     if each.startswith(SENT)}  # fmt: skip
PDF = "application/pdf"
router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, slots=True)
class IssuedPage:
    """What stands in the way of issuing, and what was issued of a job."""

    head: Head
    reasons: tuple[tuple[str, str, tuple[str, ...]], ...]
    from_memory: tuple[FromMemory, ...]
    issued: tuple[standing.Standing, ...]
    broken: Broken | None
    waits: tuple[tuple[str, str, str], ...]
    fault: str = ""
    usual: tuple[str, ...] = issuing.USUAL

    def title(self, kind: str) -> str:
        """What a paper is called."""
        return NAMES[kind]

    def day(self, told: str) -> str:
        """A day in words."""
        return written_day(datetime.date.fromisoformat(told))

    def says(self, each: standing.Standing) -> str:
        """Whether an issued paper still agrees with the job."""
        return capital(standing.differs_words(each)) + "."


@dataclass(frozen=True, slots=True)
class Signer:
    """A person who signs, what for, and the signature that holds now or held before.

    `hand` is whose phone or account it would be made with, `refused` why it cannot be made here.
    """

    role: str
    name: str
    duties: str
    holds: Signature | None
    before: Signature | None
    hand: str
    refused: str

    @property
    def path(self) -> str:
        """The lines that were drawn, as a path of SVG."""
        return self.holds.strokes if self.holds else ""


@dataclass(frozen=True, slots=True)
class SignPage:
    """Where the people of a job sign its certificate."""

    head: Head
    seen: str
    signers: tuple[Signer, ...]
    fault: str = ""
    role: str = ""
    wide: int = WIDE
    high: int = HIGH


@router.get("/jobs/{name}/issued")
def issued(request: Request, site: Here, name: str) -> Response:
    """What stands in the way, and what was issued."""
    return show(request, "issued", _page(site, name))


@router.post("/jobs/{name}/issued")
def issue(request: Request, site: Here, name: str, typed: Form) -> Response:
    """Issue the papers that were chosen."""
    kinds = tuple(each for each in to_issue() if f"paper-{each}" in typed)
    if not kinds:
        return show(request, "issued", _page(site, name, "choose at least one paper"), 422)
    try:
        issuing.issue(site.store, name, kinds, today(), site.who)
    except issuing.NotReady:
        return show(request, "issued", _page(site, name, "nothing was issued: see what each paper waits for"), 409)
    return see(f"/jobs/{name}/issued")


@router.post("/jobs/{name}/confirm")
def confirm(request: Request, site: Here, name: str, typed: Form) -> Response:
    """Keep which rows from memory agree with the copy that was looked into."""
    copy = typed.get("copy", "").strip()
    left = issuing.pack_of(site.store, name).from_memory
    wanted = [(each.what, each.says) for number, each in enumerate(left) if typed.get(f"row-{number}") == each.what]
    if not copy or not wanted:
        fault = "tick what you looked up" if copy else "say which copy you looked into: title, edition, printing"
        return show(request, "issued", _page(site, name, fault), 422)
    TrustBook(site.store.engine).confirm(site.store.firm, wanted, copy, site.who)
    return see(f"/jobs/{name}/issued")


@router.get("/jobs/{name}/issued/{number}.pdf")
def paper(request: Request, site: Here, name: str, number: str) -> Response:
    """An issued paper; one that was superseded says so on each page."""
    site.store.read(name)
    made = issuing.paper_of(site.store, name, number)
    if made is None:
        return error_page(request, 404, "There is no such paper", "The list has all that were issued of this job.")
    label, body = made
    return shown(body, PDF, f"{label}.pdf")


@router.get("/jobs/{name}/sign")
def sign_page(request: Request, site: Here, name: str) -> Response:
    """Where each person of the job signs."""
    return show(request, "sign", _sign_page(site, name))


@router.get("/jobs/{name}/sign/certificate.pdf")
def to_read(site: Here, name: str) -> Response:
    """The certificate as it stands, to be read before it is signed."""
    return shown(issuing.to_read(site.store, name), PDF, "certificate-to-sign.pdf")


@router.post("/jobs/{name}/sign")
def sign(request: Request, site: Here, name: str, typed: Form) -> Response:
    """Keep a signature."""
    role = typed.get("role", "")
    try:
        issuing.sign(site.store, name, role, seen=typed.get("seen", ""), strokes=typed.get("strokes", ""),
                     typed=typed.get("typed", ""), who=site.who)  # fmt: skip
    except issuing.CannotSign as wrong:
        return show(request, "sign", _sign_page(site, name, str(wrong), role), 422)
    return see(f"/jobs/{name}/sign")


def no_longer_agree(site: Site, name: str) -> tuple[str, ...]:
    """A line for each issued paper that no longer agrees with its job."""
    return tuple(f"No. {each.issued.label} {standing.differs_words(each)}"
                 for each in standing.standings(site.store, name) if not each.by and not each.agrees)  # fmt: skip


def _page(site: Site, name: str, fault: str = "") -> IssuedPage:
    pack = issuing.pack_of(site.store, name)
    reasons = tuple((gate.value, title, tuple(each.says for each in pack.gates if each.gate is gate))
                    for gate, title in GATES.items())  # fmt: skip
    waits = tuple((kind, title, waits_for(pack, kind)) for kind, title in NAMES.items()
                  if not not_owed((kind,), pack.boxes))
    return IssuedPage(head(name, pack.job), tuple(each for each in reasons if each[2]), pack.from_memory,
                      standing.standings(site.store, name), Ledger(site.store.engine).check(job=name), waits,
                      fault)  # fmt: skip


def waits_for(pack: Pack, kind: str) -> str:
    """What a paper waits for, in words; nothing where it may be issued."""
    held = {each.gate for each in pack.held_by(kind)}
    return ", ".join(title.lower() for gate, title in GATES.items() if gate in held)


def _sign_page(site: Site, name: str, fault: str = "", role: str = "") -> SignPage:
    seen, people = issuing.signing(site.store, name)
    signers = tuple(Signer(each.role, each.name, ", ".join(each.duties).lower(), each.holds, each.before,
                           *_hand(site, each.name)) for each in people)  # fmt: skip
    return SignPage(head(name, site.store.read(name)[0]), seen, signers, fault, role)


def _hand(site: Site, name: str) -> tuple[str, str]:
    """Whose phone or account it is, or why this person cannot sign with it."""
    try:
        return issuing.hand_of(site.store, name, site.who), ""
    except issuing.CannotSign as wrong:
        return "", str(wrong)
