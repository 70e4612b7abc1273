"""Years of weather that several tests look at, and how to look at them."""

from __future__ import annotations

import numpy as np

from ampwright.assess.forecast.place import MONTHS, sky_over
from ampwright.assess.forecast.sun import Weather, weather_year
from ampwright.physics.sun import Numbers

AVERAGE = {1: weather_year(1, seed=8, year_number=0, average=True)}
YEARS = [weather_year(1, seed=8, year_number=number) for number in range(1, 6)]
AUTOCORRELATION = [(1, 0.965, 0.02), (10, 0.740, 0.08)]


def month_means(minutes: Numbers) -> list[float]:
    """Twelve means of a year of minutes."""
    return [float(minutes[np.repeat(month == MONTHS, 1440)].mean()) for month in range(12)]


def minutes_of_light(year: Weather) -> Numbers:
    """Light by minute against a clear sky, at most 1 as the measured chain has it; not a number at night."""
    sky = sky_over(year.place)
    by_day = sky.sun.up > 0
    clear = np.where(sky.clear_w_per_m2 > 0, sky.clear_w_per_m2, 1)
    return np.where(by_day & (sky.clear_w_per_m2 > 0), np.minimum(year.global_w_per_m2 / clear, 1.0), np.nan)


def autocorrelation(values: Numbers, lag: int) -> float:
    """Correlation with what stood `lag` places before, over the pairs that are both known."""
    before, after = values[:-lag], values[lag:]
    known = ~np.isnan(before) & ~np.isnan(after)
    return float(np.corrcoef(before[known], after[known])[0, 1])


def distance(ours: Numbers, theirs: Numbers) -> float:
    """Kolmogorov and Smirnov's: the widest gap between two cumulative distributions."""
    ours, theirs = (np.sort(each[~np.isnan(each)]) for each in (ours, theirs))
    at = np.concatenate([ours, theirs])
    ranks = [np.searchsorted(each, at, side="right") / len(each) for each in (ours, theirs)]
    return float(np.abs(ranks[0] - ranks[1]).max())
