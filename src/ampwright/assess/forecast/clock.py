"""The year of the forecast: 365 days of minutes in UTC with the days of 2025, and the British clock over them."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from ampwright.job.british_clock import changes_utc

YEAR = 2025
DAY_MIN = 1440
DAYS_COUNT = 365
MINUTES_COUNT = DAYS_COUNT * DAY_MIN
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
          "November", "December")  # fmt: skip
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
FIRST = datetime.datetime(YEAR, 1, 1)
SUMMER_BEGINS, SUMMER_ENDS = ((each - FIRST) // datetime.timedelta(minutes=1) for each in changes_utc(YEAR))
MONTH_STARTS = np.array([(datetime.datetime(YEAR, month, 1) - FIRST).days * DAY_MIN for month in range(1, 13)])
Array = np.ndarray[Any, Any]


@dataclass(frozen=True, slots=True)
class Wall:
    """What the clock on the wall shows in each minute of the year: day of the year, minute of the day, weekday."""

    day: Array
    minute: Array
    weekday: Array


@lru_cache(maxsize=1)
def wall() -> Wall:
    """The British clock over the year. The last hour of summer time is shown twice, the first never."""
    utc = np.arange(MINUTES_COUNT)
    shown = utc + 60 * ((utc >= SUMMER_BEGINS) & (utc < SUMMER_ENDS))
    day = shown // DAY_MIN
    return Wall(day, shown % DAY_MIN, (day + FIRST.weekday()) % 7)


def to_utc_min(day: int, wall_h: float) -> int:
    """The minute of the year in UTC at which the wall shows `wall_h` on a day (above 24 runs into the next)."""
    shown = round(day * DAY_MIN + wall_h * 60)
    return shown - 60 if SUMMER_BEGINS <= shown - 60 < SUMMER_ENDS else shown


@lru_cache(maxsize=1)
def seasons() -> tuple[str, ...]:
    """The settlement season of each day, for load profiles (their definition from memory).

    Summer is the ten weeks from the sixteenth Saturday before the August bank holiday, high summer the six weeks and
    two days after that; spring and autumn lie between these and the changes of the clock, winter beyond.
    """
    august = datetime.date(YEAR, 8, 31)
    holiday = august - datetime.timedelta(days=august.weekday())
    saturday = holiday - datetime.timedelta(days=2)
    summer, high = (saturday - datetime.timedelta(weeks=weeks) for weeks in (15, 5))
    turns = [(changes_utc(YEAR)[0].date(), "spring"), (summer, "summer"), (high, "high_summer"),
             (high + datetime.timedelta(days=44), "autumn"), (changes_utc(YEAR)[1].date(), "winter")]  # fmt: skip
    found = []
    for day in range(DAYS_COUNT):
        date = FIRST.date() + datetime.timedelta(days=day)
        found.append(next((name for turn, name in reversed(turns) if date >= turn), "winter"))
    return tuple(found)


def by_month(each_minute: Array) -> Array:
    """The sums of a value by minute over the twelve months (UTC)."""
    sums: Array = np.add.reduceat(each_minute, MONTH_STARTS)
    return sums
