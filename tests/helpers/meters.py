"""Small files of half-hourly readings."""

import datetime


def days(count: int) -> bytes:
    """So many days from the first of January 2026, each half hour of so many watt-hours as the number of its hour."""
    first = datetime.datetime(2026, 1, 1)
    starts = [first + datetime.timedelta(minutes=30 * number) for number in range(48 * count)]
    return "\n".join(["start,kwh", *(f"{each:%Y-%m-%dT%H:%MZ},0.{each.hour:03}" for each in starts), ""]).encode()
