"""Which drum each length of cable is cut from: one-dimensional cutting stock, solved exactly by HiGHS.

A drum is a path from 0 to its length; every cut is a step along it, longest first, and what is left is waste. The flow
over all drums at once that buys the fewest metres is an integer programme with a proved bound (arc flow). It is asked
only where no plan found quickly buys what the cuts' sum asks for at the least.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import gcd
from typing import Literal, NamedTuple, get_args

import numpy as np

from ampwright.assess.materials.drum_tries import best_of_tries

STEP_M = 0.1  # cuts are rounded up to this, drums down
MOST_S = 60.0


Arc = tuple[int, int, int]
Order = Literal["longest", "shortest"]
ORDERS: tuple[Order, ...] = get_args(Order)


class _Cell(NamedTuple):
    row: int
    column: int
    sign: int


class CannotCut(ValueError):
    """Cuts that no drum holds, or a plan that was not found; says why in the electrician's words."""


@dataclass(frozen=True, slots=True)
class Length:
    """One length to cut: of which job (or what else tells it apart), and how long."""

    label: str
    length_m: float


@dataclass(frozen=True, slots=True)
class Stock:
    """Drums or coils of one length. In hand there are `count` of them and they cost nothing; None can be bought."""

    length_m: float
    count: int | None = None


@dataclass(frozen=True, slots=True)
class Drum:
    """One drum with its cuts, longest first."""

    stock: Stock
    cuts: tuple[Length, ...]

    @property
    def left_m(self) -> float:
        """What is left on it."""
        return self.stock.length_m - sum(cut.length_m for cut in self.cuts)


@dataclass(frozen=True, slots=True)
class DrumPlan:
    """The drums, the metres bought, the fewest that any plan could buy (proved), and what going through the jobs in
    order would have bought: from the longest rest at hand that still holds enough, else from a new drum that does,
    always the shortest or always the longest, whichever buys less."""

    drums: tuple[Drum, ...]
    bought_m: float
    at_least_m: float
    in_order_m: float
    in_order_by: Order = "shortest"

    @property
    def gap_percent(self) -> float:
        """How far the plan may be from the best: 0 where it is proved best."""
        return 100 * (self.bought_m - self.at_least_m) / self.bought_m if self.bought_m else 0.0


def plan_drums(cuts: Sequence[Length], stocks: Sequence[Stock]) -> DrumPlan:
    """The plan that buys the fewest metres. Raises CannotCut with every length that is too long for all drums."""
    longest_m = max((stock.length_m for stock in stocks), default=0.0)
    beyond = [f"{cut.label}: {cut.length_m:g} m is longer than the longest drum ({longest_m:g} m)"
              for cut in cuts if cut.length_m > longest_m + 1e-9]  # fmt: skip
    if beyond:
        raise CannotCut("\n".join(beyond))
    if not cuts:
        return DrumPlan((), 0.0, 0.0, 0.0)
    steps = [_up(cut.length_m) for cut in cuts]
    in_order_m, in_order_by = min((_in_order_m(cuts, stocks, by), by) for by in ORDERS)
    ends, counts = [_down(stock.length_m) for stock in stocks], [stock.count for stock in stocks]
    least = _least(steps, ends, counts)
    tried = best_of_tries(steps, ends, counts, least)
    drums = [Drum(stocks[stock], _longest_first(cuts[each] for each in filled)) for stock, filled in tried or []]
    at_least_m = least * STEP_M
    if tried is None or _bought_m(drums) > at_least_m + 1e-6:
        most_m = _bought_m(drums) if tried else sum(ends) * STEP_M * len(cuts)
        flows, opened, at_least_m = _solved(steps, stocks, most_m)
        drums = _unwound(flows, opened, list(cuts), steps, stocks)
    bought_m = _bought_m(drums)
    return DrumPlan(tuple(drums), bought_m, min(at_least_m, bought_m), in_order_m, in_order_by)


def _bought_m(drums: Sequence[Drum]) -> float:
    return sum(drum.stock.length_m for drum in drums if drum.stock.count is None)


def _longest_first(cuts: Iterable[Length]) -> tuple[Length, ...]:
    return tuple(sorted(cuts, key=lambda cut: -cut.length_m))


