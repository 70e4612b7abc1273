"""Random homes, and a sun for tests that need speed and no weather."""

from __future__ import annotations

import numpy as np
from jobs import house

from ampwright.assess.forecast.clock import MINUTES_COUNT, Array
from ampwright.job.record import Job
from ampwright.reading import measured

HOME_ALL_DAY, COMMUTER = 2, 0


def stand_in_sun(job: Job, seed: int, number: int) -> Array:
    """A STAND-IN, not weather: a bow over each day, dimmed by the day and by five minutes at a time, kW by minute."""
    chance = np.random.default_rng([seed, number, 99])
    minute = np.arange(MINUTES_COUNT)
    season = np.cos(2 * np.pi * (minute // 1440 - 172) / 365)
    hour = (minute % 1440) / 60 - 12
    bow = np.maximum(np.cos(np.clip(hour / (6 + 2.2 * season), -1, 1) * np.pi / 2), 0) * (0.65 + 0.3 * season)
    dim = np.minimum(np.repeat(chance.uniform(0.15, 1, 365), 1440) * np.repeat(chance.uniform(0.5, 1.1, 105120), 5), 1)
    peak_kw = sum(array.peak_kw.low for array in job.generation.arrays if array.peak_kw is not None)
    sun_kw: Array = peak_kw * 0.9 * bow * dim
    return sun_kw


def random_home(number: int) -> Job:
    """An invented home: 3 to 8 kW of panels, a modest house, any car."""
    chance = np.random.default_rng([7, number])
    return house({
        "generation.arrays[0].peak_kw": measured(float(chance.uniform(3, 8))),
        "installation.annual_kwh": measured(float(chance.uniform(1800, 4100))),
        "vehicles[0].miles_per_year": measured(float(chance.uniform(4000, 12000))),
        "vehicles[0].battery_kwh": measured(float(chance.uniform(40, 100))),
    })  # fmt: skip
