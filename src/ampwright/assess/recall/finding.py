"""Which jobs hold all that was asked, what in them does, and which cannot be told because nobody looked."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from ampwright.assess.book import BOOK
from ampwright.assess.recall.condition import Condition, Holds
from ampwright.job.paths import at, spread
from ampwright.job.record import Job

_HEAD = re.compile(r"(\w+(?:\.\w+)*)\[(\d*)\]")


@dataclass(frozen=True, slots=True)
class Hit:
    """A place of the record that holds what a condition asks, or may."""

    path: str
    value: Any
    holds: Holds


@dataclass(frozen=True, slots=True)
class Found:
    """One job: its name where it is kept, the job, the edition it is judged by, and what it holds."""

    name: str
    job: Job
    edition: str
    holds: Holds
    hits: tuple[Hit, ...]


def find(jobs: Iterable[tuple[str, Job]], conditions: Sequence[Condition], edition: str = "") -> Iterator[Found]:
    """Every job that holds all conditions, or may, or of which it cannot be told; judged by an edition with `edition`
    in its name. Conditions about one list are met by one item of it: this cable with this size, not two stretches.
    """
    for name, job in jobs:
        by = BOOK.edition_for(job)
        if edition.casefold() not in by.casefold():
            continue
        hits = _all_of(job, conditions)
        weakest = _weakest(conditions, hits)
        if weakest is not Holds.NO:
            yield Found(name, job, by, weakest, tuple(hit for of in hits for hit in of if hit.holds >= weakest))


def _all_of(job: Job, conditions: Sequence[Condition]) -> list[list[Hit]]:
    """The hits of each condition, those about one list cut down to the items of it that answer best."""
    hits = [_hits(job, each) for each in conditions]
    for head in dict.fromkeys(_head(each) for each in conditions):
        same = [number for number, each in enumerate(conditions) if head and _head(each) == head]
        items = {_item(hit.path) for number in same for hit in hits[number]}
        grade = {item: min(_best(hit for hit in hits[number] if _item(hit.path) == item) for number in same)
                 for item in items}  # fmt: skip
        best = max(grade.values(), default=Holds.NO)
        for number in same:
            hits[number] = [hit for hit in hits[number] if grade[_item(hit.path)] == best > Holds.NO]
    return hits


def _weakest(conditions: Sequence[Condition], hits: list[list[Hit]]) -> Holds:
    return min((_best(hits[number]) for number in range(len(conditions))), default=Holds.YES)


def _best(hits: Iterable[Hit]) -> Holds:
    return max((hit.holds for hit in hits), default=Holds.NO)


def _hits(job: Job, of: Condition) -> list[Hit]:
    found = []
    for pattern, test in of.tests.items():
        for path in spread(job, pattern):
            value = at(job, path)
            if value not in (None, ()):
                found.append(Hit(path, value, test(value)))
            elif not of.of_what_is_said and not _of_nothing(job, path):
                found.append(Hit(path, None, Holds.NOT_LOOKED))
    return [hit for hit in found if hit.holds is not Holds.NO]


def _of_nothing(job: Job, path: str) -> bool:
    """Whether this is a field of a thing that was looked for and is not there."""
    group, _, name = path.rpartition(".")
    while group:
        if name != "fitted" and not group.endswith("]") and getattr(at(job, group), "fitted", None) is False:
            return True
        group, _, name = group.rpartition(".")
    return False


def _head(of: Condition) -> str:
    """The list that every field of a condition stands in, if it is one list."""
    heads = {found[1] if (found := _HEAD.match(pattern)) else "" for pattern in of.tests}
    return heads.pop() if len(heads) == 1 else ""


def _item(path: str) -> str:
    found = _HEAD.match(path)
    return found[0] if found else ""
