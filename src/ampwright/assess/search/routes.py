"""Every way to cable the route, as arrays: one row a way, one column a stretch, each cell a cable of the catalogue.

Costs and the sums that bounds need are added up for all ways at once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations, pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from ampwright.assess.search.space import Cables, Space
from ampwright.assess.trench import trenches
from ampwright.facts import NoRow
from ampwright.job.record import Section
from ampwright.reading import WORST, End
from ampwright.rules.gb.parts.route import cpc_ohm, drop_v, line_ohm
from ampwright.rules.regulation import seen
from ampwright.working import Working

CHANGES_COUNT = 2
Numbers = NDArray[np.float64]
Cells = NDArray[np.int32]
Priced = Literal["pence", "minutes"]
OfSection = Callable[[Section, int], float]


@dataclass(frozen=True)
class Routes:
    """Ways to cable a route. `cables` are those offered on any stretch; `cells` (ways x stretches) numbers them.

    `offers` are the numbers of those offered on each stretch.
    """

    space: Space
    cables: Cables
    offers: tuple[tuple[int, ...], ...]
    cells: Cells

    def of(self, way: int) -> Cables:
        """The cable of each stretch on one way."""
        return tuple(self.cables[number] for number in self.cells[way])

    def only(self, way: int) -> Routes:
        """That one way alone."""
        return replace(self, cells=self.cells[way : way + 1])

    def added(self, of_stretch: Numbers) -> Numbers:
        """Sum over the stretches of figures (stretches x cables): one a way."""
        columns = [of_stretch[number, self.cells[:, number]] for number in range(self.cells.shape[1])]
        total: Numbers = np.sum(columns, axis=0, dtype=np.float64)
        return total

    def cost(self, of: Priced, end: End = WORST) -> Numbers:
        """Pence or minutes for cable, terminations, joint boxes and trench, one a way, at one end of the lengths."""
        per_m = [getattr(cable.per_m, of) for cable in self.cables]
        fixed = [getattr(cable.fixed, of) for cable in self.cables]
        ends = np.array([getattr(cable.per_end, of) for cable in self.cables], dtype=np.float64)
        joint = sum(getattr(box.fixed, of) for box in self.space.catalogue.axis("joint")[:1])
        total = self.added(np.outer(self._lengths_m(end), per_m) + np.array(fixed))
        for trench in trenches(self.space.job, self.space.catalogue):
            total += end.more_hurts(trench.fixed(of))
            total += self._lengths_m(end)[list(trench.numbers)].sum() * end.more_hurts(trench.per_m(of))
        total += ends[self.cells[:, 0]] + ends[self.cells[:, -1]]
        for left, right in pairwise(range(self.cells.shape[1])):
            here, there = self.cells[:, left], self.cells[:, right]
            total += np.where(here != there, ends[here] + ends[there] + joint, 0.0)
        return total

    def bare_m(self, end: End = WORST) -> Numbers:
        """Metres of each way that a sensor's lead has to run beside a cable without a data pair."""
        bare = [0.0 if dict(cable.sets).get("route[].cable.carries_data") else 1.0 for cable in self.cables]
        return self.added(np.outer(self._lengths_m(end), bare))

    def line_ohm(self) -> Numbers:
        """One line conductor of each way, warm, at the longest."""
        return self._summed(lambda section, number: line_ohm(section, number, WORST, Working()))

    @cached_property
    def micro_ohm(self) -> Numbers:
        """The same in whole millionths of an ohm, in which ways are compared."""
        return np.rint(1e6 * self.line_ohm())

    def loop_ohm(self, end: End) -> Numbers:
        """R1 + R2 of each way, warm, at one end of the survey."""
        return self._summed(lambda section, number: line_ohm(section, number, end, Working())
                            + cpc_ohm(section, number, end, Working()))  # fmt: skip

    def drop_v_per_a(self, loaded_count: int, end: End) -> Numbers:
        """Volts lost on each way for every ampere, at one end of the survey."""

        def of(section: Section, number: int) -> float:
            sheet = Working()
            return drop_v(section, number, loaded_count, sheet.given("Ib", 1.0), end, sheet)

        return self._summed(of)

    def _summed(self, of: OfSection) -> Numbers:
        """Add a figure over the stretches; not a number where a table has no row for a cable."""
        figures = np.full((len(self.offers), len(self.cables)), np.nan)
        for (number, cable), section in self._laid.items():
            try:
                figures[number, cable] = of(section, number + 1)
            except NoRow:
                continue
        return self.added(figures)

    @cached_property
    def _laid(self) -> dict[tuple[int, int], Section]:
        return {(number, cable): self.space.laid(number, self.cables[cable])
                for number, offers in enumerate(self.offers) for cable in offers}  # fmt: skip

    def _lengths_m(self, end: End) -> Numbers:
        return np.array([end.more_hurts(seen(section.length_m)) for section in self.space.job.route])


def every_way(space: Space) -> Routes:
    """All ways to cable the route with at most two changes of cable on it: all there are of up to three stretches."""
    cables = tuple(dict.fromkeys(cable for offers in space.stretches for cable in offers))
    numbers = {id(cable): number for number, cable in enumerate(cables)}
    offers = tuple(tuple(numbers[id(cable)] for cable in stretch) for stretch in space.stretches)
    blocks = _blocks([np.array(each, dtype=np.int32) for each in offers])
    return Routes(space, cables, offers, np.concatenate(list(blocks)))


def _blocks(offers: list[NDArray[np.int32]]) -> Iterator[Cells]:
    """The ways by where the cable changes: nowhere, at one joint, at two; no way stands in two blocks."""
    joints = range(1, len(offers))
    for count in range(min(CHANGES_COUNT, len(offers) - 1) + 1):
        for places in combinations(joints, count):
            bounds = list(pairwise((0, *places, len(offers))))
            common = [_shared(offers[first:last]) for first, last in bounds]
            grid = np.stack(np.meshgrid(*common, indexing="ij"), axis=-1).reshape(-1, len(common))
            apart = np.all(grid[:, 1:] != grid[:, :-1], axis=1)
            yield np.repeat(grid[apart], [last - first for first, last in bounds], axis=1)


def _shared(offers: list[NDArray[np.int32]]) -> NDArray[np.int32]:
    shared = offers[0]
    for each in offers[1:]:
        shared = shared[np.isin(shared, each)]
    return shared
