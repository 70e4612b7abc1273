"""The time as the store writes it, so that two times compare as texts."""

from __future__ import annotations

import datetime
from collections.abc import Callable

from ampwright.job.british_clock import to_clock
from ampwright.working import written_day

Clock = Callable[[], datetime.datetime]


def utc_now() -> datetime.datetime:
    """The time now, in UTC."""
    return datetime.datetime.now(datetime.UTC)


def written(at: datetime.datetime) -> str:
    """A time in UTC as the store keeps it."""
    return at.astimezone(datetime.UTC).isoformat(timespec="milliseconds")


def british(at: datetime.datetime) -> datetime.datetime:
    """A time in UTC by the clock on the wall in Great Britain."""
    return to_clock(at.replace(tzinfo=None))


def clock(at: str) -> str:
    """A time that the store keeps, as it is said: 3 June 2026, 14:05."""
    local = british(datetime.datetime.fromisoformat(at))
    return f"{written_day(local)}, {local:%H:%M}"
