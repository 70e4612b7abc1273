"""Year after year of one job by every way of charging; what is done when a run is broken off is kept."""

from __future__ import annotations

import hashlib
import json
import multiprocessing
import os
import signal
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

import numpy as np

from ampwright.assess.forecast.account import CODES, Home, Outcome, home_of, run, share_ratio
from ampwright.assess.forecast.ceiling import ceiling
from ampwright.assess.forecast.clock import Array
from ampwright.assess.forecast.house import house_year
from ampwright.assess.forecast.kernel import Kernel, plain, quickest
from ampwright.assess.forecast.metered import Metered, by_minute
from ampwright.assess.forecast.plan import Plan, plan_of, usual
from ampwright.assess.forecast.roof import drawn_roof
from ampwright.assess.forecast.stays import Stays, stays_of
from ampwright.job.record import Job

CEILING_EVERY = 7
FEW_YEARS_COUNT = 12
LAGS_COUNT = 4096
PLAN, CAR, HOUSE, LAG, ROOF = range(5)
SunOf = Callable[[Job, int, int], Array]


@dataclass(frozen=True, slots=True)
class Setting:
    """What every year of a forecast is made from. `sun_of` gives kW by minute for a job, a seed and a year's number."""

    job: Job
    seed: int
    sun_of: SunOf
    readings: Metered | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Year:
    """One year done: its plan, what the array gave, the account of each way and, for some years, the ceiling."""

    number: int
    plan: Plan
    sun_kwh: float
    house_kwh: float
    outcomes: dict[str, Outcome]
    ceiling_ratio: float | None


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """The inputs of one year, before any way is tried."""

    plan: Plan
    stays: Stays
    home: Home
    lag_min: Array


def drawn(setting: Setting, number: int) -> Drawn:
    """Draw a year. Each part has a stream of its own, so that a change to one leaves the others as they were."""
    job = job_of(setting, number)
    plan = plan_of(job, stream(setting.seed, number, PLAN), number)
    sun_kw = setting.sun_of(job, setting.seed, number)
    return drawn_for(setting, number, plan, sun_kw, house_of(setting, number, plan))


def job_of(setting: Setting, number: int) -> Job:
    """The job of one year: its roof drawn from the ranges that the survey leaves."""
    return drawn_roof(setting.job, stream(setting.seed, number, ROOF))


def drawn_for(setting: Setting, number: int, plan: Plan, sun_kw: Array, load_kw: Array) -> Drawn:
    """The year with this plan, this sun and this house."""
    stays = stays_of(plan, stream(setting.seed, number, CAR))
    return Drawn(plan, stays, home_of(plan, sun_kw, load_kw), lags_of(setting, number))


def lags_of(setting: Setting, number: int) -> Array:
    """The random delays of one year, minutes, taken in turn."""
    delays_min = int(usual("random_delay_s") / 60.0)
    return stream(setting.seed, number, LAG).integers(0, delays_min + 1, LAGS_COUNT)


def house_of(setting: Setting, number: int, plan: Plan) -> Array:
    """The house load in kW by minute: from the readings where there are any, scaled to the plan's kWh if not."""
    chance = stream(setting.seed, number, HOUSE)
    if setting.readings is not None:
        return by_minute(setting.readings.half_hour_kwh, chance)
    loads = setting.job.installation.loads or ()
    return house_year(annual_kwh=plan.annual_kwh, chance=chance, purposes=frozenset(load.purpose for load in loads))


def one_year(setting: Setting, number: int, kernel: Kernel | None = None, *, with_ceiling: bool = True) -> Year:
    """One year by every way, and its ceiling."""
    year = drawn(setting, number)
    kernel = kernel or quickest()
    outcomes = {way: run(code, year.plan, year.stays, year.home, year.lag_min, kernel)[1]
                for way, code in CODES.items()}  # fmt: skip
    best = max(share_ratio(outcome) for outcome in outcomes.values())
    most = ceiling(year.plan, year.stays, year.home, best) if with_ceiling else None
    return Year(number, year.plan, float(year.home.sun_kw.sum()) / 60.0, float(year.home.house_kw.sum()) / 60.0,
                outcomes, most)  # fmt: skip


def all_years(setting: Setting, years_count: int, workers_count: int | None = None) -> Iterator[Year]:
    """The years in order as they are done: in this process if there are few, else on every core."""
    workers_count = workers_count or min(os.cpu_count() or 1, 8)
    few = years_count <= FEW_YEARS_COUNT
    if years_count == 1 or workers_count == 1:
        kernel = plain() if years_count == 1 else quickest()
        for number in range(years_count):
            yield one_year(setting, number, kernel, with_ceiling=few or number % CEILING_EVERY == 0)
        return
    yield one_year(setting, 0)  # compiles the kernel before the workers branch off
    pool = ProcessPoolExecutor(workers_count, multiprocessing.get_context("fork"), initializer=_deaf)
    try:
        waiting = [pool.submit(one_year, setting, number, with_ceiling=few or number % CEILING_EVERY == 0)
                   for number in range(1, years_count)]  # fmt: skip
        for each in waiting:
            yield each.result()
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def kept(years: Iterator[Year], told: Callable[[int], None]) -> tuple[tuple[Year, ...], bool]:
    """The years done, and whether all were: Ctrl-C ends the run and keeps them. `told` hears how many there are."""
    done: list[Year] = []
    try:
        for year in years:
            done.append(year)
            told(len(done))
    except KeyboardInterrupt:
        return tuple(done), False
    return tuple(done), True


def fingerprint(setting: Setting) -> str:
    """A hash of what the years were made from: the job, the seed and the readings."""
    from ampwright.job.files import dump

    digest = hashlib.sha256(json.dumps([dump(setting.job), setting.seed]).encode())
    if setting.readings is not None:
        digest.update(np.ascontiguousarray(setting.readings.half_hour_kwh).tobytes())
    return digest.hexdigest()


def stream(seed: int, number: int, part: int) -> np.random.Generator:
    """The chance of one part of one year."""
    return np.random.default_rng([seed, number, part])


def _deaf() -> None:
    """Workers leave Ctrl-C to the parent."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
