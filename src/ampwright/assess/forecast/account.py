"""Who had what, minute by minute. The house is served first: the car's own share is what the house left of the sun.

What the grid adds to reach the least current counts as grid, however little it is. What a store gives goes to the
house first and then to the car; the car's own share is then what the store gave it. Export forgone is what would have
gone out had there been no car.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ampwright.assess.forecast.clock import MONTH_STARTS, Array, by_month, wall
from ampwright.assess.forecast.kernel import Kernel
from ampwright.assess.forecast.plan import Plan
from ampwright.assess.forecast.stays import Stays
from ampwright.physics.minute import AT_ONCE, FLOOR, IS_NIGHT, MAY_CHARGE, NIGHT, READY, STEADY, SURPLUS

WAYS = {"surplus only": SURPLUS, "surplus with a floor": FLOOR, "steady": STEADY, "night window": NIGHT,
        "ready by": READY}  # fmt: skip
UNCONTROLLED = "uncontrolled"
CODES = {**WAYS, UNCONTROLLED: AT_ONCE}
MONTHLY = ("car_kwh", "sun_kwh", "night_kwh", "day_kwh", "forgone_kwh", "unmet_kwh")
DEFAULT_PEAKS_H = ((8.0, 11.0), (16.0, 22.0))


@dataclass(frozen=True, slots=True, eq=False)
class Home:
    """One year of the home by minute: sun and house in kW, and what the hour allows."""

    sun_kw: Array
    house_kw: Array
    net_kw: Array
    may: Array


@dataclass(frozen=True, slots=True, eq=False)
class Flows:
    """Where every kilowatt went in each minute, kW."""

    car_kw: Array
    sun_to_car_kw: Array
    store_kw: Array
    store_to_car_kw: Array
    car_grid_kw: Array
    house_grid_kw: Array
    export_kw: Array
    curtailed_kw: Array


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """A year of one way: kWh by month (a row of MONTHLY each), and what belongs to the year.

    `owed_kwh` is what the battery held at the beginning and no longer holds at the end: driven, and not put back.
    """

    monthly: Array
    starts_count: float
    held_min: float
    gained_ratio: float
    per_mile_kwh: float
    owed_kwh: float

    def of(self, name: str) -> Array:
        """One row of the months, kWh."""
        row: Array = self.monthly[MONTHLY.index(name)]
        return row


def needed_kwh(outcome: Outcome) -> Array:
    """What the car's driving takes from a charge point by month, kWh: what it took, and what was left unmet."""
    needed: Array = outcome.of("car_kwh") + outcome.of("unmet_kwh") / outcome.gained_ratio
    return needed


def share_ratio(outcome: Outcome) -> float:
    """The share of what the car needs in the year that came from the home's own surplus, 0 to 1.

    What is owed to the battery is needed too: a way that leaves the car empty must not gain by it.
    """
    needed = float(needed_kwh(outcome).sum()) + outcome.owed_kwh / outcome.gained_ratio
    return float(outcome.of("sun_kwh").sum()) / needed if needed else 0.0


def home_of(plan: Plan, sun_kw: Array, house_kw: Array) -> Home:
    """The year of the home, with the cheap hours of the tariff and, where they stand, the default hours shut out."""
    may = _hours(plan.night_from_h, plan.night_to_h, plan.default_hours)
    return Home(sun_kw, house_kw, sun_kw - house_kw, may)


@lru_cache(maxsize=4)
def _hours(start_h: float, end_h: float, default_hours: bool) -> Array:
    clock = wall()
    hour = clock.minute / 60.0
    night = (hour >= start_h) & (hour < end_h) if start_h <= end_h else (hour >= start_h) | (hour < end_h)
    shut = np.zeros(len(hour), dtype=bool)
    if default_hours:
        for begins, ends in DEFAULT_PEAKS_H:
            shut |= (hour >= begins) & (hour < ends) & (clock.weekday < 5)
    may: Array = (MAY_CHARGE * ~shut + IS_NIGHT * night).astype(np.uint8)
    return may


