"""The cap that stands: the largest by its errors, lowered until no admissible opponent can harm fuse or tails."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

from ampwright.assess.load_cap.attack import Fuse
from ampwright.assess.load_cap.bound import highest_a2s
from ampwright.assess.load_cap.chain import (
    CAP,
    chain_gaps,
    errors_ratio,
    exact,
    full_a,
    grid_sensors,
    highest_cap_a,
    line_loads_a,
    lowest_cap_a,
    pick_up_a,
)
from ampwright.assess.load_cap.situation import Situation
from ampwright.assess.load_cap.supply import LIMITS, Limit, limit, tails, weakest_fuse
from ampwright.facts import constant
from ampwright.job.paths import unseen
from ampwright.job.record import Job
from ampwright.physics.fuses import warmed_ratio, windows_s
from ampwright.physics.tails import Conductor, never_above_c
from ampwright.reading import BEST, WORST, End
from ampwright.rules.gb.parts.demand import CUTOUT, DEMAND, LineDemand, missing, on_line
from ampwright.rules.gb.parts.recorded import larger_demands
from ampwright.rules.gb.parts.route import design_current_a
from ampwright.rules.gb.parts.sources import SOURCES, inverter_gaps
from ampwright.rules.regulation import seen
from ampwright.working import Working

PARTS = ("supply.tails.size_mm2", "supply.tails.method", "installation.main_switch_a", "installation.busbar_a")
TIMES = tuple(f"{CAP}.{name}" for name in ("fails_safe", "fallback_a", "watchdog_s", "response_s", "message_every_s"))
LENGTHS_S = windows_s(upto_s=7200, each_to_s=90, growth_ratio=0.02)
LONGEST_WATCHDOG_S = 120


@dataclass(frozen=True, slots=True)
class Proved:
    """What nothing admissible can pass: how near the weakest fuse comes to melting, and how hot the tails get."""

    warmed_ratio: float
    hottest_c: float
    stands: bool


@dataclass(frozen=True, slots=True)
class LineCap:
    """One line: its limit and its house, the cap by its errors alone, and that which stands (None if none does)."""

    limit: Limit
    demand: LineDemand
    by_errors_a: float | None
    stands_a: float | None
    situation: Situation | None
    proved: Proved | None
    fuse: Fuse
    tails: Conductor


def supply_gaps(job: Job) -> tuple[str, ...]:
    """What is wanted before the supply's limit is known."""
    gaps = (*unseen(job, (*DEMAND, *CUTOUT, *PARTS, *SOURCES)), *missing(job))
    return gaps or inverter_gaps(job)


def attack_gaps(job: Job) -> tuple[str, ...]:
    """What is wanted before an opponent can be let loose."""
    return (*supply_gaps(job), *chain_gaps(job), *unseen(job, ("supply.cutout.kind", *TIMES)))


def car_lines(job: Job) -> tuple[str, ...]:
    """The lines of the supply that the car is on."""
    if job.supply.phases != 3:
        return ("L1",)
    charge_point = job.charge_point
    every = charge_point.phases == 3 or charge_point.line == "all"
    return tuple(line for line in ("L1", "L2", "L3") if every or on_line(job, line, charge_point.line))


def tightest(job: Job, end: End) -> tuple[Limit, float | None]:
    """The line of the car with the lowest cap by its errors, and that cap. Raises NoRow beyond the tables."""
    limits = [limit(job, line, end, Working()) for line in car_lines(job)]
    caps = [(each, highest_cap_a(job, each.line, each.true_a, end)) for each in limits]
    return min(caps, key=lambda pair: -1.0 if pair[1] is None else pair[1])


@lru_cache(maxsize=32)
def worst_line(job: Job, worst: bool) -> LineCap:
    """The line that comes nearest to harm at the cap that stands on all of the car's lines, at one end of what the
    survey allows; what is proved of it holds for the others too. `attack_gaps` must be empty.

    Raises NoRow beyond the tables.
    """
    end = WORST if worst else BEST
    demands = {each.line: each for each in larger_demands(job, end, Working())}
    caps = [line_cap(job, demands[line], end) for line in car_lines(job)]
    lowest = min(caps, key=lambda each: -1.0 if each.stands_a is None else each.stands_a)
    if lowest.stands_a is None or lowest.by_errors_a is None or len(caps) == 1:
        return lowest
    at_it = [at_cap(job, each, lowest.stands_a, end) for each in caps]
    nearest = max(at_it, key=lambda each: seen(each.proved).warmed_ratio)
    hottest_c = max(seen(each.proved).hottest_c for each in at_it)
    by_errors_a = min(each.by_errors_a for each in caps if each.by_errors_a is not None)
    stands = all(seen(each.proved).stands for each in at_it)
    proved = Proved(seen(nearest.proved).warmed_ratio, hottest_c, stands)
    return replace(nearest, by_errors_a=by_errors_a, proved=proved, stands_a=lowest.stands_a if stands else None)


def line_cap(job: Job, demand: LineDemand, end: End) -> LineCap:
    """One line's caps, by its errors and standing. Raises NoRow beyond the tables."""
    bare = bare_line(job, demand, end)
    by_errors_a = highest_cap_a(job, demand.line, bare.limit.true_a, end)
    if by_errors_a is None:
        return bare
    line = replace(bare, by_errors_a=by_errors_a)
    stands_a = _highest(lambda cap_a: seen(at_cap(job, line, cap_a, end).proved).stands,
                        int(min(by_errors_a, trusted_a(job))), least=lowest_cap_a(job, demand.line))  # fmt: skip
    return replace(at_cap(job, line, by_errors_a if stands_a is None else stands_a, end), stands_a=stands_a)


