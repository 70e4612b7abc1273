"""Judge a whole job against its country's book, and rank what to find out next."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal, get_args, get_origin

from ampwright.assess.book import BOOK
from ampwright.job.fields import bare, fields, leaves
from ampwright.job.paths import at, pattern_of, replaced
from ampwright.job.record import Job
from ampwright.reading import Reading
from ampwright.rules.book import Book
from ampwright.working import Check, Verdict

OPEN = Verdict.NOT_YET_KNOWN


@dataclass(frozen=True, slots=True)
class Unknown:
    """One thing to find out: its path, the checks that ask for it, those of them that an answer to it alone would
    settle whatever it is, and those that it would settle for at least one answer tried.
    """

    path: str
    asked_by: tuple[str, ...]
    settles: tuple[str, ...]
    may_settle: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What trying the answers at one path does to one rule: settles it always, sometimes, and what it asks next."""

    always: bool
    sometimes: bool
    asks_next: tuple[str, ...]


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
        """What was not looked at or is a range, the reading that settles most first.

        Each is tried with the answers that a look might find; what such an answer would make a rule ask next
        stands in the list as well.
        """
        asked = [(path, check.rule) for check in self.checks if check.verdict is OPEN for path in check.needs]
        found: dict[str, list[tuple[str, Outcome]]] = {}
        for path, rule in asked:  # grows as it goes
            outcome = self._tried(path, rule)
            found.setdefault(path, []).append((rule, outcome))
            asked += [(each, rule) for each in outcome.asks_next if (each, rule) not in asked]
        unknowns = [_unknown(path, outcomes) for path, outcomes in found.items()]
        return tuple(sorted(unknowns, key=lambda each: (-len(each.settles), -len(each.may_settle),
                                                        -len(each.asked_by), each.path)))  # fmt: skip

    def _tried(self, path: str, rule: str) -> Outcome:
        judge = self.book.regulation(rule)
        findings = [judge(replaced(self.job, path, each)) for each in possible_answers(self.job, path)]
        settled = [finding.verdict is not OPEN for finding in findings]
        next_asked = dict.fromkeys(need for finding in findings for need in finding.needs)
        return Outcome(bool(settled) and all(settled), any(settled), tuple(next_asked))


def _unknown(path: str, outcomes: list[tuple[str, Outcome]]) -> Unknown:
    return Unknown(
        path,
        asked_by=tuple(rule for rule, _ in outcomes),
        settles=tuple(rule for rule, outcome in outcomes if outcome.always),
        may_settle=tuple(rule for rule, outcome in outcomes if outcome.sometimes),
    )


def possible_answers(job: Job, path: str) -> tuple[Any, ...]:
    """What a look at this path might find: both ends and the middle of a range, each word of a closed list, yes and
    no, and for a number that nobody looked at the ends and the middle of what fields.csv calls sane. Empty for a
    list and for free text, which cannot be tried.
    """
    value = at(job, path)
    if isinstance(value, Reading):
        return tuple(Reading(each, each) for each in _spread(value.low, value.high))
    asked = fields().get(pattern_of(path))
    if asked is None:
        return ()
    hint = bare(leaves()[asked.path])
    if get_origin(hint) is Literal:
        return get_args(hint)
    if hint is bool:
        return (True, False)
    if asked.low is None or asked.high is None or hint not in (float, Reading):
        return ()
    tried = _spread(asked.low, asked.high)
    return tuple(Reading(each, each) for each in tried) if hint is Reading else tried


def _spread(low: float, high: float) -> tuple[float, ...]:
    return (low, (low + high) / 2, high)


def assess(job: Job, only: str | None = None) -> Assessment:
    """Judge `job` against the GB book (or one rule of it, by stable name; KeyError if there is none)."""
    return Assessment(job, BOOK, BOOK.edition_for(job), BOOK.judge(job, only))

