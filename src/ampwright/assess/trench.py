"""The trenches of a job: which rows of the catalogue may be the one for each buried stretch, and both ends of its cost.

Digging a lawn and cutting a concrete drive are not one price. A stretch whose surface nobody said may lie under any
surface that the sketch has ground of; where no ground is drawn, under any at all.
"""

from __future__ import annotations

import typing
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from ampwright.assess.catalogue import Catalogue, Choice, dug_by
from ampwright.job.record import Job
from ampwright.job.sketch import Surface
from ampwright.reading import Reading, assumed
from ampwright.rules.gb.parts.carrying import BURIED

ANY: tuple[Surface, ...] = typing.get_args(Surface)
UNSAID = "the surface was not said"


@dataclass(frozen=True, slots=True)
class Trench:
    """Buried stretches, by number, under like ground, and the rows that may be the right one: one where it was said."""

    numbers: tuple[int, ...]
    rows: tuple[Choice, ...]

    def fixed(self, of: Literal["pence", "minutes"]) -> Reading:
        """Pence or minutes to make ready, once for this kind of ground."""
        return _ends([getattr(each.fixed, of) for each in self.rows])

    def per_m(self, of: Literal["pence", "minutes"]) -> Reading:
        """Pence or minutes of each metre."""
        return _ends([getattr(each.per_m, of) for each in self.rows])


def trenches(job: Job, catalogue: Catalogue) -> list[Trench]:
    """The trenches in the order of the route, like ground taken together."""
    found: dict[tuple[Choice, ...], list[int]] = {}
    for number, section in enumerate(job.route):
        if section.method in BURIED:
            rows = tuple(row for row in catalogue.axis("trench")
                         if any(dug_by(row, surface) for surface in surfaces(job, number)))  # fmt: skip
            found.setdefault(rows, []).append(number)
    return [Trench(tuple(numbers), rows) for rows, numbers in found.items()]


def surfaces(job: Job, number: int) -> tuple[Surface, ...]:
    """What may lie over a buried stretch: as said, else every surface that is drawn, else any."""
    said = job.route[number].surface
    if said is not None:
        return (said,)
    drawn = [each.surface for each in job.sketch.ground]
    known = tuple(dict.fromkeys(each for each in drawn if each is not None))
    return known if known and None not in drawn else ANY


def unsaid(job: Job, catalogue: Catalogue) -> Iterator[int]:
    """The buried stretches whose price hangs on a surface that nobody said."""
    for trench in trenches(job, catalogue):
        if len(trench.rows) > 1:
            yield from trench.numbers


def _ends(costs: list[int]) -> Reading:
    low, high = min(costs), max(costs)
    return Reading(low, high) if low == high else assumed(low, high, UNSAID)
