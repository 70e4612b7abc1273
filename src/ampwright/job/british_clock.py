"""GMT and BST without a time zone database: summer time from the last Sunday of March to that of October, 01:00 UTC.

The rule stands in the Summer Time Order 2002 (from memory); it holds for every year since 1996.
All times here are bare datetimes, in UTC or on the British clock as their names say.
"""

from __future__ import annotations

import datetime
from functools import lru_cache

HOUR = datetime.timedelta(hours=1)


@lru_cache(maxsize=64)
def changes_utc(year: int) -> tuple[datetime.datetime, datetime.datetime]:
    """When summer time begins and ends in a year, UTC."""
    begins, ends = (datetime.datetime(year, month, 31, 1) for month in (3, 10))
    return begins - _since_sunday(begins), ends - _since_sunday(ends)


def is_summer(utc: datetime.datetime) -> bool:
    """Whether the British clock shows BST at this UTC time."""
    begins, ends = changes_utc(utc.year)
    return begins <= utc < ends


def to_clock(utc: datetime.datetime) -> datetime.datetime:
    """UTC to the British clock."""
    return utc + HOUR if is_summer(utc) else utc


def from_clock(clock: datetime.datetime, second_time: bool = False) -> datetime.datetime | None:
    """The British clock to UTC; None for the hour in March that the clock leaves out.

    In October the clock shows one hour twice: `second_time` says which of the two is meant.
    """
    as_summer = clock - HOUR
    fits = [utc for utc, summer in ((as_summer, True), (clock, False)) if is_summer(utc) is summer]
    return fits[-1 if second_time else 0] if fits else None


def _since_sunday(day: datetime.datetime) -> datetime.timedelta:
    return datetime.timedelta(days=(day.weekday() + 1) % 7)
