"""Cloud by minute: a wandering level that passes over a soft step (deeper or thinner overcast) and a sharp one
(cloud or no cloud). A model of our own; its ten numbers are fitted to published statistics (decision 14).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ampwright.assess.forecast.place import MINUTES_COUNT
from ampwright.facts import constant
from ampwright.physics.sun import Numbers

_FARTHEST = 12.0
_ENTRIES_COUNT = 8192
_SLOW_STEP_MIN = 10
_PASSING_STEP_MIN = 5
_HALVINGS_COUNT = 14


@dataclass(frozen=True, slots=True)
class Shape:
    """The numbers of the model, all of the table iec/minute_cloud."""

    overcast_ratio: float
    overcast_centre_ratio: float
    overcast_width_ratio: float
    edge_width_ratio: float
    clear_ratio: float
    slow_min: float
    fast_min: float
    fast_share_ratio: float
    passing_min: float
    passing_share_ratio: float


@lru_cache(maxsize=1)
def shape() -> Shape:
    """The fitted numbers."""
    return Shape(*(constant("iec/minute_cloud", name).value for name in Shape.__slots__))


@lru_cache(maxsize=1)
def _steps() -> Numbers:
    """Share of the clear light that comes through, at even steps of the level."""
    of = shape()
    level = np.linspace(-_FARTHEST, _FARTHEST, _ENTRIES_COUNT)
    soft = of.overcast_ratio / (1 + np.exp(-(level - of.overcast_centre_ratio) / of.overcast_width_ratio))
    sharp = (of.clear_ratio - of.overcast_ratio) / (1 + np.exp(-level / of.edge_width_ratio))
    return np.asarray(soft + sharp, dtype=np.float64)


def passed_ratio(level: Numbers) -> Numbers:
    """Share of the clear light that comes through at a level (any shape)."""
    place: Numbers = (level + _FARTHEST) * ((_ENTRIES_COUNT - 1) / (2 * _FARTHEST))
    np.clip(place, 0, _ENTRIES_COUNT - 1, out=place)
    return np.asarray(_steps()[place.astype(np.int32)])


def wandering(rng: np.random.Generator, *, slow: bool = True) -> Numbers:
    """A year of the level by minute: a rough part and a smooth one of minutes, and a slow part of variance 1 (left
    out where the hours are known)."""
    of = shape()
    level: Numbers = np.sqrt(of.fast_share_ratio) * _drift(rng, MINUTES_COUNT, of.fast_min)
    level += np.sqrt(of.passing_share_ratio) * _smooth(rng, of.passing_min, _PASSING_STEP_MIN)
    if slow:
        level += _smooth(rng, of.slow_min, _SLOW_STEP_MIN)
    return level


def _smooth(rng: np.random.Generator, forgets_min: float, step_min: int) -> Numbers:
    coarse = _drift(rng, MINUTES_COUNT // step_min + 1, forgets_min / step_min)
    ramp = np.arange(step_min) / step_min
    return np.asarray(coarse[:-1, None] + np.diff(coarse)[:, None] * ramp).ravel()


def _drift(rng: np.random.Generator, count: int, steps_count: float) -> Numbers:
    """A Gaussian walk of unit variance that forgets by 1/e in so many steps."""
    kept = np.exp(-1 / steps_count)
    pushes = rng.standard_normal(count)
    pushes[1:] *= np.sqrt(1 - kept**2)
    from scipy.signal import lfilter  # half a second to bring in, and only a forecast wants it

    return np.asarray(lfilter([1.0], [1.0, -kept], pushes), dtype=np.float64)


def lifts(level: Numbers, clear: Numbers, wanted: Numbers) -> Numbers:
    """For each row the lift of the level at which the mean light of the row is as wanted (found by halving).

    `level` and `clear` are of one shape, rows by moments; `wanted` has an entry a row.
    """
    low = np.full(len(wanted), -_FARTHEST)
    high = -low
    goal = wanted * clear.shape[1]
    for _ in range(_HALVINGS_COUNT):
        middle = (low + high) / 2
        dark = (passed_ratio(level + middle[:, None]) * clear).sum(axis=1) < goal
        low, high = np.where(dark, middle, low), np.where(dark, high, middle)
    return np.asarray((low + high) / 2)
