"""The whole forecast of a job: its years, what was supposed, what moves it and, if asked, how to reach a share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from ampwright.assess.forecast.bands import share_percent
from ampwright.assess.forecast.levers import Answer, Bar, bars, goal
from ampwright.assess.forecast.metered import Metered, metered
from ampwright.assess.forecast.years import Setting, SunOf, Year, all_years, fingerprint, kept
from ampwright.facts.tables import constant
from ampwright.job.fields import in_words
from ampwright.job.half_hourly import readings
from ampwright.job.paths import at
from ampwright.job.record import Job

Told = Callable[[str, int, int], None]
USUAL = {
    "installation.annual_kwh": "annual_kwh", "vehicles[0].battery_kwh": "battery_kwh",
    "vehicles[0].miles_per_kwh": "miles_per_kwh", "vehicles[0].miles_per_year": "miles_per_year",
    "vehicles[0].fill_percent": "fill_percent", "vehicles[0].keep_percent": "keep_percent",
    "vehicles[0].charging_loss_percent": "charging_loss_percent", "tariff.day_gbp_per_kwh": "day_gbp_per_kwh",
    "tariff.export_gbp_per_kwh": "export_gbp_per_kwh",
}  # fmt: skip


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
             told: Told = lambda words, done, count: None) -> Forecast:  # fmt: skip
    """Forecast a job. Raises CannotForecast where it has no car, no charge point phases or no array."""
    refuse(job)
    metering = _metered(job, folder)
    setting = Setting(job, seed, source.sun_of, metering)
    years, complete = kept(all_years(setting, years_count), lambda done: told("years", done, years_count))
    if not years:
        raise CannotForecast("the run was broken off before the first year was done; nothing is kept")
    way = best_way(years)
    found: tuple[Bar, ...] = ()
    answers: tuple[Answer, ...] = ()
    try:
        if complete:
            found = bars(setting, years, way, lambda done, count: told("assumptions", done, count))
            if goal_percent is not None:
                answers = goal(setting, len(years), goal_percent, lambda done, count: told("the goal", done, count))
    except KeyboardInterrupt:
        complete = False
    return Forecast(job, setting, source, fingerprint(setting), years_count, years, complete,
                    (*supposed(job, years), *_said_of(metering, job)), way, found, goal_percent, answers)  # fmt: skip


def best_way(years: tuple[Year, ...]) -> str:
    """The way of charging with the greatest middle share; the bars are drawn for it."""
    ways = [way for way in years[0].outcomes if way != "uncontrolled"]
    return max(ways, key=lambda way: float(np.nanmedian([share_percent(year.outcomes[way]) for year in years])))


def supposed(job: Job, years: tuple[Year, ...]) -> tuple[str, ...]:
    """What nobody asked and the forecast took from the table of usual values, each with its value and its field."""
    said = []
    for path, name in USUAL.items():
        if at(job, path) is None:
            fact = constant("gb/driving", name)
            said.append(f"{in_words(path)}: {fact.value:g} taken, nobody asked ({fact.where})")
    car = job.vehicles[0]
    cases = sorted({year.plan.pattern.words for year in years})
    if not car.trips or not car.plugs_in_on:
        asked = (("when the car is away (trips)", car.trips), ("when it is plugged in (plugs_in_on)", car.plugs_in_on))
        missing = " and ".join(words for words, held in asked if not held)
        said.append(f"nobody asked {missing}; the years take turns: {'; '.join(cases)}")
    if job.charge_point.load_cap.fitted and job.charge_point.load_cap.limit_a is None:
        said.append("the load cap's setting is not known: no cap is reckoned with")
    if len(job.vehicles) > 1:
        said.append(f"one charge point charges one car: {car.name} is reckoned, the others are not")
    home = job.installation
    if any(load.purpose == "heat_pump" for load in home.loads or ()) and not home.half_hourly.csv:
        said.append("a heat pump follows the cold, the load profile does not: give half-hourly readings")
    return tuple(said)


def _said_of(metering: Metered | None, job: Job) -> tuple[str, ...]:
    if metering is None:
        return ()
    said = ["each half hour of the readings keeps its energy; where in it the load lies is drawn"]
    if metering.filled_count:
        gaps = ", ".join(f"{gap.missing_count} from {gap.start:%Y-%m-%d %H:%M}" for gap in metering.gaps[:8])
        more = f" and {len(metering.gaps) - 8} more" if len(metering.gaps) > 8 else ""
        said.append(f"{metering.filled_count} half hours of the year are in no reading and got the mean of their half "
                    f"hour (gaps in the file: {gaps or 'none, it is short of a year'}{more})")  # fmt: skip
    if job.generation.fitted:
        said.append("if the panels stood while the meter was read, the readings are what the panels left: the house "
                    "load by day, and so the house's own use of the sun, is then too small here")  # fmt: skip
    return tuple(said)


def _metered(job: Job, folder: Path) -> Metered | None:
    name = job.installation.half_hourly.csv
    return None if name is None else metered(readings(folder / name))


def refuse(job: Job) -> None:
    """Raise CannotForecast with everything that is wanting."""
    wanting = []
    if not job.vehicles:
        wanting.append("vehicles: enter the car")
    if not job.generation.fitted or not job.generation.arrays:
        wanting.append("generation.arrays: enter the panels; without panels there is no sunshine to forecast")
    if wanting:
        raise CannotForecast("this job cannot be forecast yet:\n" + "\n".join(f"  {each}" for each in wanting))
