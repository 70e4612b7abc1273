"""Search every combination of a space for the designs that no other beats and that the rules allow.

For each way to charge: the rules that read no cable leave tables of what goes together; the choices fall into groups
that no rule joins, so that of each group only what no other beats is wanted; whole routes are bounded by a few
questions; and what is left is judged in order of price, until every way left is beaten by one that stands.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from math import prod
from typing import Any

import numpy as np

from ampwright.assess.book import BOOK
from ampwright.assess.catalogue import Catalogue, Choice
from ampwright.assess.search.bench import Bench
from ampwright.assess.search.bounds import Bounds, Mask
from ampwright.assess.search.front import Columns, Figures, front, unbeaten
from ampwright.assess.search.routes import Routes, every_way
from ampwright.assess.search.space import HUB, Cables, Space, space_for
from ampwright.assess.search.tables import Tables
from ampwright.assess.search.ways import Extra, Ways, costs_of
from ampwright.job.paths import replaced
from ampwright.job.record import Job
from ampwright.physics.conductors import charging_loss_ratio
from ampwright.reading import WORST, End
from ampwright.rules.gb.parts.route import design_current_a

Lead = tuple[int, int]


@dataclass(frozen=True)
class Found:
    """One design: a choice on every axis, a cable for every stretch, and its figures, of each of which less is better.

    `figures`: net pence, minutes, kWh lost of 1,000 charged, and the charging power in kW with its sign turned.
    """

    picked: tuple[Choice, ...]
    cables: Cables
    way: int
    figures: Figures


@dataclass(frozen=True)
class Charge:
    """One way to charge: its choice, its power, and the kWh lost of 1,000 charged for each ohm of one line."""

    choice: Choice
    power_kw: float
    lost_kwh_per_ohm: float


@dataclass(frozen=True)
class Standing:
    """A way to cable with other choices that the rules allow: net pence, minutes and millionths of an ohm."""

    extra: Extra
    way: int
    figures: Figures


class Search:
    """A space with its routes and the bench on which its designs are judged.

    `varied` are record paths that `variant` may set anew; a search `like` another keeps what that one has learnt.
    """

    def __init__(self, job: Job, catalogue: Catalogue, varied: tuple[str, ...] = (),
                 like: Search | None = None) -> None:  # fmt: skip
        self.space: Space = space_for(job, catalogue, varied)
        self.routes: Routes = every_way(self.space)
        known = like if like is not None and like.bench.decided == frozenset(self.space.decided) else None
        self.bench: Bench = known.bench if known else Bench(self.space.job, self.space.decided)
        self.bounds: Bounds = Bounds(self.routes, self.bench, known.bounds.alone if known else None)
        self.impossible: dict[str, tuple[str, ...]] = {}
        self._priced: dict[Lead, tuple[Columns, np.ndarray[tuple[int], np.dtype[np.int64]]]] = {}
        self._fronts: dict[tuple[bytes, Lead], list[int]] = {}

    @property
    def count(self) -> int:
        """How many combinations are searched."""
        return prod(len(self.space.choices[axis]) for axis in self.space.axes) * len(self.routes.cells)

    @property
    def judged_count(self) -> int:
        """How many questions were put to the rules and worked out."""
        return self.bench.judged_count + self.bounds.alone.judged_count

    def variant(self, path: str, value: Any) -> Search:
        """The same search on the job with another value at one of the varied paths."""
        job = replaced(self.space.job, path, value)
        return Search(job, self.space.catalogue, self.space.varied, self)

    def cheapest_at(self, power_kw: float, most: int) -> Found | None:
        """The cheapest design at that power on which no rule stands worse than `most` where it can be helped."""
        found = [each for charge in self.charges if charge.power_kw == power_kw for each in self._charged(charge, most)]
        return min(found, key=lambda each: each.figures, default=None)

    def designs(self, most: int, told: Callable[[int], None] = lambda number: None) -> list[Found]:
        """The designs that no other beats, of those on which no rule stands worse than `most` where it can be helped.

        `most` is the rank of bench.py: SETTLED for designs that leave nothing open that another choice would settle,
        OPEN for those that the survey may yet allow. What no choice would better is accepted: it is the same for all.
        `told` hears how many ways to charge are done, and may end the search by raising.
        """
        found = []
        for number, charge in enumerate(self.charges):
            told(number)
            found += self._charged(charge, most)
        return front(found, lambda each: each.figures)

    @cached_property
    def charges(self) -> tuple[Charge, ...]:
        """The ways to charge, the most powerful first."""
        return tuple(sorted(map(self._charge, self.space.choices[HUB]), key=lambda each: -each.power_kw))

    def labour_pence(self, minutes: int) -> int:
        """What so many minutes of work cost, in whole pence."""
        return round(minutes * self.space.catalogue.labour_pence_per_h / 60)

    def priced(self, extra: Extra) -> Extra:
        """The same with the work in its pence."""
        return replace(extra, pence=extra.pence + self.labour_pence(extra.minutes))

    def route_costs(self, routes: Routes, lead: Lead, end: End = WORST) -> Columns:
        """Net pence with work, and minutes, of each way with a sensor's lead at that cost a metre."""
        bare_m = routes.bare_m(end)
        minutes = np.rint(routes.cost("minutes", end) + bare_m * lead[1])
        labour_pence = minutes * self.space.catalogue.labour_pence_per_h / 60
        return np.rint(routes.cost("pence", end) + bare_m * lead[0] + labour_pence), minutes

    def _charge(self, choice: Choice) -> Charge:
        job = self.space.designed([choice], ())
        current_a, phases_count = design_current_a(job), 3 if job.charge_point.phases == 3 else 1
        voltage_v = job.supply.declared_v
        per_ohm = charging_loss_ratio(line_ohm=1.0, current_a=current_a, voltage_v=voltage_v, phases_count=phases_count)
        return Charge(choice, current_a * phases_count * voltage_v / 1000, 1000 * per_ohm)

    def _charged(self, charge: Charge, most: int) -> list[Found]:
        """The designs of one way to charge. Begins again where a rule turns out to read more than it had before."""
        promoted: frozenset[str] = frozenset()
        while True:
            tables = Tables(self.space, self.bounds, charge.choice, promoted)
            tables.sort(BOOK.regulations)
            if tables.impossible:
                self.impossible[charge.choice.id] = tables.impossible
                return []
            fields, ways = tables.fields_with_route(), Ways(tables, self.bounds, most)
            standing = self._standing(charge, tables, ways)
            if not ways.refused_by_watched and fields == tables.fields_with_route():
                if not standing:
                    self.impossible[charge.choice.id] = ways.unmet
                return [self._found(charge, tables, each) for each in front(standing, lambda each: each.figures)]
            promoted |= ways.refused_by_watched

    def _standing(self, charge: Charge, tables: Tables, ways: Ways) -> list[Standing]:
        circuit, *groups = tables.components()
        rest = self._rest(charge, tables, groups, ways.most)
        by_key = ways.by_key(tables.combinations(circuit, ways.most))
        sets = []
        for heads in by_key.values():
            cheap = front((costs_of(head, tables.chosen(head)) for head in heads), lambda each: each.figures)
            sets.append([self.priced(head.beside(each)) for head in cheap for each in rest])
        standing: list[Standing] = []
        for extras in sorted(sets, key=lambda each: min(extra.figures for extra in each)):
            places = extras[0].places
            rough, leads = ways.mask(places, roughly=True), sorted({each.lead for each in extras})
            alike = [front((each for each in extras if each.lead == lead), lambda each: each.figures) for lead in leads]
            if any(self._unbeaten(standing, each, rough) for each in alike):
                mask = ways.mask(places)
                for each in alike:
                    self._add(standing, each, mask, ways)
        return standing

    def _rest(self, charge: Charge, tables: Tables, groups: list[tuple[str, ...]], most: int) -> list[Extra]:
        """The choices on the axes that no rule reads together with the cable, but for what others beat in cost."""
        rest = [costs_of({}, (*self.space.catalogue.axis("always"), charge.choice))]
        for axes in groups:
            own = front((costs_of(places, tables.chosen(places)) for places in tables.combinations(axes, most)),
                        lambda each: each.figures)  # fmt: skip
            rest = [one.beside(other) for one in rest for other in own]
        return front(rest, lambda each: each.figures)

    def _add(self, standing: list[Standing], extras: list[Extra], mask: Mask, ways: Ways) -> None:
        """Add what stands of these choices with the ways in the mask and is not beaten by what stands already."""
        refused: set[int] | None = None
        while refused is None or refused:
            refused = set()
            for each in self._unbeaten(standing, extras, mask):
                if each.way in refused or _beaten(each.figures, standing):
                    continue
                if ways.stand(each.extra.places, each.way):
                    standing.append(each)
                else:
                    refused.add(each.way)
            mask = mask.copy()
            mask[list(refused)] = False

    def _unbeaten(self, standing: list[Standing], extras: list[Extra], mask: Mask) -> list[Standing]:
        """What of these choices with the ways in the mask nothing that stands beats, cheapest first, none judged."""
        (pence, minutes, micro_ohm), _ = self._in_order(extras[0].lead)
        both = [Standing(extra, way, (extra.pence + pence[way], extra.minutes + minutes[way], micro_ohm[way]))
                for way in self._front(mask, extras[0].lead) for extra in extras]  # fmt: skip
        return sorted((each for each in both if not _beaten(each.figures, standing)), key=lambda each: each.figures)

    def _front(self, mask: Mask, lead: Lead) -> list[int]:
        """The ways in the mask that no other in it beats."""
        key = (np.packbits(mask).tobytes(), lead)
        if key not in self._fronts:
            columns, order = self._in_order(lead)
            self._fronts[key] = unbeaten(order[mask[order]], columns)
        return self._fronts[key]

    def _in_order(self, lead: Lead) -> tuple[Columns, np.ndarray[tuple[int], np.dtype[np.int64]]]:
        """Pence, minutes and millionths of an ohm of every way, and the ways in order of them."""
        if lead not in self._priced:
            columns = (*self.route_costs(self.routes, lead), self.routes.micro_ohm)
            self._priced[lead] = (columns, np.lexsort(columns[::-1]))
        return self._priced[lead]

    def _found(self, charge: Charge, tables: Tables, each: Standing) -> Found:
        chosen = (charge.choice, *tables.chosen({axis: each.extra.places[axis] for axis in tables.axes}))
        pence, minutes, micro_ohm = each.figures
        lost_kwh_per_mwh = micro_ohm / 1e6 * charge.lost_kwh_per_ohm
        figures = (float(pence), float(minutes), float(lost_kwh_per_mwh), -charge.power_kw)
        return Found(chosen, self.routes.of(each.way), each.way, figures)


def _beaten(figures: Figures, standing: Iterable[Standing]) -> bool:
    one, two, three = figures
    return any(each.figures[0] <= one and each.figures[1] <= two and each.figures[2] <= three for each in standing)
