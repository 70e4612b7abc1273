"""The whole forecast of a job: its years, what was supposed, what moves it and, if asked, how to reach a share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from ampwright.assess.forecast.bands import share_percent
from ampwright.assess.forecast.levers import Answer, Bar, bars, goal
from ampwright.assess.forecast.metered import Metered, metered
from ampwright.assess.forecast.supposed import supposed
from ampwright.assess.forecast.years import Setting, SunOf, Year, all_years, fingerprint, kept
from ampwright.job.half_hourly import readings
from ampwright.job.record import Job

Told = Callable[[str, int, int], None]


class CannotForecast(Exception):
    """The job lacks what a forecast cannot suppose; says what to fill in."""


@dataclass(frozen=True, slots=True)
class Source:
    """Where the sun comes from: kW by minute for a job, a seed and a year's number; what it is; a hash of it."""

    sun_of: SunOf
    words: str
    sha256: str


@dataclass(frozen=True, slots=True, eq=False)
class Forecast:
    """Everything that the pages show. `complete` is False where the run was broken off."""

    job: Job
    setting: Setting
    source: Source
    sha256: str
    asked_count: int
    years: tuple[Year, ...]
    complete: bool
    supposed: tuple[str, ...]
    bars_way: str
    bars: tuple[Bar, ...]
    goal_percent: float | None
    answers: tuple[Answer, ...]


def forecast(job: Job, folder: Path, source: Source, *, seed: int, years_count: int, goal_percent: float | None = None,
             workers_count: int | None = None, told: Told = lambda words, done, count: None,
             with_bars: bool = True) -> Forecast:  # fmt: skip
    """Forecast a job; without `with_bars` what moves the share most is left out, which is most of the time it takes.

    `told` hears how far it is, and may end the run by raising; one worker is this very thread. Raises CannotForecast
    where the job has no car, no charge point phases or no array.
    """
    refuse(job)
    metering = _metered(job, folder)
    setting = Setting(job, seed, source.sun_of, metering)
    years, complete = kept(all_years(setting, years_count, workers_count),
                           lambda done: told("years", done, years_count))  # fmt: skip
    if not years:
        raise CannotForecast("the run was broken off before the first year was done; nothing is kept")
    way = best_way(years)
    found: tuple[Bar, ...] = ()
    answers: tuple[Answer, ...] = ()
    if complete and with_bars:
        found, complete = bars(setting, years, way, lambda done, count: told("assumptions", done, count))
    if complete and goal_percent is not None:
        answers, complete = goal(setting, len(years), goal_percent, lambda done, count: told("the goal", done, count))
    return Forecast(job, setting, source, fingerprint(setting), years_count, years, complete,
                    supposed(job, years, metering), way, found, goal_percent, answers)  # fmt: skip


def best_way(years: tuple[Year, ...]) -> str:
    """The way of charging with the greatest middle share; the bars are drawn for it."""
    ways = [way for way in years[0].outcomes if way != "uncontrolled"]
    return max(ways, key=lambda way: float(np.nanmedian([share_percent(year.outcomes[way]) for year in years])))


def _metered(job: Job, folder: Path) -> Metered | None:
    name = job.installation.half_hourly.csv
    return None if name is None else metered(readings(folder / name))


def refuse(job: Job) -> None:
    """Raise CannotForecast with everything that is wanting."""
    wanting = []
    if not job.vehicles:
        wanting.append("vehicles: enter the car")
    else:
        car = job.vehicles[0]
        wanting += [f"vehicles[0].{name} is 0: a car without it has nothing to forecast; enter it"
                    for name, value in (("battery_kwh", car.battery_kwh), ("miles_per_year", car.miles_per_year))
                    if value is not None and value.high <= 0.0]  # fmt: skip
    if not job.generation.fitted or not job.generation.arrays:
        wanting.append("generation.arrays: enter the panels; without panels there is no sunshine to forecast")
    if wanting:
        raise CannotForecast("this job cannot be forecast yet:\n" + "\n".join(f"  {each}" for each in wanting))
