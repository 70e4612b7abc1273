"""The time as the store writes it, so that two times compare as texts."""

from __future__ import annotations

import datetime
from collections.abc import Callable

Clock = Callable[[], datetime.datetime]


def utc_now() -> datetime.datetime:
    """The time now, in UTC."""
    return datetime.datetime.now(datetime.UTC)


def written(at: datetime.datetime) -> str:
    """A time in UTC as the store keeps it."""
    return at.astimezone(datetime.UTC).isoformat(timespec="milliseconds")
