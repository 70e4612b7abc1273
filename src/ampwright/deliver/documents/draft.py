"""Why a paper of a job is a draft and not to be issued: four kinds of reason, and no other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from ampwright.assess.testing.sheet import Sheet
from ampwright.deliver.documents.signing import Signed, signers
from ampwright.job.fields import in_words
from ampwright.job.record import Job
from ampwright.reading import Reading
from ampwright.working import Check, Trust, Verdict


class Gate(StrEnum):
    """What keeps a paper from being issued."""

    CHECK = "check"
    TEST = "test"
    PERSON = "person"
    MEMORY = "memory"


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason, in words."""

    gate: Gate
    says: str


@dataclass(frozen=True, slots=True)
class FromMemory:
    """A row or a clause that rests on memory, and what it says: that is confirmed against a copy, and no other."""

    what: str
    says: str


def gates(job: Job, checks: tuple[Check, ...], sheet: Sheet, signed: tuple[Signed, ...] = (),
          confirmed: frozenset[tuple[str, str]] = frozenset()) -> tuple[Reason, ...]:  # fmt: skip
    """What stands in the way of issuing; empty if nothing does."""
    return (
        *(Reason(Gate.CHECK, says) for says in _checks(job, checks)),
        *(Reason(Gate.TEST, says) for says in _tests(sheet)),
        *(Reason(Gate.PERSON, says) for says in _people(job, signed)),
        *(Reason(Gate.MEMORY, says) for says in _memory(checks, confirmed)),
    )


def from_memory(checks: Iterable[Check]) -> tuple[FromMemory, ...]:
    """Every number and clause under these checks that rests on memory, once each."""
    kept = tuple(checks)
    numbers = (FromMemory(step.row or step.source, f"{step.value:.12g} {step.unit}".strip())
               for each in kept for step in each.working if step.trust is Trust.MEMORY)  # fmt: skip
    clauses = (FromMemory(f"clause {each.clause}", each.edition) for each in kept
               if each.clause_trust is Trust.MEMORY and each.verdict is not Verdict.DOES_NOT_APPLY)  # fmt: skip
    return tuple(dict.fromkeys((*numbers, *clauses)))


def _checks(job: Job, checks: tuple[Check, ...]) -> Iterator[str]:
    """A job without a date is not judged by the edition of its day, so its checks are not met yet either."""
    yield from (f"Not met: {each.asks} {each.says}" for each in checks if each.verdict is Verdict.NOT_MET)
    yield from (_open(each) for each in checks if each.verdict is Verdict.NOT_YET_KNOWN)
    if job.date is None:
        yield "The job has no date, so the edition and the rates are the newest held."


def _tests(sheet: Sheet) -> Iterator[str]:
    for box in sheet.boxes:
        if box.test.rule and box.reading is None:
            yield f"Test missing: {box.test.title}."
        elif box.doubt is not None and not (isinstance(box.reading, Reading) and box.reading.because):
            yield (f"Test not plausible: {box.test.title}. It is {box.doubt.says}. Test again, or write the reason "
                   "beside the reading.")  # fmt: skip


def _people(job: Job, signed: tuple[Signed, ...]) -> Iterator[str]:
    """Whoever signs for design, for the work and for the tests: each is named and has signed what now stands."""
    held = {(each.role, each.name) for each in signed}
    for duty, role, person in signers(job):
        if person is None or not person.name:
            yield f"Nobody is named as {role}, who signs: {duty.lower()}."
        elif (person.role, person.name) not in held:
            yield f"Not signed: {duty.lower()} {person.name}."


def _memory(checks: tuple[Check, ...], confirmed: frozenset[tuple[str, str]]) -> Iterator[str]:
    left = [each for each in from_memory(checks) if (each.what, each.says) not in confirmed]
    yield from dict.fromkeys(f"From memory: {each.what}" for each in left if not each.what.startswith("clause "))
    clauses = dict.fromkeys(each.what.removeprefix("clause ") for each in left if each.what.startswith("clause "))
    if clauses:
        yield f"What these clauses hold rests on memory: {'; '.join(clauses)}."


def _open(check: Check) -> str:
    needs = "; ".join(in_words(path) for path in check.needs)
    return f"Not yet known: {check.asks}" + (f" Find out: {needs}." if needs else "")
