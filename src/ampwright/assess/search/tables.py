"""What the rules that look at no cable leave of the choices, once it is chosen how to charge."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from math import prod
from typing import Any

from ampwright.assess.catalogue import Choice
from ampwright.assess.search.bench import FAILED
from ampwright.assess.search.bounds import Bounds
from ampwright.assess.search.space import HUB, ROUTE, Cables, Space
from ampwright.rules.regulation import Regulation

LARGEST_COUNT = 600
Places = tuple[int, ...]


@dataclass(frozen=True)
class Table:
    """How one rule stands for every combination of the axes that it reads."""

    rule: Regulation
    axes: tuple[str, ...]
    ranks: Mapping[Places, int]

    @property
    def floor(self) -> int:
        """The best that any combination does."""
        return min(self.ranks.values())

    def allowed(self, most: int) -> frozenset[Places]:
        """The combinations that do no worse than `most`, or than the best there is where none does so well."""
        return frozenset(places for places, rank in self.ranks.items() if rank <= max(most, self.floor))


class Tables:
    """Every rule sorted by what it reads, for one way to charge.

    `tables` holds the rules that read no cable and few enough axes to ask them everything; `of_route` those that
    read a cable; `watched` those that read too much to be asked everything: they are asked of each design found.
    """

    def __init__(self, space: Space, bounds: Bounds, charging: Choice, promoted: frozenset[str]) -> None:
        self.space, self.bench, self.charging = space, bounds.bench, charging
        self.reads_alone = bounds.reads_alone
        self.axes = tuple(axis for axis in space.axes if axis != HUB)
        self._defaults: Cables = tuple(offers[0] for offers in space.stretches)
        self._promoted = promoted
        self.tables: list[Table] = []
        self.of_route: list[Regulation] = []
        self.watched: list[Regulation] = []

    def sort(self, rules: tuple[Regulation, ...]) -> None:
        """Ask each rule enough to know on which axes it depends."""
        for rule in rules:
            table = self._table(rule)
            if table is not None:
                self.tables.append(table)
            elif ROUTE in self._read(rule):
                self.of_route.append(rule)
            else:
                self.watched.append(rule)

    def values(self, places: Mapping[str, int]) -> dict[str, Any]:
        """The decided fields with these choices on some axes and the first choice on the others."""
        picked = [self.space.choices[axis][places.get(axis, 0)] for axis in self.axes]
        return self.space.values([self.charging, *picked], self._defaults)

    def chosen(self, places: Mapping[str, int]) -> tuple[Choice, ...]:
        """The choices at these places."""
        return tuple(self.space.choices[axis][place] for axis, place in places.items())

    @property
    def impossible(self) -> tuple[str, ...]:
        """The rules that no choice meets."""
        return tuple(table.rule.name for table in self.tables if table.floor == FAILED)

    def fields_with_route(self) -> tuple[str, ...]:
        """The decided fields, but for those of the cable, that rules read together with the cable."""
        read = self.reads_alone().union(*(self.bench.reads(rule) for rule in self.of_route))
        return tuple(path for path, axis in self.space.axis_of.items() if path in read and axis not in (ROUTE, HUB))

    def combinations(self, axes: tuple[str, ...], most: int) -> Iterator[dict[str, int]]:
        """Every combination of choices on these axes that the tables within them allow."""
        inside = [(table.axes, table.allowed(most)) for table in self.tables if set(table.axes) <= set(axes)]
        due = [[(own, allowed) for own, allowed in inside if own and max(map(axes.index, own)) == depth]
               for depth in range(len(axes))]  # fmt: skip

        def grown(places: Places) -> Iterator[Places]:
            if len(places) == len(axes):
                yield places
                return
            for choice in range(len(self.space.choices[axes[len(places)]])):
                longer = (*places, choice)
                if all(tuple(longer[axes.index(axis)] for axis in own) in allowed
                       for own, allowed in due[len(places)]):  # fmt: skip
                    yield from grown(longer)

        yield from (dict(zip(axes, places, strict=True)) for places in grown(()))

    def components(self) -> list[tuple[str, ...]]:
        """The axes in groups that no rule joins; the group of the cable comes first."""
        joined = [{self.space.axis_of[path] for path in self.fields_with_route()}]
        for group in (*(set(table.axes) for table in self.tables), *({axis} for axis in self.axes)):
            touching = [each for each in joined if each & group]
            merged = group.union(*touching)
            place = joined.index(touching[0]) if touching else len(joined)
            joined[place : place + 1] = [merged]
            joined = [each for each in joined if each is merged or not any(each is other for other in touching)]
        route, *others = (tuple(axis for axis in self.axes if axis in group) for group in joined)
        return [route, *filter(None, others)]

    def _table(self, rule: Regulation) -> Table | None:
        while True:
            axes = tuple(axis for axis in self.axes if axis in self._read(rule))
            size = prod(len(self.space.choices[axis]) for axis in axes)
            if ROUTE in self._read(rule) or (size > LARGEST_COUNT and rule.name not in self._promoted):
                return None
            ranks = {}
            for places in product(*(range(len(self.space.choices[axis])) for axis in axes)):
                ranks[places] = self.bench.rank(rule, self.values(dict(zip(axes, places, strict=True))))
                if not self._read(rule) <= {*axes, HUB}:
                    break
            else:
                return Table(rule, axes, ranks)

    def _read(self, rule: Regulation) -> frozenset[str]:
        reads = self.bench.reads(rule)
        return frozenset(axis for path, axis in self.space.axis_of.items() if path in reads)
