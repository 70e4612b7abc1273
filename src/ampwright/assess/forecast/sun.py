"""A year of weather by minute, drawn from the climate tables; the same region, seed and year give the same bytes."""

from __future__ import annotations

import hashlib
from functools import lru_cache
from importlib import resources

import numpy as np

from ampwright.assess.forecast.cloud import lifts, passed_ratio, shape, wandering
from ampwright.assess.forecast.days import drawn_days, fitted_days
from ampwright.assess.forecast.place import (
    DAYS_COUNT,
    MINUTES_COUNT,
    MONTHS,
    NoRegion,
    Place,
    by_month,
    name_of,
    place_of,
    region_of,
    sky_over,
)  # fmt: skip
from ampwright.assess.forecast.roof import NotKnown, generation_kw
from ampwright.assess.forecast.split import split_by_hour
from ampwright.assess.forecast.weather import Provenance, Weather
from ampwright.facts import constant
from ampwright.physics.sun import Numbers

__all__ = [
    "MINUTES_COUNT", "NoRegion", "NotKnown", "Provenance", "Weather", "generation_kw", "region_of", "weather_year",
]  # fmt: skip

_TABLES = ("gb/sun_regions", "gb/sun_by_month", "iec/daily_clearness_steps", "iec/minute_cloud")
_SAMPLE_MIN = 12
_REACHED_RATIO = 0.985
SPREAD = ("from year to year the months differ as far as the 1988 matrices let them, some 10 % a month, 3 to 4 % a"
          " year; no measured British figure was found, so take it as the least")  # fmt: skip


def weather_year(region: int, seed: int, year_number: int, *, average: bool = False) -> Weather:
    """Minutes of one invented year over a region (0 to 21).

    The means of its months are those of SAP 2012 Table U3 in the long run, and in an `average` year exactly.
    Raises NoRow where there is no such region.
    """
    place = place_of(region)
    sky = sky_over(place)
    rng = np.random.default_rng([region, seed, year_number])
    light = _days_w_per_m2(region, place, rng, average)
    day = slice(sky.day_from, sky.day_to)
    level = wandering(rng).reshape(DAYS_COUNT, 1440)[:, day]
    clear = sky.clear_w_per_m2.reshape(DAYS_COUNT, 1440)[:, day]
    lift = lifts(level[:, ::_SAMPLE_MIN], clear[:, ::_SAMPLE_MIN], light * (1440 / level.shape[1]))
    bright = np.zeros((DAYS_COUNT, 1440))
    bright[:, day] = passed_ratio(level + lift[:, None]) * clear
    _to_the_month(bright, light)
    direct, diffuse = split_by_hour(bright.ravel(), sky)
    return Weather(place, bright.ravel(), direct, diffuse, _air_c(region, place, light), Provenance(
        f"drawn from SAP 2012 Tables U1 and U3, {name_of(region)}; days by the 1988 matrices; minutes by our own model",
        _hash_of_tables(), seed, year_number, () if average else (SPREAD,)))  # fmt: skip


@lru_cache(maxsize=2)
def _levels(place: Place) -> tuple[Numbers, Numbers]:
    """Mean light of each day above the air, and under a clear sky, W/m2."""
    sky = sky_over(place)
    above = sky.sun.extra_w_per_m2 * np.maximum(sky.sun.up, 0)
    return above.reshape(DAYS_COUNT, 1440).mean(axis=1), sky.clear_w_per_m2.reshape(DAYS_COUNT, 1440).mean(axis=1)


def _days_w_per_m2(region: int, place: Place, rng: np.random.Generator, average: bool) -> Numbers:
    extra, clear = _levels(place)
    means = np.asarray(by_month(region, "global_w_per_m2"))
    month_extra = np.array([extra[month == MONTHS].mean() for month in range(12)])
    days, long_run = drawn_days(means / month_extra, rng)
    if not average:
        drawn = np.array([(days * extra)[month == MONTHS].mean() for month in range(12)])
        means = means * drawn / (long_run * month_extra)
    most = _REACHED_RATIO * shape().clear_ratio * clear / extra
    best = np.array([(most * extra)[month == MONTHS].mean() for month in range(12)])
    return fitted_days(days, means_w_per_m2=np.minimum(means, best), extra_w_per_m2=extra, most=most)


def _to_the_month(bright: Numbers, light: Numbers) -> None:
    for month in range(12):
        of = month == MONTHS
        bright[of] *= light[of].mean() / bright[of].mean()


def _air_c(region: int, place: Place, light: Numbers) -> Numbers:
    """Mean of the month, smoothly from one to the next, and a swing over the day that is wider the clearer it is."""
    middles = np.array([np.flatnonzero(month == MONTHS).mean() for month in range(12)])
    days = np.interp(np.arange(DAYS_COUNT), middles, by_month(region, "air_c"), period=DAYS_COUNT)
    swing = constant("iec/minute_cloud", "swing_k").value * light / _levels(place)[0]
    turn = 2 * np.pi * ((np.arange(1440) + 0.5) / 60 + place.lon_deg / 15
                        - constant("iec/minute_cloud", "warmest_h").value) / 24  # fmt: skip
    return np.asarray(days[:, None] + swing[:, None] * np.cos(turn)).ravel()


@lru_cache(maxsize=1)
def _hash_of_tables() -> str:
    folder = resources.files("ampwright.facts")
    return hashlib.sha256(b"".join(folder.joinpath(f"{name}.csv").read_bytes() for name in _TABLES)).hexdigest()
