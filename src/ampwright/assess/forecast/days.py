"""How bright each day of a year is: clearness day by day, drawn by the Markov matrices of 1988."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ampwright.assess.forecast.place import DAYS_COUNT, MONTH_DAYS, MONTHS
from ampwright.facts import rows
from ampwright.physics.sun import Numbers

_STEPS_COUNT = 10
_HALVINGS_COUNT = 48
_BRIGHTEST = 64.0
_LENGTHS = np.asarray(MONTH_DAYS)
_FIRSTS = np.cumsum(_LENGTHS) - _LENGTHS


@dataclass(frozen=True, slots=True, eq=False)
class Chain:
    """One matrix: the range of clearness it spans, its rows added up, and the mean of its long run."""

    low: float
    high: float
    summed: Numbers
    mean_ratio: float


@lru_cache(maxsize=1)
def chains() -> tuple[tuple[float, Chain], ...]:
    """Each matrix with the greatest month's clearness that it serves. Rows are made to add up to 1 (they are
    printed to three places)."""
    table = rows("iec/daily_clearness_steps")
    found = []
    for first in range(0, len(table), _STEPS_COUNT):
        block = table[first : first + _STEPS_COUNT]
        steps = np.array([[float(row[f"p{number}"]) for number in range(1, _STEPS_COUNT + 1)] for row in block])
        steps /= steps.sum(axis=1, keepdims=True)
        low, high = float(block[0]["kt_min"]), float(block[0]["kt_max"])
        share = np.linalg.matrix_power(steps, 1000)[0]
        mean = low + (high - low) * float(share @ (np.arange(_STEPS_COUNT) + 0.5)) / _STEPS_COUNT
        found.append((float(block[0]["kt_month_to"]), Chain(low, high, np.cumsum(steps, axis=1), mean)))
    return tuple(found)


def drawn_days(month_clearness: Numbers, rng: np.random.Generator) -> tuple[Numbers, NDArray[np.float64]]:
    """A year of daily clearness as the chains draw it, and for each month the mean of their long run.

    `month_clearness` are the twelve means that pick the matrices.
    """
    picked = [next(chain for to, chain in chains() if clearness <= to + 1e-9) for clearness in month_clearness]
    draws = rng.random((DAYS_COUNT, 2)).tolist()
    clearness = float(month_clearness[0])
    days = np.empty(DAYS_COUNT)
    for day, (step, inside) in enumerate(draws):
        chain = picked[MONTHS[day]]
        width = (chain.high - chain.low) / _STEPS_COUNT
        row = min(max(int((clearness - chain.low) / width), 0), _STEPS_COUNT - 1)
        column = min(int(np.searchsorted(chain.summed[row], step)), _STEPS_COUNT - 1)
        clearness = chain.low + (column + inside) * width
        days[day] = clearness
    return days, np.array([chain.mean_ratio for chain in picked])


def fitted_days(days: Numbers, *, means_w_per_m2: Numbers, extra_w_per_m2: Numbers, most: Numbers) -> Numbers:
    """The days scaled month by month until the mean of each month is the one wanted, none above `most`.

    All but `means_w_per_m2` (twelve) have an entry a day; the answer is in W/m2. Raises ValueError where a month
    cannot be so bright even if every day were clear.
    """
    dimmed = np.add.reduceat(most * extra_w_per_m2, _FIRSTS) / _LENGTHS
    if np.any(dimmed < means_w_per_m2 - 1e-9):
        month = int(np.argmax(means_w_per_m2 - dimmed))
        raise ValueError(f"month {month + 1} cannot have a mean of {means_w_per_m2[month]:g} W/m2: that is above a "
                         "clear sky's")  # fmt: skip
    low, high = np.zeros(12), np.full(12, _BRIGHTEST)
    for _ in range(_HALVINGS_COUNT):
        middle = (low + high) / 2
        light = np.minimum(days * middle[MONTHS], most) * extra_w_per_m2
        short = np.add.reduceat(light, _FIRSTS) / _LENGTHS < means_w_per_m2
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    return np.asarray(np.minimum(days * high[MONTHS], most) * extra_w_per_m2)
