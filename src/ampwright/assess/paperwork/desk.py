"""What a box is filled from: the job, the day, the checks and the price; and how a value is told."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

from ampwright.assess.book import BOOK
from ampwright.assess.paperwork.priced import Prices, as_it_stands
from ampwright.assess.quote.quote import Quote
from ampwright.assess.turning_words import with_unit
from ampwright.job.fields import leaves
from ampwright.job.paths import at, pattern_of, spread
from ampwright.job.record import Job
from ampwright.reading import Reading
from ampwright.working import Check, Verdict, shown, written_day

_PERSON = re.compile(r"people\[([a-z]+)\]\.(\w+)")
_PRINTED = (
    (r"_70c$", " 70 °C"), (r"_90c$", " 90 °C"), (r"^bs88_(\d)$", r"BS 88-\1"), (r"^bs(\d+)$", r"BS \1"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Filled:
    """What goes into a box, None where nothing can be said yet, and the paths of the record that it comes from."""

    value: str | None
    paths: tuple[str, ...] = ()

    def also(self, paths: Iterable[str]) -> Filled:
        """The same with more paths that it hangs on."""
        return replace(self, paths=tuple(dict.fromkeys((*self.paths, *paths))))


@dataclass(frozen=True, slots=True)
class Desk:
    """One job on one day; what several boxes ask for is worked out once."""

    job: Job
    today: datetime.date
    prices: Prices
    _checks: dict[str, Check] = field(default_factory=dict)
    _quotes: list[Quote | None] = field(default_factory=list)

    def check(self, rule: str) -> Check:
        """The answer of one rule of the book."""
        if rule not in self._checks:
            self._checks[rule] = BOOK.judge(self.job, rule)[0]
        return self._checks[rule]

    def symbol(self, rule: str, symbol: str) -> float | None:
        """The number that a rule's sheet has last for a symbol; None while the rule is open."""
        check = self.check(rule)
        if check.verdict is Verdict.NOT_YET_KNOWN:
            return None
        return next((step.value for step in reversed(check.working) if step.symbol == symbol), None)

    def quote(self) -> Quote | None:
        """The price of the job as it stands; None where the catalogue has it not."""
        if not self._quotes:
            self._quotes.append(as_it_stands(self.job, self.prices))
        return self._quotes[0]

    def person(self, role: str) -> int | None:
        """The place in the list of the first person in that role."""
        return next((number for number, each in enumerate(self.job.people) if each.role == role), None)


Fill = Callable[[Desk, str], Filled]


def told(path: str, value: Any) -> str:
    """What stands at a path, as a paper has it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Reading):
        because = f" ({value.because})" if value.because and not value.exact else ""
        return with_unit(path, value.ends) + because
    if isinstance(value, int | float):
        return with_unit(path, shown(value))
    if isinstance(value, datetime.date):
        return written_day(value)
    if isinstance(value, tuple):
        return ", ".join(told(path, each) for each in value)
    return str(value)


def printed(word: str) -> str:
    """A word of a closed list as a paper has it: `armoured_90c` is armoured 90 °C."""
    for pattern, words in _PRINTED:
        word = re.sub(pattern, words, word)
    return word.replace("_", " ")


def stated(job: Job, path: str) -> bool:
    """Whether anything stands at a concrete path."""
    return at(job, path) not in (None, (), "")


def from_paths(desk: Desk, source: str) -> Filled:
    """`path; path`: what stands there, all of it or nothing; `people[customer].name` is by role."""
    values: list[str] = []
    paths: list[str] = []
    whole = True
    for each in source.split("; "):
        found = _concrete(desk, each)
        paths += found
        known = [path for path in found if pattern_of(path) in leaves() and stated(desk.job, path)]
        whole = whole and bool(known) and len(known) == len(found)
        values += [told(path, at(desk.job, path)) for path in known if not path.endswith("].role")]
    return Filled(", ".join(values) if whole else None, tuple(paths))


def under(job: Job, prefixes: str) -> tuple[str, ...]:
    """Every leaf that stands under `group; list[]; leaf`, by its concrete path."""
    return tuple(path for pattern in _patterns(prefixes) for path in spread(job, pattern)
                 if pattern_of(path) in leaves() and stated(job, path))  # fmt: skip


@lru_cache(maxsize=256)
def _patterns(prefixes: str) -> tuple[str, ...]:
    wanted = tuple(each for each in prefixes.split("; ") if each)
    return tuple(pattern for pattern in leaves() if any(_within(pattern, each) for each in wanted))


def _within(pattern: str, prefix: str) -> bool:
    return pattern == prefix or pattern.startswith((f"{prefix}.", f"{prefix}[]."))


def _concrete(desk: Desk, pattern: str) -> tuple[str, ...]:
    found = _PERSON.fullmatch(pattern)
    if found is None:
        return spread(desk.job, pattern)
    number = desk.person(found[1])
    return ("people",) if number is None else (f"people[{number}].role", f"people[{number}].{found[2]}")
