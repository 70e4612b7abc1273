"""Papers of a job in the store: signed, let through the gates and issued."""

from __future__ import annotations

import dataclasses
import datetime
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache, partial
from pathlib import Path

from ampwright.deliver.documents.book import PAPERS, to_issue
from ampwright.deliver.documents.draft import Reason
from ampwright.deliver.documents.grant import wants_grant
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.photographs import Photograph
from ampwright.deliver.documents.printing import Source, laid_out, pdf, superseded, words_of
from ampwright.deliver.documents.signing import Signed, signers
from ampwright.deliver.figures import Figures
from ampwright.deliver.firm_figures import NO_OTHERS, figures_in_use
from ampwright.deliver.own_files import files_of
from ampwright.deliver.standing import ANY_DAY, CERTIFICATE, claim_photos, content_of, key_of, marks_on, sha256
from ampwright.deliver.store.clock import clock
from ampwright.deliver.store.ledger import Issued, Ledger, Order, Place, Rendered
from ampwright.deliver.store.people import People
from ampwright.deliver.store.store import Store
from ampwright.deliver.store.trust import BadSignature, Signature, TrustBook, strokes_of
from ampwright.job.files import dump
from ampwright.job.record import Job
from ampwright.working import written_day

USUAL = (CERTIFICATE, "commissioning", "handover")
YEARS_COUNT = 10
FIRST_HASH_COUNT = 16


class NotReady(Exception):
    """Nothing was issued; the reasons say why, and `ready` which papers have none."""

    def __init__(self, reasons: tuple[Reason, ...], ready: tuple[str, ...]) -> None:
        super().__init__(reasons, ready)  # whole, so that it gets from one process to another
        self.reasons, self.ready = reasons, ready

    def __str__(self) -> str:
        return f"nothing is issued: {len(self.reasons)} reasons"


class CannotSign(ValueError):
    """No signature was kept; as text it says why."""


@dataclass(frozen=True, slots=True)
class Signer:
    """A person of a job, what they sign for, and the newest signature: one that holds under what the certificate says
    now, or else one that held before."""

    role: str
    name: str
    duties: tuple[str, ...]
    holds: Signature | None
    before: Signature | None


def pack_of(store: Store, name: str, day: datetime.date | None = None, own: Mapping[str, str] = NO_OTHERS,
            head: int | None = None) -> Pack:  # fmt: skip
    """What papers are written from: the job, after that change if one is named, what holds of its signatures, what its
    firm has confirmed. `own` are texts of figures to be taken instead of the firm's own.
    """
    return _pack(store, name, store.read(name, head)[0], day, own)


def _pack(store: Store, name: str, job: Job, day: datetime.date | None, own: Mapping[str, str]) -> Pack:
    pack = bare_pack(job, figures_in_use(store, name, own), TrustBook(store.engine).confirmed(store.firm), day)
    files = files_of(store, name, job)
    return dataclasses.replace(pack, signed=tuple(_signed(each) for each in holding(store, name, pack)),
                               photographs=_photographs(store, name, job), files=files.key,
                               kept=partial(files.opened, store, name, job))  # fmt: skip


def _photographs(store: Store, name: str, job: Job) -> tuple[Photograph, ...]:
    """The newest photograph of each field that the grant's claim shows; none for a job that wants no grant."""
    if not wants_grant(job):
        return ()
    load = store.photos.content
    return tuple(Photograph(each.path, clock(each.at), each.who, each.hash, partial(load, name, each.id))
                 for each in claim_photos(store, name))  # fmt: skip


def bare_pack(job: Job, figures: Figures | None = None, confirmed: frozenset[tuple[str, str]] = frozenset(),
              day: datetime.date | None = None, folder: Path = Path()) -> Pack:  # fmt: skip
    """What papers are written from, signed by nobody; without figures by those shipped."""
    return Pack(job, day or job.date or ANY_DAY, figures or Figures(), folder, YEARS_COUNT, confirmed=confirmed)


def ready(pack: Pack) -> tuple[str, ...]:
    """The papers that nothing holds."""
    return tuple(each for each in to_issue() if not pack.held_by(each))


def to_read(store: Store, name: str) -> bytes:
    """The certificate as it stands, as PDF, to be read before it is signed."""
    pack = pack_of(store, name)
    source = Source(pack.name, pack.day, pack.draft(CERTIFICATE), "job.yaml", dump(pack.job))
    return pdf(PAPERS[CERTIFICATE](pack), source)


@lru_cache(maxsize=16)
def to_be_signed(job: Job) -> str:
    """The hash of what is signed: all that the certificate says, but for its date and the signatures."""
    return content_of(CERTIFICATE, job, Figures())


def holding(store: Store, name: str, pack: Pack) -> tuple[Signature, ...]:
    """The newest signature of each person under what the certificate says now."""
    found: dict[tuple[str, str], Signature] = {}
    kept = TrustBook(store.engine).signatures(name)
    now = to_be_signed(pack.job) if kept else ""
    for each in kept:
        if each.signed == now:
            found.setdefault((each.role, each.name), each)
    return tuple(found.values())


def signing(store: Store, name: str) -> tuple[str, tuple[Signer, ...]]:
    """The hash of what is signed now, and each person whom the job names."""
    job, _ = store.read(name)
    seen, kept = to_be_signed(job), TrustBook(store.engine).signatures(name)
    return seen, tuple(_signer(job, each.role, each.name, kept, seen) for each in job.people if each.name)


