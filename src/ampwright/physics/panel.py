"""Light on a tilted array, and what the array and its inverter make of it. Arrays in, arrays out."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from ampwright.physics.sun import Numbers, Sun

_GLASS_INDEX = 1.526
_GLASS_PER_M = 4.0
_GLASS_M = 0.002
_LOWEST_UP = 0.01745
_STANDARD_W_PER_M2 = 1000.0
_STANDARD_C = 25.0
_ABSORBED_RATIO = 0.9
_CONVERTED_RATIO = 0.1
_TYPICAL_INVERTER_RATIO = 0.9637


def facing(*, sky: Sun, tilt_deg: float, azimuth_deg: float) -> Numbers:
    """Cosine of the angle between the sun and the array's normal (azimuth clockwise from north); 0 from behind."""
    tilt, azimuth = np.radians(tilt_deg), np.radians(azimuth_deg)
    lean = np.sin(tilt)
    ahead: Numbers = sky.up * np.cos(tilt) + lean * (sky.east * np.sin(azimuth) + sky.north * np.cos(azimuth))
    return np.maximum(ahead, 0.0)


def diffuse_on_plane_w_per_m2(*, direct_w_per_m2: Numbers, diffuse_w_per_m2: Numbers, ahead: Numbers, sky: Sun,
                              tilt_deg: float) -> tuple[Numbers, Numbers]:  # fmt: skip
    """Diffuse light on the plane, W/m2: what comes from around the sun, and what comes from the rest of the sky.

    Source: Hay and Davies 1980.
    """
    around = direct_w_per_m2 / sky.extra_w_per_m2
    sky_share = 0.5 * (1 + np.cos(np.radians(tilt_deg)))
    return (diffuse_w_per_m2 * around * ahead / np.maximum(sky.up, _LOWEST_UP),
            diffuse_w_per_m2 * (1 - around) * sky_share)  # fmt: skip


def ground_on_plane_w_per_m2(*, global_w_per_m2: Numbers, albedo_ratio: float, tilt_deg: float) -> Numbers:
    """Light that the ground throws onto the plane, W/m2, the ground bright alike in all directions."""
    return np.asarray(global_w_per_m2 * (albedo_ratio * 0.5 * (1 - np.cos(np.radians(tilt_deg)))))


def through_glass_ratio(*, ahead: Numbers) -> Numbers:
    """Share of the beam that passes the glass, against one that falls square on it.

    Source: De Soto et al. 2006 (Snell, Fresnel and Bouguer); read from a table of 2,001 angles.
    """
    return np.interp(ahead, *_glass())


@lru_cache(maxsize=1)
def _glass() -> tuple[Numbers, Numbers]:
    cosine = np.linspace(0, 1, 2001)
    inside = np.sqrt(1 - (1 - cosine**2) / _GLASS_INDEX**2)
    across = ((cosine - _GLASS_INDEX * inside) / (cosine + _GLASS_INDEX * inside)) ** 2
    along = ((inside - _GLASS_INDEX * cosine) / (inside + _GLASS_INDEX * cosine)) ** 2
    passed = (1 - (across + along) / 2) * np.exp(-_GLASS_PER_M * _GLASS_M / inside)
    return cosine, passed / passed[-1]


def cell_c(*, plane_w_per_m2: Numbers, air_c: Numbers, loss_w_per_m2_per_k: float) -> Numbers:
    """Temperature of the cells in still air. Source: the balance of Faiman 2008 as PVsyst states it (0.9 absorbed,
    a tenth of that carried off as electricity)."""
    return air_c + plane_w_per_m2 * (_ABSORBED_RATIO * (1 - _CONVERTED_RATIO) / loss_w_per_m2_per_k)


def dc_kw(*, light_w_per_m2: Numbers, cell_c: Numbers, peak_kw: float, per_k_ratio: float) -> Numbers:
    """Power of the array before losses. Source: PVWatts version 5 (Dobos 2014)."""
    return light_w_per_m2 * (peak_kw / _STANDARD_W_PER_M2) * (1 + per_k_ratio * (cell_c - _STANDARD_C))


def ac_kw(*, dc_kw: Numbers, limit_kw: float, nominal_ratio: float) -> Numbers:
    """Power out of an inverter that gives `limit_kw` at most. Source: PVWatts version 5 (Dobos 2014)."""
    load = dc_kw * (nominal_ratio / limit_kw)
    shape = (nominal_ratio / _TYPICAL_INVERTER_RATIO) * (0.9858 * dc_kw - 0.0162 * dc_kw * load
                                                         - 0.0059 * limit_kw / nominal_ratio)  # fmt: skip
    return np.clip(np.where(dc_kw > 0, shape, 0.0), 0.0, limit_kw)
