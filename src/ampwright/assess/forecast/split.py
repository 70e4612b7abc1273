"""Beam and diffuse light by minute, such that each hour has the split that its mean clearness has."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from ampwright.assess.forecast.place import Sky
from ampwright.physics.sun import Numbers, Sun, split

_BEAM_FROM_UP = float(np.sin(np.radians(3.0)))
_ENTRIES_COUNT = 4096


def split_by_hour(bright: Numbers, sky: Sky, beam_w_per_m2: Numbers | None = None) -> tuple[Numbers, Numbers]:
    """Direct normal and diffuse light (W/m2) of a year of minutes of global light.

    The correlation that splits light was made from hourly means, so it is asked for the hour, and the minutes share
    its beam out as it would split each of them. `beam_w_per_m2` is the beam on the level, hour by hour, where a
    file gives it; what a minute cannot hold of it (beam above its global light) falls away.
    """
    sun = sky.sun
    if beam_w_per_m2 is None:
        means = bright.reshape(-1, 60).mean(axis=1)
        beam_w_per_m2 = means - split(global_w_per_m2=means, sky=sky.hours)[1]
    beam = (bright * _beam_share(bright, sun)).reshape(-1, 60)
    held = beam.mean(axis=1)
    beam *= np.divide(beam_w_per_m2, held, out=np.zeros_like(held), where=held > 0)[:, None]
    on_level = np.minimum(beam.ravel(), bright)
    direct = on_level / np.maximum(sun.up, _BEAM_FROM_UP)
    np.minimum(direct, sun.extra_w_per_m2, out=direct)
    return direct, bright - direct * np.maximum(sun.up, 0.0)


def _beam_share(bright: Numbers, sun: Sun) -> Numbers:
    """Share of each minute's light that comes as beam, read from a table of clearness; none below 3 degrees."""
    place = bright / (sun.extra_w_per_m2 * np.maximum(sun.up, _BEAM_FROM_UP)) * (_ENTRIES_COUNT / 2)
    return np.where(sun.up > _BEAM_FROM_UP, _table()[np.minimum(place, _ENTRIES_COUNT - 1).astype(np.int32)], 0.0)


@lru_cache(maxsize=1)
def _table() -> Numbers:
    clearness = np.linspace(0, 2, _ENTRIES_COUNT, endpoint=False)
    one = np.ones_like(clearness)
    _, diffuse = split(global_w_per_m2=clearness, sky=Sun(one, one, one, one, one))
    return 1 - diffuse / np.maximum(clearness, 1e-12)
