"""What a rule is: a question, what it needs from the job, and a function that judges.

A rule is written once for known values; `needs` names the fields that it reads, and the house answers
"not yet known" before the rule runs if any of them was not looked at.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar

from ampwright.facts import NoRow
from ampwright.job.paths import loose, unseen
from ampwright.job.record import Job
from ampwright.working import Step, Verdict, Working

Judge = Callable[[Job], "Finding"]
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Finding:
    """What a rule says of a job, before the book adds clause and edition. `cautions` are ids of cautions.csv."""

    verdict: Verdict
    says: str
    needs: tuple[str, ...] = ()
    working: tuple[Step, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Regulation:
    """One rule under its stable name. Call it with a job to get its Finding.

    What nobody looked at is asked for before the rule runs; where our tables end, the designer has the book.
    """

    name: str
    asks: str
    needs: tuple[str, ...]
    judge: Judge

    def __call__(self, job: Job) -> Finding:
        gaps = unseen(job, self.needs)
        if gaps:
            return ask(*gaps)
        try:
            finding = self.judge(job)
        except NoRow as end:
            sheet = Working()
            sheet.remark(str(end))
            return for_the_designer("The tables held here end before this job; take the value from the book.", sheet)
        return open_where_loose(finding, job, self.needs)


def regulation(*, asks: str, needs: tuple[str, ...] = ()) -> Callable[[Judge], Regulation]:
    """Make a rule of a function. `needs` are record paths, `route[].length_m` for every section."""

    def made(judge: Judge) -> Regulation:
        return Regulation(judge.__name__, asks, needs, judge)

    return made


def seen(value: T | None) -> T:
    """A value that the rule's `needs` promise was looked at. Raises LookupError where they did not."""
    if value is None:
        raise LookupError("a rule read a field that its needs do not name")
    return value


def ask(*paths: str, says: str = "This was not looked at yet.") -> Finding:
    """Not yet known: name what to find out."""
    return Finding(Verdict.NOT_YET_KNOWN, says, needs=tuple(dict.fromkeys(paths)))


def weigh(*, best: bool, worst: bool, says: str, sheet: Working, cautions: tuple[str, ...] = ()) -> Finding:
    """Met if the worst end of what the survey allows passes, not met if even the best end fails.

    Between the two the answer is not yet known, and the ranges that the rule needs are named.
    """
    if worst:
        return Finding(Verdict.MET, says, (), sheet.steps, cautions)
    if not best:
        return Finding(Verdict.NOT_MET, says, (), sheet.steps, cautions)
    says = f"{says} That is the worst that the survey allows; at its best the answer is yes."
    return Finding(Verdict.NOT_YET_KNOWN, says, (), sheet.steps, cautions)


def open_where_loose(finding: Finding, job: Job, paths: tuple[str, ...]) -> Finding:
    """Name, of `paths`, the ranges that leave a finding open unless it names what it needs already."""
    if finding.verdict is not Verdict.NOT_YET_KNOWN or finding.needs:
        return finding
    return replace(finding, needs=loose(job, paths))


def settled(yes: bool, says: str, sheet: Working, cautions: tuple[str, ...] = ()) -> Finding:
    """Met or not met, where nothing in the question is a range."""
    return Finding(Verdict.MET if yes else Verdict.NOT_MET, says, (), sheet.steps, cautions)


def does_not_apply(says: str) -> Finding:
    """The question does not arise on this job; `says` tells why."""
    return Finding(Verdict.DOES_NOT_APPLY, says)


def for_the_designer(says: str, sheet: Working, cautions: tuple[str, ...] = ()) -> Finding:
    """The numbers are given, the decision is a person's."""
    return Finding(Verdict.FOR_THE_DESIGNER, says, (), sheet.steps, cautions)
