"""What is read off the years: each figure as P10, P50 and P90, by year and by month; never one number."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from ampwright.assess.forecast.account import Outcome, needed_kwh, share_ratio
from ampwright.assess.forecast.clock import Array
from ampwright.assess.forecast.plan import Plan
from ampwright.assess.forecast.years import Year

Figures = Sequence[float]


@dataclass(frozen=True, slots=True)
class Band:
    """P10, P50 and P90: the tenth, the middle and the ninetieth of a hundred years."""

    low: float
    value: float
    high: float


def band(values: Figures) -> Band | None:
    """The band of the values there are; None where there are none."""
    known = [value for value in values if not np.isnan(value)]
    if not known:
        return None
    return Band(*(float(each) for each in np.percentile(known, (10, 50, 90))))


def share_percent(outcome: Outcome) -> float:
    """The share of the year in percent; not a number where nothing is driven."""
    return 100.0 * share_ratio(outcome) if needed_kwh(outcome).any() else float("nan")


def monthly_share_percent(outcome: Outcome) -> Array:
    """The same by month; not a number in a month without need."""
    needed = needed_kwh(outcome)
    with np.errstate(invalid="ignore", divide="ignore"):
        share: Array = np.where(needed > 0.0, 100.0 * outcome.of("sun_kwh") / needed, np.nan)
    return share


def sun_miles(outcome: Outcome) -> float:
    """Miles from sun in the year: the own share after the loss of charging, over what a mile takes."""
    return float(outcome.of("sun_kwh").sum()) * outcome.gained_ratio / outcome.per_mile_kwh


def unmet_miles(outcome: Outcome) -> float:
    """Miles of the year that the battery could not give: they must be charged elsewhere."""
    return float(outcome.of("unmet_kwh").sum()) / outcome.per_mile_kwh


def cost_gbp(outcome: Outcome, plan: Plan) -> float:
    """What the grid's part of the charging costs in the year, pounds."""
    return float(outcome.of("night_kwh").sum()) * plan.night_gbp_per_kwh + (
        float(outcome.of("day_kwh").sum()) * plan.day_gbp_per_kwh)  # fmt: skip


def whole_cost_gbp(outcome: Outcome, plan: Plan) -> float:
    """The same and the pay for what is no longer sent out, pounds."""
    return cost_gbp(outcome, plan) + float(outcome.of("forgone_kwh").sum()) * plan.export_gbp_per_kwh


FIGURES: dict[str, tuple[str, Callable[[Outcome, Plan], float]]] = {
    "own_share_percent": ("share of the car's energy from own surplus, %", lambda it, plan: share_percent(it)),
    "sun_miles": ("miles from sun", lambda it, plan: sun_miles(it)),
    "unmet_miles": ("miles unmet, to be charged elsewhere", lambda it, plan: unmet_miles(it)),
    "car_kwh": ("energy to the car, kWh", lambda it, plan: float(it.of("car_kwh").sum())),
    "sun_kwh": ("of it from own surplus, kWh", lambda it, plan: float(it.of("sun_kwh").sum())),
    "night_kwh": ("of it from the grid in cheap hours, kWh", lambda it, plan: float(it.of("night_kwh").sum())),
    "day_kwh": ("of it from the grid at other hours, kWh", lambda it, plan: float(it.of("day_kwh").sum())),
    "lost_kwh": ("lost between charge point and battery, kWh",
                 lambda it, plan: float(it.of("car_kwh").sum()) * (1.0 - it.gained_ratio)),
    "cost_gbp": ("cost of what the grid gave, £", cost_gbp),
    "forgone_kwh": ("export forgone, kWh", lambda it, plan: float(it.of("forgone_kwh").sum())),
    "forgone_gbp": ("pay for export forgone, £",
                    lambda it, plan: float(it.of("forgone_kwh").sum()) * plan.export_gbp_per_kwh),
    "starts": ("starts a year", lambda it, plan: it.starts_count),
    "held_min": ("minutes held down by the load cap", lambda it, plan: it.held_min),
}  # fmt: skip


def yearly(years: Sequence[Year], way: str) -> dict[str, Band | None]:
    """Every figure of a way as a band over the years."""
    return {name: band([figure(year.outcomes[way], year.plan) for year in years])
            for name, (_, figure) in FIGURES.items()}  # fmt: skip


def monthly(years: Sequence[Year], way: str) -> list[dict[str, Band | None]]:
    """For each month the share, and the kWh from sun, grid and unmet, as bands over the years."""
    shares = np.array([monthly_share_percent(year.outcomes[way]) for year in years])
    own = np.array([year.outcomes[way].of("sun_kwh") for year in years])
    grid = np.array([year.outcomes[way].of("car_kwh") for year in years]) - own
    unmet = np.array([year.outcomes[way].of("unmet_kwh") / year.outcomes[way].per_mile_kwh for year in years])
    each = {"own_share_percent": shares, "sun_kwh": own, "grid_kwh": grid, "unmet_miles": unmet}
    return [{name: band(list(values[:, month])) for name, values in each.items()} for month in range(12)]


def ceiling_band(years: Sequence[Year]) -> Band | None:
    """The band of the ceiling over the years in which it was worked out, percent."""
    return band([100.0 * year.ceiling_ratio for year in years if year.ceiling_ratio is not None])
