"""When the car is away and what electricity costs: what the sunshine forecast asks beyond the installation."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ampwright.job.choices import Days, RandomDelay, Weekday
from ampwright.reading import Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Trip:
    """One absence of the car on each of these days, by the clock on the wall; `back_h` below `leaves_h` is next day."""

    days: Days
    leaves_h: Reading
    back_h: Reading
    driven_miles_count: Reading | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Vehicle:
    name: str
    model: str | None = None
    registration: str | None = None
    battery_kwh: Reading | None = None
    onboard_a: float | None = None
    onboard_phases: Literal[1, 3] | None = None
    miles_per_kwh: Reading | None = None
    miles_per_year: Reading | None = None
    trips: tuple[Trip, ...] = ()
    plugs_in_on: tuple[Weekday, ...] = ()
    fill_percent: Reading | None = None
    keep_percent: Reading | None = None
    charging_loss_percent: Reading | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Following:
    """How the charge point follows the sun, and which settings of the smart charge point regulations stand."""

    start_delay_min: float | None = None
    stop_delay_min: float | None = None
    switches_phases: bool | None = None
    default_hours: bool | None = None
    random_delay: RandomDelay | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tariff:
    """What a kilowatt-hour costs; without night hours one price holds all day."""

    day_gbp_per_kwh: Reading | None = None
    night_gbp_per_kwh: Reading | None = None
    night_from_h: float | None = None
    night_to_h: float | None = None
    export_gbp_per_kwh: Reading | None = None
