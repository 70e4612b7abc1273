"""Past jobs judged again: under another edition, by the rules of another day, or with other tables of numbers.

Each time processes of their own judge, so that no number of the one is kept for the other. A few jobs by the tables
held are judged here: to begin a process takes longer.
"""

from __future__ import annotations

import datetime
import multiprocessing
import os
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from ampwright.job.paths import replaced
from ampwright.job.record import Job
from ampwright.working import Check

CHUNK_COUNT = FEW_COUNT = 8
Judged = tuple[Check, ...] | str
Told = Callable[[str, int, int], None]


@dataclass(frozen=True, slots=True)
class Rules:
    """By which rules: an edition, a day, a folder of tables; None for the job's own and for the tables held."""

    edition: str | None = None
    day: datetime.date | None = None
    tables: Path | None = None

    def on(self, job: Job) -> Job:
        """The job as these rules see it."""
        if self.day is not None:
            job = replaced(replaced(job, "date", self.day), "edition", None)
        return job if self.edition is None else replaced(job, "edition", self.edition)


@dataclass(frozen=True, slots=True)
class Difference:
    """One rule that answers otherwise."""

    before: Check
    after: Check


@dataclass(frozen=True, slots=True)
class Again:
    """One job judged twice. `wrong` says why it could not be."""

    name: str
    verdicts: tuple[Difference, ...] = ()
    clauses_count: int = 0
    wrong: str = ""


def untold(words: str, done: int, count: int) -> None:
    """For who does not ask how far it is."""


def judged_again(jobs: Sequence[tuple[str, Job]], rules: Rules, told: Told = untold) -> list[Again]:
    """Every job as it was and by these rules, in the order given. What `told` raises breaks it off."""
    once = [job for _, job in jobs]
    before = _judged(once, Rules(), partial(told, "jobs judged as they are"))
    after = _judged([rules.on(job) for job in once], rules, partial(told, "jobs judged again"))
    return [_compared(name, *both) for (name, _), *both in zip(jobs, before, after, strict=True)]


def _judged(jobs: list[Job], rules: Rules, told: Callable[[int, int], None]) -> list[Judged]:
    count = max(1, min(os.cpu_count() or 1, len(jobs)))
    context, found = multiprocessing.get_context("spawn"), list[Judged]()
    if rules.tables is None and len(jobs) <= FEW_COUNT:
        for job in jobs:
            told(len(found), len(jobs))
            found.append(_checks(job))
        return found
    told(0, len(jobs))
    with ProcessPoolExecutor(count, context, initializer=partial(_begin, rules.tables)) as pool:
        try:
            for each in pool.map(_checks, jobs, chunksize=CHUNK_COUNT):
                found.append(each)
                told(len(found), len(jobs))
        except BaseException:
            pool.shutdown(wait=False, cancel_futures=True)
            raise
    return found


def _begin(tables: Path | None) -> None:
    if tables is not None:
        from ampwright.facts import put_in_place

        put_in_place(tables)


def _checks(job: Job) -> Judged:
    from ampwright.assess.assessment import assess
    from ampwright.facts import TableError

    try:
        return assess(job).checks
    except TableError as wrong:
        return str(wrong)


def _compared(name: str, before: Judged, after: Judged) -> Again:
    if isinstance(before, str) or isinstance(after, str):
        return Again(name, wrong=before if isinstance(before, str) else str(after))
    pairs = [Difference(*each) for each in zip(before, after, strict=True)]
    return Again(name, tuple(each for each in pairs if each.before.verdict is not each.after.verdict),
                 sum(each.before.clause != each.after.clause for each in pairs))  # fmt: skip
