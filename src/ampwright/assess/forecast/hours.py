"""Minutes of light whose hours are known: cloud of our own model, lifted hour by hour until the light is right."""

from __future__ import annotations

import numpy as np

from ampwright.assess.forecast.cloud import lifts, passed_ratio, wandering
from ampwright.assess.forecast.place import MINUTES_COUNT, Sky
from ampwright.physics.sun import Numbers

HOURS_COUNT = MINUTES_COUNT // 60
_MOST_LIFT = 6.0
_DARK_W_PER_M2 = 1.0


def minutes_of_hours(light: Numbers, sky: Sky, rng: np.random.Generator) -> Numbers:
    """A year of minutes of global light whose hourly means are `light` (8,760 of them, W/m2), exactly.

    The lift runs smoothly from hour to hour and is then mended within each. Light in an hour that the clear sky
    leaves dark lies evenly over it.
    """
    clear = sky.clear_w_per_m2.reshape(HOURS_COUNT, 60)
    lit = np.flatnonzero((light > 0) & (clear.mean(axis=1) > _DARK_W_PER_M2))
    bright = np.repeat(light[:, None], 60, axis=1)
    if not len(lit):
        return bright.ravel()
    level, under, wanted = wandering(rng, slow=False).reshape(HOURS_COUNT, 60)[lit], clear[lit], light[lit]
    first = np.clip(lifts(level, under, wanted), -_MOST_LIFT, _MOST_LIFT)
    minutes = 60 * lit[:, None] + np.arange(60) + 0.5
    level = level + np.interp(minutes, 60 * lit + 30.0, first)
    passed = passed_ratio(level + lifts(level, under, wanted)[:, None]) * under
    bright[lit] = passed * (wanted / passed.mean(axis=1))[:, None]
    return bright.ravel()
