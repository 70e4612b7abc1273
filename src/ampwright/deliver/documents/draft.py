"""Why a paper of a job is a draft and not to be issued."""

from __future__ import annotations

from ampwright.assess.assessment import Assessment
from ampwright.job.fields import in_words
from ampwright.job.record import Job
from ampwright.working import Check, Trust, Verdict


def reasons(job: Job, assessment: Assessment, also: tuple[Check, ...] = ()) -> tuple[str, ...]:
    """What stands in the way: checks not met, checks not yet known, a job without a date, numbers and clauses that
    rest on memory. Empty if nothing does. `also` are checks made beside the book, as those on the load cap.
    """
    checks = (*assessment.checks, *also)
    not_met = [f"Not met: {each.asks} {each.says}" for each in checks if each.verdict is Verdict.NOT_MET]
    open_ones = [_open(each) for each in checks if each.verdict is Verdict.NOT_YET_KNOWN]
    undated = ["The job has no date, so the edition and the rates are the newest held."] if job.date is None else []
    numbers = dict.fromkeys(f"From memory: {step.row}" for each in checks for step in each.working
                            if step.trust is Trust.MEMORY)  # fmt: skip
    clauses = dict.fromkeys(each.clause for each in checks
                            if each.clause_trust is Trust.MEMORY and each.verdict is not Verdict.DOES_NOT_APPLY)
    wording = [f"What these clauses hold rests on memory: {'; '.join(clauses)}."] if clauses else []
    return (*not_met, *open_ones, *undated, *numbers, *wording)


def _open(check: Check) -> str:
    needs = "; ".join(in_words(path) for path in check.needs)
    return f"Not yet known: {check.asks}" + (f" Find out: {needs}." if needs else "")
