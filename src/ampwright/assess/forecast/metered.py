"""House load by minute from half-hourly readings: each half hour keeps its energy; gaps are said, never hidden.

A day of the forecast's year takes the nearest day of the readings (by the season, at most ten days off) that is the
same day of the week and has the same clock, GMT or BST, if there is one. A half hour that no such day has is a gap: it
gets the mean of its half hour in the readings, and is counted and said.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass

import numpy as np

from ampwright.assess.forecast.clock import DAYS_COUNT, FIRST, Array
from ampwright.facts import rows
from ampwright.job.british_clock import is_summer
from ampwright.job.half_hourly import Gap, Readings

HALF_HOUR_MIN = 30
A_DAY = 48
FURTHEST_DAYS = 10


@dataclass(frozen=True, slots=True, eq=False)
class Metered:
    """A year of half-hour energies in kWh (UTC), those in a gap filled, what was missing, `zoned` as in Readings."""

    half_hour_kwh: Array
    filled_count: int
    gaps: tuple[Gap, ...]
    zoned: bool


def metered(found: Readings) -> Metered:
    """The readings as a year of the forecast."""
    days: dict[datetime.date, Array] = {}
    for start, kwh in found.kwh.items():
        day = days.setdefault(start.date(), np.full(A_DAY, np.nan))
        day[start.hour * 2 + start.minute // HALF_HOUR_MIN] = kwh
    taken = np.full((DAYS_COUNT, A_DAY), np.nan)
    for number in range(DAYS_COUNT):
        taken[number] = _nearest(FIRST.date() + datetime.timedelta(days=number), days)
    missing = np.isnan(taken)
    every = np.stack(list(days.values()))
    known = ~np.isnan(every)
    overall = float(np.mean(every[known]))
    counts = known.sum(axis=0)
    usual = np.where(counts > 0, np.where(known, every, 0.0).sum(axis=0) / np.maximum(counts, 1), overall)
    filled = np.where(missing, usual, taken)
    return Metered(filled.ravel(), int(missing.sum()), found.gaps, found.zoned)


def _nearest(date: datetime.date, days: dict[datetime.date, Array]) -> Array:
    """The day of the readings nearest in season, the same day of the week; blank if none is near.

    One of the same clock goes first: people keep to the clock, so a day of GMT would stand an hour off in BST.
    """
    best, worst = np.full(A_DAY, np.nan), (True, FURTHEST_DAYS + 1)
    summer = _is_summer(date)
    for year in {day.year for day in days}:
        same = date.replace(year=year)
        near = same + datetime.timedelta(days=(date.weekday() - same.weekday() + 3) % 7 - 3)
        for shift in (0, -7, 7):
            day = near + datetime.timedelta(days=shift)
            rank = (_is_summer(day) is not summer, abs((day - same).days))
            if day in days and rank[1] <= FURTHEST_DAYS and rank < worst:
                best, worst = days[day], rank
    return best


def _is_summer(date: datetime.date) -> bool:
    return is_summer(datetime.datetime.combine(date, datetime.time(12)))


def by_minute(half_hour_kwh: Array, chance: np.random.Generator) -> Array:
    """The load in kW by minute: what runs all day, and above it one appliance of a published rating in one block.

    Each half hour keeps its energy; where in it the block lies, and which appliance it is, is drawn.
    """
    daily = half_hour_kwh.reshape(-1, A_DAY)
    still_kw = np.repeat(daily.min(axis=1) * 2.0, A_DAY)
    rest_kwh = half_hour_kwh - still_kw / 2.0
    events = [row for row in rows("gb/house_events") if row["kind"] == "event"]
    ratings_kw = np.array(sorted({float(row["power_w"]) / 1000.0 for row in events}))
    drawn_kw = chance.choice(ratings_kw, size=len(rest_kwh))
    least = np.minimum(np.searchsorted(ratings_kw, rest_kwh * 2.0), len(ratings_kw) - 1)
    power_kw = np.maximum(drawn_kw, ratings_kw[least])
    run = np.clip(np.ceil(rest_kwh * 60.0 / power_kw), 1, HALF_HOUR_MIN).astype(np.int64)
    begin = np.floor(chance.uniform(0.0, 1.0, len(run)) * (HALF_HOUR_MIN - run + 1)).astype(np.int64)
    minute = np.arange(HALF_HOUR_MIN)
    on = (minute >= begin[:, None]) & (minute < (begin + run)[:, None])
    load_kw: Array = (still_kw[:, None] + on * (rest_kwh * 60.0 / run)[:, None]).ravel()
    return load_kw
