"""What the job says of the car, the charge point and the store, as the plain numbers of one year.

A range of the survey is drawn from evenly, year by year, so that what is not known widens the band; what nobody asked
is taken from a table of usual values and said.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from ampwright.assess.forecast.clock import DAYS_COUNT, FIRST, WEEKDAYS
from ampwright.facts.tables import constant
from ampwright.job.driving import Trip, Vehicle
from ampwright.job.record import Job
from ampwright.physics.minute import LAG_ON_CHANGE, LAG_ON_START, NO_LAG
from ampwright.reading import Reading, measured

NO_CAP_A = 1e9
NO_LIMIT_KW = 1e9
STORE_A = 16.0
EVERY_DAY = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
THRICE = ("Tuesday", "Thursday", "Sunday")
DAYS = {"every day": range(7), "weekdays": range(5), "weekend": (5, 6)}
LAGS = {None: NO_LAG, "overridden": NO_LAG, "at starts": LAG_ON_START, "at every change": LAG_ON_CHANGE}


@dataclass(frozen=True, slots=True)
class Pattern:
    """When the car is away, and on which days it is plugged in when at home; `words` names a supposed one."""

    trips: tuple[Trip, ...]
    plugs_in_on: tuple[str, ...]
    words: str = ""


@dataclass(frozen=True, slots=True)
class Plan:
    """The numbers of one year. Powers in kW, energies in kWh, prices in pounds a kilowatt-hour."""

    pattern: Pattern
    annual_kwh: float
    miles_per_year: float
    miles_per_kwh: float
    battery_kwh: float
    fill_ratio: float
    keep_ratio: float
    kept_ratio: float
    fixed_kw: float
    line_kw: float
    phases: int
    supply_phases: int
    most_a: int
    least_a: int
    cap_a: float
    switches: bool
    wait_min: int
    linger_min: int
    lag_kind: int
    default_hours: bool
    store_kwh: float
    store_kw: float
    store_way_ratio: float
    shared_kw: float
    store_feeds_car: bool
    export_limit_kw: float
    day_gbp_per_kwh: float
    night_gbp_per_kwh: float
    night_from_h: float
    night_to_h: float
    export_gbp_per_kwh: float


def usual(name: str) -> float:
    """A value of the table of usual values."""
    return constant("gb/driving", name).value


def plan_of(job: Job, chance: np.random.Generator, year_number: int) -> Plan:
    """The numbers of one year. The draws come in a fixed order, so that one seed gives one plan."""

    def draw(reading: Reading | None, name: str) -> float:
        held = reading if reading is not None else measured(usual(name))
        share = chance.uniform()
        return held.low + (held.high - held.low) * share

    car = job.vehicles[0] if job.vehicles else Vehicle(name="a car")
    export_limit = job.generation.export_limit_kw
    tariff, following = job.tariff, job.charge_point.following
    day_gbp = draw(tariff.day_gbp_per_kwh, "day_gbp_per_kwh")
    return Plan(
        pattern=pattern_of(car, year_number),
        annual_kwh=draw(job.installation.annual_kwh, "annual_kwh"),
        miles_per_year=_or(miles_of_trips(car), draw(car.miles_per_year, "miles_per_year")),
        miles_per_kwh=draw(car.miles_per_kwh, "miles_per_kwh"),
        battery_kwh=draw(car.battery_kwh, "battery_kwh"),
        fill_ratio=draw(car.fill_percent, "fill_percent") / 100.0,
        keep_ratio=draw(car.keep_percent, "keep_percent") / 100.0,
        kept_ratio=1.0 - draw(car.charging_loss_percent, "charging_loss_percent") / 100.0,
        fixed_kw=usual("fixed_loss_w") / 1000.0,
        day_gbp_per_kwh=day_gbp,
        night_gbp_per_kwh=draw(tariff.night_gbp_per_kwh or measured(day_gbp), "day_gbp_per_kwh"),
        night_from_h=0.0 if tariff.night_from_h is None else tariff.night_from_h,
        night_to_h=7.0 if tariff.night_to_h is None else tariff.night_to_h,
        export_gbp_per_kwh=draw(tariff.export_gbp_per_kwh, "export_gbp_per_kwh"),
        export_limit_kw=NO_LIMIT_KW if export_limit is None else (export_limit.low + export_limit.high) / 2.0,
        wait_min=int(_or(following.start_delay_min, usual("start_delay_min"))),
        linger_min=int(_or(following.stop_delay_min, usual("stop_delay_min"))),
        lag_kind=LAGS[following.random_delay],
        default_hours=bool(following.default_hours),
        switches=bool(following.switches_phases),
        **_circuit(job, car), **_store(job, chance),
    )  # fmt: skip


def _or(value: float | None, usual_count: float) -> float:
    return usual_count if value is None else value


def _circuit(job: Job, car: Vehicle) -> dict[str, Any]:
    """Currents and phases: the least of charge point, setting, car and supply. On an open cap, none."""
    point = job.charge_point
    most_a = min(_or(limit, 32.0) for limit in (point.rated_a, point.set_a, car.onboard_a))
    supply_phases = job.supply.phases or 1
    phases = 3 if supply_phases == 3 and point.phases == 3 and car.onboard_phases == 3 else 1
    cap = point.load_cap
    return {"most_a": int(most_a), "least_a": int(usual("least_a")), "line_kw": job.supply.declared_v / 1000.0,
            "phases": phases, "supply_phases": supply_phases,
            "cap_a": cap.limit_a if cap.fitted and cap.limit_a is not None else NO_CAP_A}  # fmt: skip


def _store(job: Job, chance: np.random.Generator) -> dict[str, Any]:
    """The store of the house. One on the panels' inverter has its rating where it has none of its own."""
    store, made = job.storage, job.generation
    shares = store.coupling == "DC"
    rated, line = store.inverter_a, store.line
    if rated is None and shares and made.inverter_a is not None:
        rated, line = made.inverter_a, made.line
    capacity = store.capacity_kwh if store.fitted else None
    capacity_kwh = 0.0 if capacity is None else _within(capacity, chance)
    inverter_a = STORE_A if rated is None else _within(rated, chance)
    inverter_kw = inverter_a * job.supply.declared_v * (3 if line == "all" else 1) / 1000.0
    return {"store_kwh": capacity_kwh, "store_kw": inverter_kw, "shared_kw": inverter_kw if shares else NO_LIMIT_KW,
            "store_way_ratio": usual("store_dc_ratio" if shares else "store_ac_ratio"),
            "store_feeds_car": bool(store.feeds_car)}  # fmt: skip


