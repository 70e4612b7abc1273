"""Which ways to cable the route stand with which other choices, the charging being chosen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from ampwright.assess.catalogue import Choice
from ampwright.assess.search.bench import FAILED
from ampwright.assess.search.bounds import BY_DROP, BY_LOOP, BY_MANY_DEVICES, BY_STRETCH, Bounds, Mask
from ampwright.assess.search.tables import Tables
from ampwright.rules.gb.parts.route import loaded_count
from ampwright.rules.regulation import Regulation

PROBED_COUNT = 60
Places = Mapping[str, int]
Key = tuple[Any, ...]


@dataclass(frozen=True)
class Extra:
    """Choices on some axes: net pence and minutes beside the cable, and for each metre of a sensor's lead."""

    places: Places
    pence: int
    minutes: int
    lead: tuple[int, int]

    def beside(self, other: Extra) -> Extra:
        """Both together."""
        lead = (self.lead[0] + other.lead[0], self.lead[1] + other.lead[1])
        return Extra({**self.places, **other.places}, self.pence + other.pence, self.minutes + other.minutes, lead)

    @property
    def figures(self) -> tuple[float, ...]:
        """Its costs, of each of which less is better."""
        return self.pence, self.minutes, *self.lead


def costs_of(places: Places, chosen: Iterable[Choice]) -> Extra:
    """What these choices cost together; labour is not yet in the pence."""
    rows = tuple(chosen)
    lead = (sum(each.per_m.pence for each in rows), sum(each.per_m.minutes for each in rows))
    return Extra(places, sum(each.fixed.pence for each in rows), sum(each.fixed.minutes for each in rows), lead)


class Ways:
    """The rules that read the cable, asked with one way to charge: in bounds first, then way by way.

    `most` is the highest rank accepted; a rule that no probe does so well by is accepted at the best that one does,
    unless that is not met: then it stands in `unmet`.
    """

    def __init__(self, tables: Tables, bounds: Bounds, most: int) -> None:
        self.most = most
        self.refused_by_watched: frozenset[str] = frozenset()
        self.unmet: tuple[str, ...] = ()
        self._tables, self._bounds = tables, bounds
        self._asked = [*tables.of_route, *tables.watched]
        self._floors: dict[str, int] = {}
        self._loaded_count = loaded_count(tables.space.designed([tables.charging], ()))

    def by_key(self, heads: Iterable[Places]) -> dict[Key, list[Places]]:
        """The choices on the axes that rules read together with the cable, those together that none tells apart."""
        space, alike = self._tables.space, dict[Key, list[Places]]()
        fields: dict[str, list[str]] = {}
        for path in self._tables.fields_with_route():
            fields.setdefault(space.axis_of[path], []).append(path)
        told = {(axis, place): tuple({**space.as_found, **choice.changes()}[path] for path in paths)
                for axis, paths in fields.items() for place, choice in enumerate(space.choices[axis])}  # fmt: skip
        for places in heads:
            alike.setdefault(tuple(told[axis, places[axis]] for axis in fields), []).append(places)
        self._find_floors([group[0] for group in alike.values()])
        return alike

    def mask(self, places: Places, *, roughly: bool = False) -> Mask:
        """The ways that the bounds leave with these choices; roughly, without rules that tell most devices apart."""
        values = self._tables.values(places)
        bounds = self._bounds
        rules = [rule for rule in self._tables.of_route if not (roughly and rule.name in BY_MANY_DEVICES)]
        good = np.ones((len(bounds.routes.offers), len(bounds.routes.cables)), dtype=bool)
        for rule in (each for each in rules if each.name in BY_STRETCH):
            good &= bounds.stretch_ranks(rule, values) <= self._accepted(rule)
        mask = bounds.by_stretch(good)
        for rule in (each for each in rules if each.name in (*BY_DROP, *BY_LOOP)):
            most = self._accepted(rule)
            longest = bounds.longest(rule, values, most, self._loaded_count)
            if longest < np.inf:
                mask = mask & (bounds.sums(rule, most, self._loaded_count)[0] <= longest)
        return mask

    def stand(self, places: Places, way: int) -> bool:
        """Whether every rule that was not asked everything accepts these choices with one way to cable."""
        values = self._bounds.with_way(self._tables.values(places), way)
        for rule in self._asked:
            if self._bounds.bench.rank(rule, values) > self._accepted(rule):
                if rule in self._tables.watched:
                    self.refused_by_watched |= {rule.name}
                return False
        return True

    def _accepted(self, rule: Regulation) -> int:
        return max(self.most, self._floors.get(rule.name, self.most))

    def _find_floors(self, heads: list[Places]) -> None:
        """The best rank at which each rule stands with any probe.

        Probed are all heads with the ways of the shortest sums, and the first head with one cable all along and with
        ways from all over. What a rule says of each stretch alone is asked of every cable.
        """
        if not heads:
            return
        bounds = self._bounds
        short = bounds.shortest_ways(self.most, self._loaded_count, self._tables.of_route)
        spread = np.linspace(0, len(bounds.routes.cells) - 1, PROBED_COUNT).astype(int).tolist()
        probes = [(places, way) for places in heads for way in short]
        probes += [(heads[0], way) for way in (*bounds.uniform_ways(), *spread)]
        for rule in self._asked:
            floor = self._best(rule, probes)
            if floor > self.most and rule.name in BY_STRETCH:
                floor = min(floor, self._best_by_stretch(rule, heads))
            if floor == FAILED:
                self.unmet = (*self.unmet, rule.name)
            else:
                self._floors[rule.name] = floor

    def _best(self, rule: Regulation, probes: Iterable[tuple[Places, int]]) -> int:
        best = FAILED
        for places, way in probes:
            rank = self._bounds.bench.rank(rule, self._bounds.with_way(self._tables.values(places), way))
            best = min(best, rank)
            if best <= self.most:
                break
        return best

    def _best_by_stretch(self, rule: Regulation, heads: list[Places]) -> int:
        """The rank of the worst stretch in its best cable, at the best head."""
        ranks = (self._bounds.stretch_ranks(rule, self._tables.values(places)) for places in heads)
        return int(min(each.min(axis=1).max() for each in ranks))
