"""Why a paper of a job is a draft and not to be issued: seven kinds of reason, and which of them hold which paper.

`gates.csv` beside this file has a row a paper. A rule that stands under `but_for` may be unmet: the paper puts it to
whoever can mend it. Under `box` stand the numbers of the forms whose compulsory boxes must be filled.
"""

from __future__ import annotations

import csv
import dataclasses
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from importlib import resources

from ampwright.assess.paperwork.boxes import BOXES, SECTIONS, Box, fillings
from ampwright.assess.testing.sheet import Sheet
from ampwright.deliver.documents.signing import Signed, signers
from ampwright.facts import rows
from ampwright.job.fields import in_words
from ampwright.job.record import Job
from ampwright.reading import Reading
from ampwright.working import Check, Trust, Verdict

INVENTED = "The prices of the {} are those shipped, which are invented: put in your own."


class Gate(StrEnum):
    """What keeps a paper from being issued: a check, an open question, a test or an inspection, an empty box, a person,
    a number from memory, an invented price.
    """

    CHECK = "check"
    OPEN = "open"
    TEST = "test"
    BOX = "box"
    PERSON = "person"
    MEMORY = "memory"
    PRICE = "price"


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason, in words; `of` is the rule that is not met, or the number of the form that has empty boxes."""

    gate: Gate
    says: str
    of: str = ""


@dataclass(frozen=True, slots=True)
class FromMemory:
    """A row or a clause that rests on memory, and what it says: that is confirmed against a copy, and no other.

    `where` is where it stands in print; empty for a clause, which says so itself.
    """

    what: str
    says: str
    where: str = dataclasses.field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class Gates:
    """What one paper has to pass: kinds of reason, the forms that must be filled, and rules that may be unmet."""

    of: frozenset[Gate] = frozenset(Gate) - {Gate.BOX, Gate.PRICE}
    forms: frozenset[str] = frozenset()
    but_for: frozenset[str] = frozenset()

    def hold(self, reason: Reason) -> bool:
        """Whether the paper is held for this reason."""
        if reason.gate is Gate.BOX:
            return reason.of in self.forms
        return reason.gate in self.of and reason.of not in self.but_for


@lru_cache(maxsize=1)
def gates_by_paper() -> Mapping[str, Gates]:
    """What each paper has to pass, by its name."""
    text = (resources.files(__package__) / "gates.csv").read_text(encoding="utf-8")
    return {row["paper"]: Gates(frozenset(gate for gate in Gate if row[gate] == "yes"),
                                frozenset(row["box"].split()), frozenset(row["but_for"].split()))
            for row in csv.DictReader(text.splitlines())}  # fmt: skip


def gates_of(paper: str) -> Gates:
    """What one paper has to pass; a form, which has no row of its own, passes everything and is filled. One with
    a sum of the quote waits for the firm's own prices too.
    """
    if row := gates_by_paper().get(paper):
        return row
    forms = frozenset(re.findall(r"^form-(\d+)-", paper))
    return Gates(of=Gates().of | {Gate.PRICE} if forms & _priced() else Gates().of, forms=forms)


@lru_cache(maxsize=1)
def _priced() -> frozenset[str]:
    """The forms that have a sum of the quote in them."""
    return frozenset(row["deliverable"][:2] for row in rows(BOXES)
                     if fillings()[row["key"]].source.startswith(("=money", "=grant_amount")))  # fmt: skip


def not_owed(papers: Iterable[str], boxes: Iterable[Box]) -> tuple[Reason, ...]:
    """Each form under these papers that the job does not owe: it has no box to be filled."""
    owed = {each.paper[:2] for each in boxes}
    numbers = dict.fromkeys(number for each in papers for number in sorted(gates_of(each).forms - owed))
    return tuple(Reason(Gate.BOX, f"The job owes no paper {number}: nothing in it asks for one.", number)
                 for number in numbers)  # fmt: skip


def gates(job: Job, checks: tuple[Check, ...], sheet: Sheet, signed: tuple[Signed, ...] = (),
          confirmed: frozenset[tuple[str, str]] = frozenset(), boxes: Iterable[Box] = (),
          invented: Iterable[str] = ()) -> tuple[Reason, ...]:  # fmt: skip
    """What stands in the way of issuing all of the papers; empty if nothing does."""
    unknown = [each for each in checks if each.verdict is Verdict.NOT_YET_KNOWN]
    return (
        *_checks(job, checks),
        *(Reason(Gate.OPEN, _open(each)) for each in unknown if not _for_tests(each)),
        *(Reason(Gate.TEST, says) for says in (*_tests(sheet), *_inspected(job))),
        *(Reason(Gate.TEST, _open(each)) for each in unknown if _for_tests(each)),
        *_empty(boxes),
        *(Reason(Gate.PERSON, says) for says in _people(job, signed)),
        *(Reason(Gate.MEMORY, says) for says in _memory(checks, confirmed)),
        *(Reason(Gate.PRICE, INVENTED.format(each)) for each in invented),
    )


def from_memory(checks: Iterable[Check]) -> tuple[FromMemory, ...]:
    """Every number and clause under these checks that rests on memory, once each."""
    kept = tuple(checks)
    numbers = (FromMemory(step.row or step.source, f"{step.value:.12g} {step.unit}".strip(), step.source)
               for each in kept for step in each.working if step.trust is Trust.MEMORY)  # fmt: skip
    clauses = (FromMemory(f"clause {each.clause}", each.edition) for each in kept
               if each.clause_trust is Trust.MEMORY and each.verdict is not Verdict.DOES_NOT_APPLY)  # fmt: skip
    return tuple(dict.fromkeys((*numbers, *clauses)))


def _checks(job: Job, checks: tuple[Check, ...]) -> Iterator[Reason]:
    """A job without a date is not judged by the edition of its day, so its checks are not met yet either."""
    yield from (Reason(Gate.CHECK, f"Not met: {each.asks} {each.says}", each.rule) for each in checks
                if each.verdict is Verdict.NOT_MET)  # fmt: skip
    if job.date is None:
        yield Reason(Gate.CHECK, "The job has no date, so the edition and the rates are the newest held.")


def _for_tests(check: Check) -> bool:
    """Whether readings of the tests are all that it waits for."""
    return bool(check.needs) and all(path.startswith("tests.") for path in check.needs)


def _tests(sheet: Sheet) -> Iterator[str]:
    for box in sheet.boxes:
        if box.reading is None:
            yield f"Test missing: {box.test.title}."
        elif box.failed and not box.test.rule:  # what a rule judges is told as a check that is not met
            yield f"Test not passed: {box.test.title}."
        elif box.doubt is not None and not (isinstance(box.reading, Reading) and box.reading.because):
            yield (f"Test not plausible: {box.test.title}. It is {box.doubt.says}. Test again, or write the reason "
                   "beside the reading.")  # fmt: skip


def _inspected(job: Job) -> Iterator[str]:
    """What was looked at and found not good; what nobody looked at is an empty box."""
    for each in dataclasses.fields(job.inspection):
        if getattr(job.inspection, each.name) == "not good":
            yield f"Inspection: {in_words(f'inspection.{each.name}')}: not good."


def _empty(boxes: Iterable[Box]) -> Iterator[Reason]:
    """One reason a form; who signs is told beside it."""
    wanting: dict[str, list[str]] = {}
    for each in boxes:
        if each.compulsory and each.value is None and each.section != SECTIONS["sig"]:
            wanting.setdefault(each.paper, []).append(each.label)
    for form, labels in wanting.items():
        number, _, title = form.partition(" ")
        yield Reason(Gate.BOX, f"To be filled, {title}: {'; '.join(labels)}.", number)


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
