"""The most that any way could reach: the year ahead known, found by linear programming (HiGHS).

The time step is an hour within each stay, dark hours joined, and every rule that could only lower the answer is left
out: the least current, delays, the load cap, the power to be awake, and a battery that may throw charge away. So no way
can pass it; the most that one really could reach lies somewhat lower.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from ampwright.assess.forecast.account import Home
from ampwright.assess.forecast.clock import MINUTES_COUNT, Array
from ampwright.assess.forecast.plan import Plan
from ampwright.assess.forecast.stays import Stays

STEP_MIN = 60
ROUNDS_COUNT = 6
CLOSE_RATIO = 1e-7


class NoCeiling(Exception):
    """The solver gave no answer; says what it said."""


@dataclass(frozen=True, slots=True, eq=False)
class Blocks:
    """Stretches of time in order: hours, surplus in kWh, and which stay each is in (-1: away)."""

    length_h: Array
    surplus_kwh: Array
    stay: Array
    first: Array


def ceiling(plan: Plan, stays: Stays, home: Home, reached_ratio: float = 0.0) -> float:
    """The greatest share of what the car needs that its own surplus could give, 0 to 1. Raises NoCeiling.

    The share is a ratio, so the programme is solved for a share supposed and again for the share found, until both
    are one (Dinkelbach's way). `reached_ratio` is a share that some way has: a good first guess, no more.
    """
    blocks = _blocks(stays, home, everywhere=plan.store_kwh > 0.0)
    if not len(blocks.stay) or stays.wanted_kwh <= 0.0:
        return 0.0
    share = reached_ratio
    for _ in range(ROUNDS_COUNT):
        own_kwh, all_kwh = _solved(plan, stays, blocks, share)
        found = own_kwh / all_kwh if all_kwh > 0.0 else 0.0
        if found - share < CLOSE_RATIO:
            return max(found, share)
        share = found
    return share


def _blocks(stays: Stays, home: Home, *, everywhere: bool) -> Blocks:
    """Hours of each stay; neighbours without surplus are joined. With a store the hours away count too."""
    cuts = np.unique(np.concatenate([np.arange(0, MINUTES_COUNT, STEP_MIN), stays.start_min, stays.end_min]))
    cuts = cuts[cuts < MINUTES_COUNT]
    stay = np.searchsorted(stays.start_min, cuts, side="right") - 1
    stay = np.where((stay >= 0) & (cuts < stays.end_min[np.maximum(stay, 0)]), stay, -1)
    surplus = np.add.reduceat(np.maximum(home.net_kw, 0.0), cuts) / 60.0
    joins = np.zeros(len(cuts), dtype=bool)
    joins[1:] = (surplus[1:] == 0.0) & (surplus[:-1] == 0.0) & (stay[1:] == stay[:-1])
    begins = np.flatnonzero(~joins)
    lengths = np.diff(np.append(cuts[begins], MINUTES_COUNT)) / 60.0
    stay, surplus = stay[begins], surplus[begins]
    kept = np.ones(len(stay), dtype=bool) if everywhere else stay >= 0
    stay = stay[kept]
    seen = np.maximum.accumulate(np.append(-1, stay))
    return Blocks(lengths[kept], surplus[kept], stay, stay > seen[:-1])


def _solved(plan: Plan, stays: Stays, blocks: Blocks, share_ratio: float) -> tuple[float, float]:
    """Own kWh and all kWh of the car at the optimum for a share supposed.

    Variables by block: from the sun, from elsewhere, battery at the end, into the store, out of it, store at the end;
    then, by stay and once for the end of the year, what stays unmet or owed to the battery.
    """
    from scipy import optimize

    count, stays_count = len(blocks.stay), len(stays.start_min)
    rows, limits, upper = _programme(plan, stays, blocks)
    own, other = np.full(count, share_ratio - 1.0), np.full(count, share_ratio)
    unmet, blank = np.full(stays_count + 1, share_ratio / plan.kept_ratio), np.zeros(count)
    found = optimize.linprog(np.concatenate([own, other, blank, blank, own, blank, unmet]), A_ub=rows, b_ub=limits,
                             bounds=np.stack([np.zeros(len(upper)), upper], axis=1), method="highs")  # fmt: skip
    if not found.success:
        raise NoCeiling(found.message)
    x = found.x
    own_kwh = float(x[:count].sum() + x[4 * count : 5 * count].sum())
    return own_kwh, own_kwh + float(x[count : 2 * count].sum() + x[6 * count :].sum() / plan.kept_ratio)


def _programme(plan: Plan, stays: Stays, blocks: Blocks) -> tuple[Any, Array, Array]:
    """Rows, their limits and the upper bounds: power, battery, surplus, store, and the end of the year.

    At its end the battery is to hold what is driven after the last stay and what it held at the beginning.
    """
    from scipy import sparse

    count, stays_count = len(blocks.stay), len(stays.start_min)
    one, none = sparse.identity(count, format="csr"), sparse.csr_matrix((count, count))
    chain = one - sparse.eye(count, k=-1, format="csr")
    kept, way, first = plan.kept_ratio, plan.store_way_ratio, np.flatnonzero(blocks.first)
    opens = sparse.csr_matrix((np.ones(len(first)), (first, blocks.stay[first])), shape=(count, stays_count + 1))
    last = np.zeros((1, 6 * count + stays_count + 1))
    last[0, 3 * count - 1], last[0, -1] = -1.0, -1.0
    no_stay = sparse.csr_matrix((count, stays_count + 1))
    rows = sparse.vstack([
        sparse.hstack([one, one, none, none, one, none, no_stay]),
        sparse.hstack([-kept * one, -kept * one, chain, none, -kept * one, none, -opens]),
        sparse.hstack([one, none, none, one, none, none, no_stay]),
        sparse.hstack([none, none, none, -way * one, one / way, chain, no_stay]),
        sparse.csr_matrix(last),
    ], format="csr")  # fmt: skip
    full_kwh = plan.battery_kwh * plan.fill_ratio
    begin = np.where(np.arange(count) == 0, full_kwh, 0.0) - opens @ np.append(stays.driven_kwh, 0.0)
    most_kwh = plan.most_a * plan.line_kw * plan.phases * blocks.length_h * (blocks.stay >= 0)
    flow_kwh = plan.store_kw * blocks.length_h * (plan.store_kwh > 0.0)
    at_end_kwh = stays.trailing_kwh + full_kwh
    limits = np.concatenate([most_kwh, begin, blocks.surplus_kwh, np.zeros(count), [-at_end_kwh]])
    upper = np.concatenate([blocks.surplus_kwh, most_kwh, np.full(count, full_kwh), flow_kwh,
                            flow_kwh * plan.store_feeds_car, np.full(count, plan.store_kwh), stays.driven_kwh,
                            [at_end_kwh]])  # fmt: skip
    return rows, limits, upper