def _least(steps: Sequence[int], ends: Sequence[int], counts: Sequence[int | None]) -> int:
    """What any plan must buy, in steps: what the drums in hand cannot hold, in whole common measures of the drums."""
    in_hand = sum(end * count for end, count in zip(ends, counts, strict=True) if count)
    measure = max(gcd(*(end for end, count in zip(ends, counts, strict=True) if count is None)), 1)
    return max(0, -(-(sum(steps) - in_hand) // measure) * measure)


def _up(length_m: float) -> int:
    return int(np.ceil(length_m / STEP_M - 1e-9))


def _down(length_m: float) -> int:
    return int(np.floor(length_m / STEP_M + 1e-9))


def _arcs(steps: Sequence[int], ends: Sequence[int]) -> list[Arc]:
    """Every step that a drum can have at a place, longest cuts first: from, to, and the cut's length (0 for waste)."""
    found = set[tuple[int, int, int]]()
    reached = {0}
    for length, count in sorted(Counter(steps).items(), reverse=True):
        tips = reached
        for _ in range(min(count, max(ends) // length)):
            tips = {tip + length for tip in tips if tip + length <= max(ends)}
            found |= {(tip - length, tip, length) for tip in tips}
            reached = reached | tips
    nodes = sorted(reached | set(ends))
    return sorted(found) + [(one, other, 0) for one, other in pairwise(nodes)]


def _solved(steps: Sequence[int], stocks: Sequence[Stock],
            most_m: float) -> tuple[dict[Arc, int], list[int], float]:  # fmt: skip
    """Flow on each arc, drums opened of each stock, and the fewest metres that any plan buys.

    What is bought is a multiple of the drums' common measure: a plan less than that above the bound is the best.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp  # slow to bring in, and only drums want it
    from scipy.sparse import coo_array

    ends = [_down(stock.length_m) for stock in stocks]
    arcs = _arcs(steps, ends)
    bought = [end for end, stock in zip(ends, stocks, strict=True) if stock.count is None]
    step_m = max(gcd(*bought), 1) * STEP_M
    wanted = Counter(steps)
    nodes = {node: row for row, node in enumerate(sorted({each for arc in arcs for each in arc[:2]}))}
    kinds = {length: len(nodes) + row for row, length in enumerate(wanted)}
    cells = list[_Cell]()
    for column, (start, end, length) in enumerate(arcs):
        cells += [_Cell(nodes[start], column, -1), _Cell(nodes[end], column, 1)]
        cells += [_Cell(kinds[length], column, 1)] if length else []
    for number, end in enumerate(ends):
        cells += [_Cell(nodes[0], len(arcs) + number, 1), _Cell(nodes[end], len(arcs) + number, -1)]
    rows, columns, signs = zip(*cells, strict=True)
    matrix = coo_array((signs, (rows, columns)), shape=(len(nodes) + len(kinds), len(arcs) + len(stocks))).tocsr()
    right = np.concatenate([np.zeros(len(nodes)), [float(wanted[length]) for length in kinds]])
    price = np.concatenate([np.zeros(len(arcs)), [1e-4 if stock.count else stock.length_m for stock in stocks]])
    held = [float(len(steps) if stock.count is None else stock.count) for stock in stocks]
    most = np.concatenate([np.full(len(arcs), float(len(steps))), held])
    rules = [LinearConstraint(matrix, right, right), LinearConstraint(price[None, :], ub=most_m + 0.01)]
    found = milp(price, integrality=np.ones(len(price)), bounds=Bounds(0, most), constraints=rules,
                 options={"time_limit": MOST_S, "mip_rel_gap": 0.9 * step_m / (most_m + 0.01)})  # fmt: skip
    if found.x is None:
        raise CannotCut(f"No plan was found: {found.message} Bring more drums, or plan fewer jobs at once.")
    whole = np.round(found.x).astype(int)
    flows = {arc: int(whole[column]) for column, arc in enumerate(arcs) if whole[column]}
    at_least_m = float(np.ceil(found.mip_dual_bound / step_m - 0.01) * step_m)
    return flows, [int(each) for each in whole[len(arcs):]], at_least_m


def _unwound(flows: dict[Arc, int], opened: Sequence[int], cuts: list[Length], steps: Sequence[int],
             stocks: Sequence[Stock]) -> list[Drum]:  # fmt: skip
    """The flow taken apart into drums, shortest drums first, since waste runs on to the longer ones."""
    waiting = defaultdict[int, list[Length]](list)
    for cut, step in zip(cuts, steps, strict=True):
        waiting[step].append(cut)
    drums = []
    for number in sorted(range(len(stocks)), key=lambda each: stocks[each].length_m):
        for _ in range(opened[number]):
            mine, place = list[Length](), _down(stocks[number].length_m)
            while place:  # backwards from its end: waste first, then its cuts
                arc = next(arc for arc, count in flows.items() if count and arc[1] == place)
                flows[arc] -= 1
                place = arc[0]
                if arc[2]:
                    mine.append(waiting[arc[2]].pop(0))
            drums.append(Drum(stocks[number], _longest_first(mine)))
    return drums


def _in_order_m(cuts: Sequence[Length], stocks: Sequence[Stock], by: Order) -> float:
    """Metres bought by cutting in the order of the jobs: from the longest rest at hand, else from a new drum."""
    left = [_down(stock.length_m) for stock in stocks for _ in range(stock.count or 0)]
    shop = sorted((stock.length_m for stock in stocks if stock.count is None), reverse=by == "longest")
    bought_m = 0.0
    for step in (_up(cut.length_m) for cut in cuts):
        if max(left, default=0) < step:
            new_m = next((each for each in shop if _down(each) >= step), None)
            if new_m is None:
                continue
            left.append(_down(new_m))
            bought_m += new_m
        left[left.index(max(left))] -= step
    return bought_m
