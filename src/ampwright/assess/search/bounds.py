"""Cheap sound bounds on whole routes, each asked of the rule itself.

Three things are taken to be true of the rules named here, and tested: a rule of `BY_STRETCH` is only as well met by
a route as by each stretch alone; one of `BY_DROP` is met no better where more volts are lost, one of `BY_LOOP` where
the loop is longer. So a few questions to a rule rule out most ways at once; what is left is judged way by way.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ampwright.assess.book import BOOK
from ampwright.assess.search.bench import Bench
from ampwright.assess.search.routes import Numbers, Routes
from ampwright.job.fields import leaves
from ampwright.job.paths import at, replaced
from ampwright.reading import BEST, WORST
from ampwright.rules.regulation import Regulation

BY_STRETCH = ("conductors_enough", "cable_carries_device_rating", "let_through_energy", "tabulated_rating_cross_check")
BY_DROP = ("voltage_drop", "open_pen_voltage_window")
BY_LOOP = ("disconnection_in_time",)
BY_MANY_DEVICES = ("let_through_energy", "disconnection_in_time")
NAME = "route[].name"
CHECKED_COUNT = 4
ROUNDING_RATIO = 1e-9
Mask = NDArray[np.bool_]
Values = Mapping[str, Any]


def _of_a_stretch() -> tuple[str, ...]:
    """What may differ between stretches; a list within a stretch counts as one thing."""
    inside = (path for path in leaves() if path.startswith("route[].") and path != NAME)
    return tuple(dict.fromkeys("[]".join(path.split("[]")[:2]) for path in inside))


class Bounds:
    """The bounds for one set of routes. Masks are over its ways; `most` is the highest rank that is accepted."""

    def __init__(self, routes: Routes, bench: Bench, alone: Bench | None = None) -> None:
        self.routes, self.bench = routes, bench
        space, section = routes.space, _of_a_stretch()
        first = {path.replace("[]", "[0]"): path for path in section}
        others = tuple(path for path in space.decided if not path.startswith("route["))
        self.alone = alone or Bench(replaced(space.job, "route", space.job.route[:1]), (*others, *first))
        laid = [{here: at(space.job, path.replace("[]", f"[{number}]")) for here, path in first.items()}
                for number in range(len(routes.offers))]  # fmt: skip
        self._laid = {(number, cable): laid[number] | routes.cables[cable].changes(0)
                      for number, offers in enumerate(routes.offers) for cable in offers}  # fmt: skip
        self._sums: dict[tuple[Any, ...], tuple[Numbers, NDArray[np.int64]]] = {}
        self._ranks: dict[tuple[Any, ...], Numbers] = {}
        self._masks: dict[bytes, Mask] = {}
        self._longest: dict[tuple[Any, ...], float] = {}

    def stretch_ranks(self, rule: Regulation, values: Values) -> Numbers:
        """How the rule stands with each stretch (rows) alone in each cable (columns); infinite if not offered."""
        read = _beside_cable(self.alone, rule)
        key = (rule.name, *((path, values[path]) for path in sorted(read)))
        if key in self._ranks:
            return self._ranks[key]
        ranks = np.full((len(self.routes.offers), len(self.routes.cables)), np.inf)
        for (number, cable), laid in self._laid.items():
            ranks[number, cable] = self.alone.rank(rule, {**values, **laid})
        if read == _beside_cable(self.alone, rule):
            self._ranks[key] = ranks
        return ranks

    def by_stretch(self, good: Mask) -> Mask:
        """The ways on which every stretch is good (stretches x cables)."""
        key = good.tobytes()
        if key not in self._masks:
            cells = self.routes.cells
            columns = [good[number][cells[:, number]] for number in range(cells.shape[1])]
            self._masks[key] = np.logical_and.reduce(columns)
        return self._masks[key]

    def longest(self, rule: Regulation, values: Values, most: int, loaded_count: int) -> float:
        """The largest drop a metre or loop, of any way, at which the rule stands no worse than `most`.

        Found by halving over the ways in order of that sum. Infinite, so that all are kept, where a table has a gap
        or where a way beyond does better after all; minus infinite where no way will do.
        """
        read = _beside_cable(self.bench, rule)
        key = (rule.name, most, loaded_count, *((path, values[path]) for path in sorted(read)))
        if key not in self._longest:
            longest_sum = self._halved(rule, values, most, loaded_count)
            if read != _beside_cable(self.bench, rule):
                return longest_sum
            self._longest[key] = longest_sum
        return self._longest[key]

    def _halved(self, rule: Regulation, values: Values, most: int, loaded_count: int) -> float:
        sums, order = self.sums(rule, most, loaded_count)
        if np.isnan(sums[order[-1]]):
            return np.inf

        def holds(place: int) -> bool:
            return self.bench.rank(rule, self.with_way(values, int(order[place]))) <= most

        kept = bisected(holds, len(order))
        beyond = np.linspace(kept, len(order) - 1, CHECKED_COUNT if kept < len(order) else 0).astype(int)
        if any(holds(int(place)) for place in set(beyond.tolist())):
            return np.inf
        return float(sums[order[kept - 1]]) * (1 + ROUNDING_RATIO) if kept else -np.inf

    def sums(self, rule: Regulation, most: int, loaded_count: int) -> tuple[Numbers, NDArray[np.int64]]:
        """The sum that this rule goes by, one a way, and the ways in order of it; gaps last."""
        end = BEST if most else WORST
        key = (rule.name in BY_LOOP, end.worst, loaded_count)
        if key not in self._sums:
            routes = self.routes
            sums = routes.loop_ohm(end) if rule.name in BY_LOOP else routes.drop_v_per_a(loaded_count, end)
            self._sums[key] = (sums, np.argsort(sums, kind="stable"))
        return self._sums[key]

    def with_way(self, values: Values, way: int) -> dict[str, Any]:
        """The decided fields with the cables of one way in them."""
        return self.routes.space.with_cables(values, self.routes.of(way))

    def uniform_ways(self) -> list[int]:
        """The ways in one cable all along, the lowest resistance first."""
        cells = self.routes.cells
        ways = np.flatnonzero(np.all(cells == cells[:, :1], axis=1))
        return [int(way) for way in ways[np.argsort(self.routes.micro_ohm[ways], kind="stable")]]

    def shortest_ways(self, most: int, loaded_count: int, rules: list[Regulation]) -> list[int]:
        """The way of least drop and that of the shortest loop, as far as these rules go by them, and of the least
        resistance."""
        by_sum = [self.sums(rule, most, loaded_count)[1] for rule in rules if rule.name in (*BY_DROP, *BY_LOOP)]
        return list(dict.fromkeys(int(order[0]) for order in (np.argsort(self.routes.micro_ohm), *by_sum)))

    def reads_alone(self) -> frozenset[str]:
        """The decided fields, but for those of the cable, that rules have been seen to read of a stretch alone."""
        return frozenset[str]().union(*(_beside_cable(self.alone, BOOK.regulation(name)) for name in BY_STRETCH))


def _beside_cable(bench: Bench, rule: Regulation) -> frozenset[str]:
    """The decided fields, but for those of the cable, that the rule has been seen to read."""
    return frozenset(path for path in bench.reads(rule) if not path.startswith("route["))


def bisected(holds: Callable[[int], bool], count: int) -> int:
    """How many of the first places hold, where none holds after one that does not."""
    low, high = 0, count
    while low < high:
        middle = (low + high) // 2
        if holds(middle):
            low = middle + 1
        else:
            high = middle
    return low
