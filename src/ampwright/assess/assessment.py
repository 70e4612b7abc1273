"""Judge a whole job against its country's book, and rank what to find out next."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import cached_property

from ampwright.job.paths import at, pattern_of, replaced
from ampwright.job.record import Job
from ampwright.reading import Reading
from ampwright.rules.book import Book
from ampwright.rules.gb.book import GB
from ampwright.working import Check, Verdict

OPEN = Verdict.NOT_YET_KNOWN


@dataclass(frozen=True, slots=True)
class Unknown:
    """One thing to find out: its path, the checks that ask for it, and those that it alone would settle."""

    path: str
    asked_by: tuple[str, ...]
    settles: tuple[str, ...]


@dataclass(frozen=True)
class Assessment:
    """Every check on a job, in reading order."""

    job: Job
    book: Book
    edition: str
    checks: tuple[Check, ...]

    def count(self, verdict: Verdict) -> int:
        """How many checks have this verdict."""
        return Counter(check.verdict for check in self.checks)[verdict]

    @property
    def exit_status(self) -> int:
        """0 if nothing is open or failed, 1 if something is not met, else 2 if something is not yet known."""
        if self.count(Verdict.NOT_MET):
            return 1
        return 2 if self.count(OPEN) else 0

    @cached_property
    def to_find_out(self) -> tuple[Unknown, ...]:
        """What was not looked at or is a range, the reading that settles most first."""
        open_checks = [check for check in self.checks if check.verdict is OPEN]
        asked_by: dict[str, list[str]] = {}
        for check in open_checks:
            for path in check.needs:
                asked_by.setdefault(path, []).append(check.rule)
        only_need = {check.rule: check.needs[0] for check in open_checks if len(check.needs) == 1}
        unknowns = []
        for path, rules in asked_by.items():
            settles = [rule for rule in rules if only_need.get(rule) == path or self._settled_by(path, rule)]
            unknowns.append(Unknown(path, tuple(rules), tuple(settles)))
        return tuple(sorted(unknowns, key=lambda each: (-len(each.settles), -len(each.asked_by), each.path)))

    def _settled_by(self, path: str, rule: str) -> bool:
        """Whether an exact reading at either end of a range would leave the rule with an answer."""
        value = at(self.job, path)
        if not isinstance(value, Reading):
            return False
        ends = (Reading(value.low, value.low), Reading(value.high, value.high))
        judge = self.book.regulation(rule)
        return all(judge(replaced(self.job, path, end)).verdict is not OPEN for end in ends)


def assess(job: Job, only: str | None = None) -> Assessment:
    """Judge `job` against the GB book (or one rule of it, by stable name; KeyError if there is none)."""
    return Assessment(job, GB, GB.edition_for(job), GB.judge(job, only))


def rule_patterns() -> dict[str, tuple[str, ...]]:
    """Which fields each rule reads, by stable name."""
    return {each.name: tuple(pattern_of(path) for path in each.needs) for each in GB.regulations}