def weekdays_of(trip: Trip) -> Sequence[int]:
    """The days of the week on which a trip is made, Monday 0."""
    return DAYS.get(trip.days) or (WEEKDAYS.index(trip.days),)


def weekday_of(day: int) -> int:
    """The day of the week of a day of the forecast's year, Monday 0."""
    return (day + FIRST.weekday()) % 7


def miles_of_trips(car: Vehicle) -> float | None:
    """The miles a year that the trips add up to, ranges at their middle; None unless each trip says its miles."""
    if not car.trips:
        return None
    miles = 0.0
    for trip in car.trips:
        if trip.driven_miles_count is None:
            return None
        days = sum(weekday_of(day) in weekdays_of(trip) for day in range(DAYS_COUNT))
        miles += days * (trip.driven_miles_count.low + trip.driven_miles_count.high) / 2.0
    return miles


def _within(reading: Reading, chance: np.random.Generator) -> float:
    return reading.low + (reading.high - reading.low) * chance.uniform()


def pattern_of(car: Vehicle, year_number: int) -> Pattern:
    """The trips and days entered; where nobody asked, one supposed case a year, in turn."""
    away, days = supposed_trips(), supposed_days()
    trips_case = away[year_number % len(away)]
    days_case = days[year_number // len(away) % len(days)]
    words = [case.words for case, asked in ((trips_case, car.trips), (days_case, car.plugs_in_on)) if not asked]
    return Pattern(car.trips or trips_case.trips, car.plugs_in_on or days_case.plugs_in_on, ", ".join(words))


def supposed_trips() -> tuple[Pattern, ...]:
    """Three drivers to suppose where nobody asked: a commuter, one who goes in twice a week, one mostly at home."""

    def trip(days: str, leaves_h: float, back_h: float) -> Trip:
        return Trip(days=days, leaves_h=measured(leaves_h), back_h=measured(back_h))  # type: ignore[arg-type]

    weekend = (trip("Saturday", 10.0, 13.0), trip("Sunday", 11.0, 15.0))
    return (
        Pattern((trip("weekdays", 7.75, 17.75), *weekend), EVERY_DAY, "away on weekdays from 07:45 to 17:45"),
        Pattern((trip("Tuesday", 7.75, 17.75), trip("Thursday", 7.75, 17.75), trip("Monday", 15.0, 16.5),
                 trip("Friday", 15.0, 16.5), *weekend), EVERY_DAY, "away on two weekdays"),
        Pattern((trip("every day", 15.0, 16.5),), EVERY_DAY, "at home but for an hour and a half a day"),
    )  # fmt: skip


def supposed_days() -> tuple[Pattern, ...]:
    """Two habits to suppose where nobody asked: plugged in whenever home, or three times a week."""
    return (Pattern((), EVERY_DAY, "plugged in whenever home"), Pattern((), THRICE, "plugged in three days a week"))


def changed(plan: Plan, **changes: object) -> Plan:
    """The same plan with other numbers; `trips` and `plugs_in_on` are those of its pattern."""
    of_pattern = {name: changes.pop(name) for name in ("trips", "plugs_in_on") if name in changes}
    pattern = dataclasses.replace(plan.pattern, **of_pattern)  # type: ignore[arg-type]
    return dataclasses.replace(plan, pattern=pattern, **changes)  # type: ignore[arg-type]
