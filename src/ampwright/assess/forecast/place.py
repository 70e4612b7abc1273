"""The 22 regions of the British climate tables, and the sun over the middle of each."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ampwright.facts import look_up, look_up_text, rows
from ampwright.job.record import Job
from ampwright.physics.sun import Numbers, Sun, clear_global_w_per_m2, sun

DAYS_COUNT = 365
MINUTES_COUNT = DAYS_COUNT * 1440
MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
MONTHS = np.repeat(np.arange(12), MONTH_DAYS)
# noon UTC of 1 January 2000 to midnight of 1 January 2025, a common year half way between two leap years
_FIRST_DAY = 9131.5
_OUTWARD = re.compile(r"([A-Z]{1,2})([0-9]{1,2})?[A-Z]?")


class NoRegion(Exception):
    """Nothing tells which region a job lies in; says what to fill in."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where the sun is looked at from: degrees north and east, metres above the sea, air's haze month by month."""

    lat_deg: float
    lon_deg: float
    height_m: float
    turbidity_ratios: tuple[float, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Sky:
    """The sun over a place at the middle of each minute of a year, UTC, and its light without cloud (W/m2).

    hours: the same sun as means over the 8,760 hours, what is below the horizon counted as nothing; day_from and
    day_to: the minutes of the day (whole hours) outside which it is night all year.
    """

    sun: Sun
    clear_w_per_m2: Numbers
    hours: Sun
    day_from: int
    day_to: int


def region_of(job: Job) -> int:
    """The region chosen in the job, else that of its postcode (SAP 2012 Table U6, as remembered).

    Raises NoRegion where neither is given or the area is unknown.
    """
    if job.site.sun_region is not None:
        return job.site.sun_region
    postcode = (job.site.postcode or "").strip().upper()
    found = _OUTWARD.fullmatch(postcode[:-3].strip() if len(postcode) > 4 else postcode)
    fits = [row for row in rows("gb/sun_postcodes") if found and row["area"] == found[1] and _holds(row, found[2])]
    if not fits:
        raise NoRegion("fill in site.postcode, or site.sun_region with a region of the climate tables (0 to 21)")
    return int(max(fits, key=lambda row: bool(row["from_district"]))["region"])


def _holds(row: dict[str, str], district: str | None) -> bool:
    if not row["from_district"]:
        return True
    return district is not None and int(row["from_district"]) <= int(district) <= int(row["to_district"])


@lru_cache(maxsize=32)
def place_of(region: int) -> Place:
    """The middle of a region. Raises NoRow where there is no such region."""
    lat, lon, height = (look_up("gb/sun_regions", column, region=region).value
                        for column in ("lat_deg", "lon_deg", "height_m"))  # fmt: skip
    return Place(lat, lon, height, by_month(region, "turbidity_ratio"))


def name_of(region: int) -> str:
    """What the tables call a region."""
    return look_up_text("gb/sun_regions", "name", region=region)


def by_month(region: int, column: str) -> tuple[float, ...]:
    """Twelve numbers of a region, January first."""
    return tuple(look_up("gb/sun_by_month", column, region=region, month=month).value for month in range(1, 13))


def turbidity_near(lat_deg: float, lon_deg: float) -> tuple[float, ...]:
    """The haze of the nearest region's middle, for a place that no table names."""
    shrink = np.cos(np.radians(lat_deg))
    nearest = min(rows("gb/sun_regions")[1:], key=lambda row: (float(row["lat_deg"]) - lat_deg) ** 2
                  + (shrink * (float(row["lon_deg"]) - lon_deg)) ** 2)  # fmt: skip
    return by_month(int(nearest["region"]), "turbidity_ratio")


@lru_cache(maxsize=2)
def sky_over(place: Place) -> Sky:
    """The sky over a place; the two last ones are kept (some 30 MB each)."""
    days = _FIRST_DAY + (np.arange(MINUTES_COUNT) + 0.5) / 1440
    above = sun(lat_deg=place.lat_deg, lon_deg=place.lon_deg, days=days)
    haze = np.repeat(np.asarray(place.turbidity_ratios)[MONTHS], 1440)
    clear = clear_global_w_per_m2(sky=above, height_m=place.height_m, turbidity_ratio=haze)
    hours = Sun(_hourly(above.east), _hourly(above.north), _hourly(np.maximum(above.up, 0)), _hourly(above.lifted),
                _hourly(above.extra_w_per_m2))  # fmt: skip
    lit = np.flatnonzero(clear.reshape(DAYS_COUNT, 24, 60).max(axis=(0, 2)) > 0)
    return Sky(above, clear, hours, 60 * int(lit[0]), 60 * int(lit[-1] + 1))


def _hourly(minutes: Numbers) -> Numbers:
    return np.asarray(minutes.reshape(-1, 60).mean(axis=1))
