"""House load by minute: an event model of our own, forced to a yearly energy and to the half-hour shape of the day.

A base, a fridge and a freezer that cycle, and appliances that are used now and then, each with a published rating. When
they are used follows the load profile of the average home, as a shape only. It is one invented home: its minutes are of
the right kind, not those of the customer.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from ampwright.assess.forecast.clock import DAY_MIN, MINUTES_COUNT, Array, seasons, wall
from ampwright.facts import rows
from ampwright.facts.tables import Row

HALF_HOURS_COUNT = 48
W_MIN_PER_KWH = 60_000.0
DAY_KINDS = ("weekday",) * 5 + ("saturday", "sunday")


def house_year(*, annual_kwh: float, chance: np.random.Generator, purposes: frozenset[str] = frozenset()) -> Array:
    """The load of a home in kW for each minute of the year (UTC), exactly `annual_kwh` in all.

    Appliances of a purpose (cooking, instantaneous_water_heating) are used only where the home has it.
    """
    own = [row for row in rows("gb/house_events") if not row["purpose"] or row["purpose"] in purposes]
    energy = {row["name"]: float(row["year_kwh"]) for row in own}
    scale = annual_kwh / sum(energy.values())
    steady_w = np.zeros(MINUTES_COUNT)
    events_w = np.zeros(MINUTES_COUNT + 1, dtype=np.int64)
    for row in own:
        share_kwh = energy[row["name"]] * scale
        if row["kind"] == "base":
            steady_w += share_kwh * W_MIN_PER_KWH / MINUTES_COUNT
        elif row["kind"] == "cycle":
            steady_w += _cycles(row, share_kwh, chance)
    still_kwh = steady_w.sum() / W_MIN_PER_KWH
    when = _when(still_kwh / annual_kwh)
    for row in own:
        if row["kind"] == "event":
            _use(events_w, row, energy[row["name"]] * scale, when, chance)
    used_w = np.cumsum(events_w[:-1])
    factor = (annual_kwh - still_kwh) * W_MIN_PER_KWH / used_w.sum() if used_w.any() else 0.0
    load_kw: Array = (steady_w + used_w * factor) / 1000.0
    load_kw *= annual_kwh * 60.0 / load_kw.sum()
    return load_kw


def _cycles(row: Row, share_kwh: float, chance: np.random.Generator) -> Array:
    """A compressor that runs a part of every cycle; cycles differ by a fifth and begin where they begin."""
    every_min, power_w = float(row["every_min"]), float(row["power_w"])
    lengths = every_min * chance.uniform(0.8, 1.2, int(MINUTES_COUNT / every_min * 1.3))
    begins = np.concatenate([[0.0], np.cumsum(lengths)]) - chance.uniform(0.0, every_min)
    minutes = np.arange(MINUTES_COUNT)
    cycle = np.searchsorted(begins, minutes, side="right") - 1
    running = minutes - begins[cycle] < lengths[cycle] * (float(row["run_min"]) / every_min)
    mean_w = power_w * running.mean()
    wanted_w = share_kwh * W_MIN_PER_KWH / MINUTES_COUNT
    found: Array = running * (power_w * wanted_w / mean_w)
    return found


def _use(events_w: Array, row: Row, share_kwh: float, when: Array, chance: np.random.Generator) -> None:
    """Add the uses of an appliance: as many as its energy makes, each for a fifth more or less than its usual time."""
    power_w, run_min = int(float(row["power_w"])), float(row["run_min"])
    count = chance.poisson(share_kwh * W_MIN_PER_KWH / (power_w * run_min))
    if not count:
        return
    runs = np.maximum(np.rint(run_min * chance.uniform(0.8, 1.2, count)), 1).astype(np.int64)
    drawn = (np.arange(count) + chance.uniform(0.0, 1.0, count)) * (when[-1] / count)
    middles = _by_half_hour()[np.searchsorted(when, drawn, side="right")]
    begins = np.clip(middles - runs // 2, 0, MINUTES_COUNT - 1)
    ends = np.minimum(begins + runs, MINUTES_COUNT)
    np.add.at(events_w, begins, power_w)
    np.subtract.at(events_w, ends, power_w)


@lru_cache(maxsize=8)
def _when(still_ratio: float) -> Array:
    """How likely a use falls in each minute, summed up half hour by half hour: the profile above what runs always."""
    shape = profile_kw()
    above = np.maximum(shape - still_ratio * shape.mean(), 0.0)
    found: Array = np.cumsum(above[_by_half_hour()])
    return found


@lru_cache(maxsize=1)
def _by_half_hour() -> Array:
    """The minutes of the year in the order of the half hour of the day: drawn evenly along it, uses keep the shape."""
    order: Array = np.argsort(wall().minute // (DAY_MIN // HALF_HOURS_COUNT), kind="stable")
    return order


@lru_cache(maxsize=1)
def profile_kw() -> Array:
    """The average home of Profile Class 1 in each minute of the year (UTC), kW. A shape: never one home's minutes."""
    clock = wall()
    table = {column: np.array([float(row[column]) for row in rows("gb/house_profile")])
             for column in rows("gb/house_profile")[0] if column.endswith("_kw")}  # fmt: skip
    names = seasons()
    found = np.empty(MINUTES_COUNT)
    half_hour = clock.minute * HALF_HOURS_COUNT // DAY_MIN
    columns = sorted(table)
    kind = np.array([[columns.index(f"{season}_{DAY_KINDS[weekday]}_kw") for weekday in range(7)] for season in names])
    stacked = np.stack([table[name] for name in columns])
    found[:] = stacked[kind[np.minimum(clock.day, len(names) - 1), clock.weekday], half_hour]
    return found
