"""Where a check turns: the values of one reading at which its verdict changes, to the last float.

A grid is laid over what the reading may be and every change of verdict between two neighbours is halved down to
two floats that lie side by side. Where the verdict changes one way only, none is missed, however narrow; one that
comes and goes again between two neighbours of the grid is not seen.
"""

from __future__ import annotations

import struct
from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import pairwise
from typing import Any, Generic, Literal, NamedTuple, TypeVar, get_args, get_origin

from ampwright.facts import rows
from ampwright.job.fields import bare, fields, leaves
from ampwright.job.paths import at, pattern_of, replaced
from ampwright.job.record import Job
from ampwright.reading import Reading
from ampwright.rules.regulation import Regulation
from ampwright.working import Verdict

GRID_COUNT = 33
WIDE_RATIO = 100
T = TypeVar("T")
Listed = Sequence[float]


class Stretch(NamedTuple, Generic[T]):
    """From `low` to `high`, both ends counted, the answer is one and the same."""

    low: float
    high: float
    verdict: T


class Answer(NamedTuple):
    """One word of a closed list, or yes or no, and the verdict under it."""

    value: Any
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Turning:
    """The verdict of one rule over all that one field may be, everything else held as the survey has it.

    A number has `stretches`, in rising order: together they hold every value that it may take (every float of a
    measured quantity, every whole number of a count, every size that is made). Words have `answers` instead.
    """

    rule: str
    path: str
    stretches: tuple[Stretch[Verdict], ...] = ()
    answers: tuple[Answer, ...] = ()

    def verdict_at(self, value: Any) -> Verdict:
        """The verdict under one value. Raises ValueError for a value that is not among them."""
        for answer in self.answers:
            if answer.value == value:
                return answer.verdict
        for stretch in self.stretches:
            if stretch.low <= value <= stretch.high:
                return stretch.verdict
        raise ValueError(f"{value!r} is not among the values of {self.path} that were tried")


def turning_values(job: Job, rule: Regulation, path: str) -> Turning | None:
    """Where `rule` turns as the field at `path` goes through what it may be.

    That is a reading's own range; for a number that nobody looked at, what fields.csv calls sane; every word of a
    closed list. None for text, a date, a list, and a number without sane ends, which cannot be tried.
    """
    asked = fields().get(pattern_of(path))
    if asked is None:
        return None
    hint, value = bare(leaves()[asked.path]), at(job, path)

    def verdict(tried: Any) -> Verdict:
        return rule(replaced(job, path, tried)).verdict

    words = _words(hint)
    if words and not _is_count(path):
        return Turning(rule.name, path, answers=tuple(Answer(each, verdict(each)) for each in words))
    ends = _ends(value, words) or (asked.low, asked.high)
    low, high = ends
    if low is None or high is None or not (words or hint in (float, Reading)):
        return None
    found = scanned(lambda tried: verdict(as_field(path, tried)), low, high, among=among(path, low, high))
    return Turning(rule.name, path, found)


def scanned(of: Callable[[float], T], low: float, high: float, *,
            among: Listed | None = None) -> tuple[Stretch[T], ...]:  # fmt: skip
    """The stretches from `low` to `high` on which `of` answers alike, in rising order, each end exact.

    `among`, where the field takes only some values (in rising order), are those; else every float counts.
    """
    numbers = among if among is not None else _Floats()
    grid = _listed_grid(among) if among is not None else _grid(low, high)

    @cache
    def answer(place: int) -> T:
        return of(numbers[place])

    last = [cut for left, right in pairwise(grid) for cut in _cuts(answer, left, right)]
    firsts, lasts = [grid[0], *(cut + 1 for cut in last)], [*last, grid[-1]]
    return tuple(Stretch(numbers[first], numbers[end], answer(first))
                 for first, end in zip(firsts, lasts, strict=True))  # fmt: skip


def among(path: str, low: float, high: float) -> Listed | None:
    """The values a field can have from `low` to `high`, where not every number is one: whole counts, and the
    conductor sizes and device ratings that the tables hold. None where every number is one.
    """
    if _is_count(path):
        first, last = -int(-low // 1), int(high // 1)
        return range(first, last + 1) if first <= last else None
    known = _made(path)
    kept = known[bisect_right(known, low) - (low in known) : bisect_right(known, high)]
    return kept or None


def as_field(path: str, value: float) -> Any:
    """A number as the record holds it at this path: a reading, a float, or a whole number of a closed list."""
    hint = bare(leaves()[pattern_of(path)])
    if hint is Reading:
        return Reading(float(value), float(value))
    return int(value) if get_origin(hint) is Literal else float(value)


def _words(hint: Any) -> tuple[Any, ...]:
    if hint is bool:
        return (True, False)
    return get_args(hint) if get_origin(hint) is Literal else ()


def _ends(value: Any, words: tuple[Any, ...]) -> tuple[float, float] | None:
    if isinstance(value, Reading):
        return value.low, value.high
    return (min(words), max(words)) if words else None


def _is_count(path: str) -> bool:
    return path.endswith("_count")


@lru_cache(maxsize=256)
def _made(path: str) -> tuple[float, ...]:
    if path.endswith("_mm2"):
        table, column = "iec/copper_resistance", "size_mm2"
    elif path == "circuit.device.rating_a":
        table, column = "gb/max_zs", "rating_a"
    else:
        return ()
    return tuple(sorted({float(row[column]) for row in rows(table)}))


def _cuts(answer: Callable[[int], Any], left: int, right: int) -> list[int]:
    """The last place of every stretch that ends between two places, as far as halving shows them."""
    if answer(left) == answer(right):
        return []
    if right - left == 1:
        return [left]
    middle = (left + right) // 2
    return [*_cuts(answer, left, middle), *_cuts(answer, middle, right)]


def _grid(low: float, high: float) -> list[int]:
    shares = [step / (GRID_COUNT - 1) for step in range(GRID_COUNT)]
    if low > 0 and high / low > WIDE_RATIO:
        between = [low * (high / low) ** share for share in shares]
    else:
        between = [low + (high - low) * share for share in shares]
    inside = (min(max(each, low), high) for each in between)
    return sorted({_place(each) for each in (low, high, *inside)})


def _listed_grid(listed: Listed) -> list[int]:
    last = len(listed) - 1
    count = min(last, 3 * GRID_COUNT) or 1
    return sorted({round(last * step / count) for step in range(count + 1)})


class _Floats:
    """All floats, numbered in rising order: neighbours are one apart."""

    def __getitem__(self, place: int) -> float:
        bits = place if place >= 0 else -place | -(2**63)
        return float(struct.unpack("<d", struct.pack("<q", bits))[0])


def _place(value: float) -> int:
    bits = int(struct.unpack("<q", struct.pack("<d", value))[0])
    return bits if bits >= 0 else -(bits & (2**63 - 1))