def bare_line(job: Job, demand: LineDemand, end: End) -> LineCap:
    """One line with its limit, fuse and tails, before any cap is tried on it. Raises NoRow beyond the tables."""
    allowed = limit(job, demand.line, end, Working())
    conductor = tails(job, allowed.tails_a, end, Working())
    return LineCap(allowed, demand, None, None, None, None, weakest_fuse(job, end, Working()), conductor)


def at_cap(job: Job, line: LineCap, cap_a: float, end: End) -> LineCap:
    """The same line with another cap tried on it: its situation, and what is proved there."""
    house_a = min(line.demand.house_a, line.limit.true_a)
    situation = situated(job, line.limit, house_a, cap_a, end)
    proved = prove(situation, line.fuse, line.tails)
    settles_a = min(situation.steady_a, situation.peak_a)
    stands = proved.stands and settles_a <= line.limit.true_a + 1e-9
    return replace(line, situation=situation, proved=replace(proved, stands=stands))


def least_cap_a(job: Job) -> int:
    """The lowest setting at which the class of every sensor on the car's lines promises anything, whole amperes."""
    return max(lowest_cap_a(job, line) for line in car_lines(job))


def trusted_a(job: Job) -> float:
    """The highest load cap that the way the supply's sensors talk is trusted with, A: a wire with any."""
    radio = any(sensor.link == "radio" for _, sensor in grid_sensors(job))
    return constant(LIMITS, "radio_to").value if radio else math.inf


@lru_cache(maxsize=512)
def prove(situation: Situation, fuse: Fuse, conductor: Conductor) -> Proved:
    """What no admissible opponent can pass in this situation, against what is allowed."""
    through = highest_a2s(situation, LENGTHS_S)
    warmed = warmed_ratio(lengths_s=LENGTHS_S, let_through_a2s=through, nonfusing_a=fuse.nonfusing_a,
                          gates=(fuse.gate,))  # fmt: skip
    hottest_c = never_above_c(lengths_s=LENGTHS_S, let_through_a2s=through, conductor=conductor)
    stands = warmed <= constant(LIMITS, "warmed_most").value and hottest_c <= conductor.rated_c + 1e-9
    return Proved(warmed, hottest_c, stands)


def situated(job: Job, allowed: Limit, house_a: float, cap_a: float, end: End) -> Situation:
    """The opponent's field on a line: the house draws at most `house_a`, or all its loads if they come to less."""
    seen_a, blind_a = line_loads_a(job, allowed.line, end)
    most_a = min(house_a, seen_a + blind_a)
    unseen_a = min(blind_a, most_a)
    cap = job.charge_point.load_cap
    fails_safe = cap.fails_safe is not False
    return Situation(
        cap_a=cap_a,
        dead_band_a=seen(cap.dead_band_a),
        rounding_a=seen(cap.display_step_a) / 2,
        pick_up_a=pick_up_a(job, allowed.line, end, Working()),
        error_ratio=errors_ratio(job, allowed.line, cap_a, Working()),
        house_a=most_a - unseen_a,
        unseen_a=unseen_a,
        car_a=design_current_a(job),
        least_car_a=constant(LIMITS, "car_least").value,
        sensor_full_a=full_a(job, allowed.line),
        fallback_a=falls_back_to_a(job) if fails_safe else design_current_a(job),
        message_s=math.ceil(exact(job, f"{CAP}.message_every_s")),
        response_s=math.ceil(exact(job, f"{CAP}.response_s")),
        watchdog_s=math.ceil(exact(job, f"{CAP}.watchdog_s")),
        lost_ratio=constant(LIMITS, "lost_most").value / 100,
    )


def falls_back_to_a(job: Job) -> float:
    """What the car may really be left with when the signal is lost, A: nothing, or no less than it can be told."""
    set_a = exact(job, f"{CAP}.fallback_a")
    return max(set_a, constant(LIMITS, "car_least").value) if set_a > 0 else 0.0


def longest_watchdog_s(line: LineCap, cap_a: float, fallback_a: float | None = None) -> int | None:
    """The longest watchdog, in whole seconds, with which this cap stands on the line; None if none does.

    `fallback_a` tries another fallback current than is set.
    """
    base = seen(line.situation)
    to_a = base.fallback_a if fallback_a is None else fallback_a

    def stands(each_s: float) -> bool:
        tried = replace(base, cap_a=cap_a, fallback_a=to_a, watchdog_s=int(each_s))
        return prove(tried, line.fuse, line.tails).stands

    fits = _highest(stands, LONGEST_WATCHDOG_S, least=1)
    return None if fits is None else int(fits)


def largest_car_a(line: LineCap, cap_a: float) -> int | None:
    """The largest whole ampere of the car with which this cap stands on the line as it is set; None if none does."""
    base = seen(line.situation)
    fits = _highest(lambda car_a: prove(replace(base, cap_a=cap_a, car_a=car_a), line.fuse, line.tails).stands,
                    math.floor(base.car_a), least=math.ceil(base.least_car_a))  # fmt: skip
    return None if fits is None else int(fits)


def _highest(stands: Callable[[float], bool], highest: int, least: int) -> float | None:
    """The largest whole number from `least` to `highest` that stands, by halving; None if the least does not."""
    if highest < least:
        return None
    if stands(float(highest)):
        return float(highest)
    if least >= highest or not stands(float(least)):
        return None
    low, high = least, highest
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if stands(float(middle)) else (low, middle)
    return float(low)