def run(way: int, plan: Plan, stays: Stays, home: Home, lag_min: Array, kernel: Kernel, *,
        with_export: bool = True) -> tuple[Array, Outcome]:  # fmt: skip
    """One way through one year: the power of the charge point by minute, kW, and the account of the year.

    Without `with_export` the export forgone is left at nought, which a search for a share has no need of.
    """
    car_kw, unmet_kwh = np.zeros(len(home.net_kw)), np.zeros(len(stays.start_min))
    begin_kwh = plan.battery_kwh * plan.fill_ratio
    given = {"net_kw": home.net_kw, "may": home.may, "start_min": stays.start_min, "end_min": stays.end_min,
             "driven_kwh": stays.driven_kwh, "ready_kwh": stays.ready_kwh, "lag_min": lag_min, "car_kw": car_kw,
             "unmet_kwh": unmet_kwh, "way": way, "line_kw": plan.line_kw, "phases": plan.phases,
             "supply_phases": plan.supply_phases, "switches": plan.switches and plan.phases > 1, "cap_a": plan.cap_a,
             "most_a": plan.most_a, "least_a": plan.least_a, "wait_min": plan.wait_min, "linger_min": plan.linger_min,
             "lag_kind": plan.lag_kind, "fill_kwh": begin_kwh, "begin_kwh": begin_kwh, "kept_ratio": plan.kept_ratio,
             "fixed_kw": plan.fixed_kw}  # fmt: skip
    end_kwh, starts, held = kernel.call(kernel.charge, given, ("car_kw", "unmet_kwh"))
    gained_kwh = end_kwh - begin_kwh + stays.driven_kwh.sum() - unmet_kwh.sum()
    at = np.searchsorted(MONTH_STARTS, stays.start_min, side="right") - 1
    unmet = np.bincount(at, weights=unmet_kwh, minlength=12)
    unmet[-1] += max(stays.trailing_kwh - end_kwh, 0.0)
    owed_kwh = begin_kwh - max(end_kwh - stays.trailing_kwh, 0.0)
    monthly = np.stack([*_by_month(plan, home, car_kw, kernel, with_export), unmet])
    car_kwh = float(monthly[0].sum())
    per_mile_kwh = stays.wanted_kwh / stays.miles_count if stays.miles_count else 1.0 / plan.miles_per_kwh
    return car_kw, Outcome(monthly, float(starts), float(held), gained_kwh / car_kwh if car_kwh else plan.kept_ratio,
                           per_mile_kwh, owed_kwh)  # fmt: skip


def _by_month(plan: Plan, home: Home, car_kw: Array, kernel: Kernel, with_export: bool) -> tuple[Array, ...]:
    """The first five rows of MONTHLY; only the minutes in which the car charges are looked at."""
    on = np.flatnonzero(car_kw)
    car, surplus = car_kw[on], np.maximum(home.net_kw[on], 0.0)
    own = np.minimum(car, surplus)
    forgone = np.minimum(surplus, plan.export_limit_kw) - np.minimum(surplus - own, plan.export_limit_kw)
    if plan.store_kwh:
        store = _store_kw(plan, home, car_kw, kernel)
        own = own + np.maximum(np.maximum(-store[on], 0.0) - np.maximum(-home.net_kw[on], 0.0), 0.0)
    month = np.searchsorted(MONTH_STARTS, on, side="right") - 1
    at_night = (home.may[on] & IS_NIGHT) > 0
    rows = (car, own, (car - own) * at_night, (car - own) * ~at_night, forgone)
    sums = [np.bincount(month, weights=row, minlength=12) / 60.0 for row in rows]
    if plan.store_kwh:
        sums[-1] = np.zeros(12)
        if with_export:
            idle = np.zeros(len(car_kw))
            alone = by_month(_export_kw(plan, home, idle, _store_kw(plan, home, idle, kernel)))
            sums[-1] = (alone - by_month(_export_kw(plan, home, car_kw, store))) / 60.0
    return tuple(sums)


def _store_kw(plan: Plan, home: Home, car_kw: Array, kernel: Kernel) -> Array:
    """The store through the year, kW: above 0 where it charges."""
    store = np.zeros(len(car_kw))
    if plan.store_kwh:
        given = {"net_kw": home.net_kw, "car_kw": car_kw, "sun_kw": home.sun_kw, "store_kw": store,
                 "capacity_kwh": plan.store_kwh, "most_kw": plan.store_kw, "into_ratio": plan.store_way_ratio,
                 "out_ratio": plan.store_way_ratio, "shared_kw": plan.shared_kw, "feeds_car": plan.store_feeds_car,
                 "begin_kwh": 0.0}  # fmt: skip
        kernel.call(kernel.store, given, ("store_kw",))
    return store


def _export_kw(plan: Plan, home: Home, car_kw: Array, store_kw: Array) -> Array:
    """What goes out, kW, up to the limit."""
    spare: Array = np.maximum(home.net_kw - car_kw, 0.0)
    spare -= np.maximum(store_kw, 0.0)
    return np.minimum(spare, plan.export_limit_kw, out=spare)


def flows_of(plan: Plan, home: Home, car_kw: Array, kernel: Kernel) -> Flows:
    """The account of a year in which the car took `car_kw`."""
    surplus, lacking = np.maximum(home.net_kw, 0.0), np.maximum(-home.net_kw, 0.0)
    sun_to_car = np.minimum(car_kw, surplus)
    store = _store_kw(plan, home, car_kw, kernel)
    gives = np.maximum(-store, 0.0)
    to_house = np.minimum(gives, lacking)
    to_car = gives - to_house
    spare = surplus - sun_to_car - np.maximum(store, 0.0)
    export = np.minimum(spare, plan.export_limit_kw)
    return Flows(car_kw, sun_to_car, store, to_car, car_kw - sun_to_car - to_car, lacking - to_house, export,
                 spare - export)  # fmt: skip


def balance_kwh(home: Home, flows: Flows) -> float:
    """The greatest error of any minute: sun and grid against house, car, export, what was held back and the store."""
    came = home.sun_kw + flows.car_grid_kw + flows.house_grid_kw
    went = home.house_kw + flows.car_kw + flows.export_kw + flows.curtailed_kw + flows.store_kw
    return float(np.abs(came - went).max()) / 60.0