def _signer(job: Job, role: str, name: str, kept: tuple[Signature, ...], seen: str) -> Signer:
    duties = tuple(duty for duty, _, person in signers(job) if person and (person.role, person.name) == (role, name))
    mine = [each for each in kept if (each.role, each.name) == (role, name)]
    holds = next((each for each in mine if each.signed == seen), None)
    return Signer(role, name, duties, holds, mine[0] if mine and holds is None else None)


def sign(store: Store, name: str, role: str, *, seen: str, strokes: str, typed: str, who: str) -> None:
    """Keep a drawn signature, or a typed name, of a person of the job under what they saw. Raises CannotSign.

    `who` is the name that a machine without accounts keeps things under; else it is kept who was signed in.
    """
    job, _ = store.read(name)
    person = next((each for each in job.people if each.role == role and each.name), None)
    if person is None or not person.name:
        raise CannotSign("the job names nobody in that part; name them under Site and people first")
    if seen != to_be_signed(job):
        raise CannotSign("the certificate was changed meanwhile; read it again, then sign")
    hand = hand_of(store, person.name, who)
    if not strokes and _plain(typed) != _plain(person.name):
        raise CannotSign(f"draw the signature, or type the name as it is in the job: {person.name}")
    try:
        TrustBook(store.engine).sign(name, role, person.name, strokes, seen, hand)
    except BadSignature as bad:
        raise CannotSign(str(bad)) from bad


def hand_of(store: Store, signer: str, who: str) -> str:
    """Who is signed in when this person signs, or on whose phone or machine it is, in words. Raises CannotSign.

    Whoever is signed in signs for themselves. An owner may hand their phone to somebody who has no account.
    """
    here = store.person
    if here is None:
        return f"on this machine without an account, under the name {who}"
    account = f"{here.name}, {here.login}"
    if _plain(here.name) == _plain(signer):
        return f"signed in as {account}"
    others = {_plain(each.name) for each in People(store.engine).everybody(store.firm) if each.ended is None}
    if _plain(signer) in others:
        raise CannotSign(f"{signer} has an account and signs in to sign; you are signed in as {here.name}")
    if here.role != "owner":
        raise CannotSign(f"you are signed in as {here.name} and sign for yourself alone; {signer} has no account, so "
                         "an owner of the firm may hand over their phone")  # fmt: skip
    return f"on the phone of {account}"


def issue(store: Store, name: str, kinds: Iterable[str], day: datetime.date, who: str,
          own: Mapping[str, str] = NO_OTHERS) -> tuple[Issued, ...]:  # fmt: skip
    """Issue papers of a job as it stands; what was issued of this state is not issued twice.

    `own` are texts of figures to be taken instead of the firm's own: what is priced by others is another paper.
    Raises NotReady if one of them has a gate to pass yet: then none of them is issued.
    """
    kinds, (job, head) = tuple(kinds), store.read(name)
    pack = _pack(store, name, job, day, own)
    if held := pack.held_by(*kinds):
        raise NotReady(held, ready(pack))
    text = dump(job)
    ledger, firm, state, made = Ledger(store.engine), store.firm, sha256(text), []
    for kind in kinds:
        marks = marks_on(kind, pack.figures.marks, pack.photographs)
        key = key_of(firm, name, kind, state, pack.assessment.edition, marks, ledger.rows(firm, name))
        order = Order(firm, kind, key, name, head, state, pack.assessment.edition, day, who)
        made.append(ledger.issue(order, Render(pack, kind, text)))
    return tuple(made)


class Render:
    """A paper laid out once its number is known. Its words are reckoned the first time only."""

    def __init__(self, pack: Pack, kind: str, text: str) -> None:
        self._pack, self._kind, self._text = pack, kind, text

    def __call__(self, place: Place) -> Rendered:
        instead = f" It supersedes No. {place.supersedes}." if place.supersedes else ""
        says = (f"Issued as No. {place.label}.{instead} The row before it in the list of issued papers has the hash "
                f"{place.before[:FIRST_HASH_COUNT]}.")  # fmt: skip
        paper = to_issue()[self._kind](self._pack)
        words = words_of(paper, Source(self._pack.name, self._pack.day, (), "job.yaml", self._text, place.label, says))
        return Rendered(laid_out(words), json.dumps(words))


def printed(store: Store, number: int) -> bytes | None:
    """An issued paper: byte for byte as issued, or laid out from the same words as superseded if it is."""
    ledger = Ledger(store.engine)
    rows = {each.number: each for each in ledger.rows(store.firm)}
    made = ledger.paper(number) if number in rows else None
    if made is None:
        return None
    by = next((each for each in rows.values() if each.supersedes == number), None)
    if by is None:
        return made.body
    day = written_day(datetime.date.fromisoformat(rows[number].day))
    says = f"It was issued on {day}; No. {by.label} stands instead."
    return laid_out(superseded(json.loads(made.words), says))


def paper_of(store: Store, name: str, number: str) -> tuple[str, bytes] | None:
    """The name and the bytes of a paper that was issued of this job, as `printed`; None for any other number."""
    rows = Ledger(store.engine).rows(store.firm, name)
    mine = next((each for each in rows if str(each.number) == number), None)
    made = printed(store, mine.number) if mine else None
    return (mine.label.replace(" ", "-"), made) if mine and made else None


def _signed(each: Signature) -> Signed:
    return Signed(each.role, each.name, clock(each.at), strokes_of(each.strokes) if each.strokes else (), each.who)


def _plain(name: str) -> str:
    return " ".join(name.split()).casefold()
