"""Trips and plug-in days to the stays of one car through one year: from when to when, and what was driven before."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ampwright.assess.forecast.clock import DAYS_COUNT, MINUTES_COUNT, WEEKDAYS, Array, to_utc_min, wall
from ampwright.assess.forecast.plan import Plan, usual, weekday_of, weekdays_of
from ampwright.reading import Reading

PLUGS_IN_AT_H = 8.0
SPARE_RATIO = 1.1
Away = tuple[int, int, float]
Drawn = tuple[int, int, float | None, int]


@dataclass(frozen=True, slots=True, eq=False)
class Stays:
    """Plugged-in stretches in order (minutes of the year), the kWh driven before each and what to have at its end.

    `miles_count` is all that is driven in the year.
    """

    start_min: Array
    end_min: Array
    driven_kwh: Array
    ready_kwh: Array
    trailing_kwh: float
    miles_count: float

    @property
    def wanted_kwh(self) -> float:
        """What all the driving of the year takes from the battery, kWh."""
        return float(self.driven_kwh.sum()) + self.trailing_kwh


def stays_of(plan: Plan, chance: np.random.Generator) -> Stays:
    """The year of the car. On a day at home it is plugged in from eight if that day is one for it."""
    absences, miles_count = _absences(plan, chance)
    plug_days = {WEEKDAYS.index(day) for day in plan.pattern.plugs_in_on}
    found: list[Away] = []
    owed_kwh, home_from = 0.0, 0
    for leaves, back, kwh in [*absences, (MINUTES_COUNT, MINUTES_COUNT, 0.0)]:
        plugged = _plugged_from(home_from, leaves, plug_days)
        if plugged is not None:
            found.append((plugged, leaves, owed_kwh))
            owed_kwh = 0.0
        owed_kwh, home_from = owed_kwh + kwh, back
    columns = [np.array(column) for column in zip(*found, strict=True)] if found else [np.zeros(0)] * 3
    start, end, driven = (columns[0].astype(np.int64), columns[1].astype(np.int64), columns[2].astype(np.float64))
    after = np.append(driven[1:], owed_kwh) if len(driven) else driven
    ready = np.minimum(plan.battery_kwh * plan.keep_ratio + after * SPARE_RATIO, plan.battery_kwh * plan.fill_ratio)
    return Stays(start, end, driven, ready, owed_kwh, miles_count)


def _absences(plan: Plan, chance: np.random.Generator) -> tuple[list[Away], float]:
    """Every trip of the year in order: leaves, is back (minutes, UTC), kWh from the battery; and the miles of all.

    Overlaps are joined.
    """
    drawn: list[Drawn] = []
    for trip in plan.pattern.trips:
        for day in range(DAYS_COUNT):
            if weekday_of(day) not in weekdays_of(trip):
                continue
            leaves_h, back_h = _drawn(trip.leaves_h, chance), _drawn(trip.back_h, chance)
            back_h += 24.0 if back_h <= leaves_h else 0.0
            miles = None if trip.driven_miles_count is None else _drawn(trip.driven_miles_count, chance)
            drawn.append((to_utc_min(day, leaves_h), min(to_utc_min(day, back_h), MINUTES_COUNT), miles, day))
    drawn.sort(key=lambda each: each[:2])
    given = sum(miles for _, _, miles, _ in drawn if miles is not None)
    open_count = sum(miles is None for _, _, miles, _ in drawn)
    shared = max(plan.miles_per_year - given, 0.0) / open_count if open_count else 0.0
    joined: list[Away] = []
    for leaves, back, miles, day in drawn:
        kwh = (shared if miles is None else miles) / plan.miles_per_kwh * _winter(day)
        if joined and leaves < joined[-1][1]:
            joined[-1] = (joined[-1][0], max(back, joined[-1][1]), joined[-1][2] + kwh)
        else:
            joined.append((leaves, back, kwh))
    return joined, given + shared * open_count


def _drawn(reading: Reading, chance: np.random.Generator) -> float:
    return reading.low if reading.exact else float(chance.uniform(reading.low, reading.high))


def _winter(day: int) -> float:
    """Consumption against its mean over the year; most in the middle of January."""
    return 1.0 + usual("winter_swing_ratio") * math.cos(2.0 * math.pi * (day - 15) / DAYS_COUNT)


def _plugged_from(home_from: int, leaves: int, plug_days: set[int]) -> int | None:
    """When the car is plugged in between coming home and leaving; None if no day of the stay is one for it."""
    if home_from >= leaves:
        return None
    day = int(wall().day[home_from])
    if weekday_of(day) in plug_days:
        return home_from
    for later in range(day + 1, DAYS_COUNT):
        at = to_utc_min(later, PLUGS_IN_AT_H)
        if at >= leaves:
            return None
        if weekday_of(later) in plug_days:
            return at
    return None
