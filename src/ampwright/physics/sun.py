"""Where the sun stands, how strong it is without cloud, and how its light splits. Arrays in, arrays out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]

SOLAR_CONSTANT_W_PER_M2 = 1366.1
_LOWEST_UP = 0.065
_BEAM_FROM_DEG = 3.0


@dataclass(frozen=True, slots=True)
class Sun:
    """The sun over one place, an entry a moment. east, north, up: the unit vector towards it, without refraction;
    lifted: sine of the elevation with refraction; extra_w_per_m2: its strength above the air, facing it.
    """

    east: Numbers
    north: Numbers
    up: Numbers
    lifted: Numbers
    extra_w_per_m2: Numbers


def sun(*, lat_deg: float, lon_deg: float, days: Numbers) -> Sun:
    """The sun at `days` since noon UTC of 1 January 2000, seen from a place (east and north positive).

    Source: the low-precision formulas of the Astronomical Almanac (0.01 degrees from 1950 to 2050; the form from
    memory, held to the NREL algorithm in pvlib by a test); refraction after Saemundsson 1986.
    """
    anomaly = np.radians(357.528 + 0.9856003 * days)
    longitude = np.radians(280.460 + 0.9856474 * days + 1.915 * np.sin(anomaly) + 0.020 * np.sin(2 * anomaly))
    tilt = np.radians(23.439 - 4e-7 * days)
    sin_dec = np.sin(tilt) * np.sin(longitude)
    cos_dec = np.sqrt(1 - sin_dec**2)
    ascension = np.arctan2(np.cos(tilt) * np.sin(longitude), np.cos(longitude))
    hour = np.radians(280.46062 + 360.98564737 * days + lon_deg) - ascension
    sin_lat, cos_lat = np.sin(np.radians(lat_deg)), np.cos(np.radians(lat_deg))
    westward, level = cos_dec * np.sin(hour), cos_dec * np.cos(hour)
    up = sin_dec * sin_lat + level * cos_lat
    far = 1.00014 - 0.01671 * np.cos(anomaly) - 0.00014 * np.cos(2 * anomaly)
    return Sun(-westward, sin_dec * cos_lat - level * sin_lat, up, _lifted(up), SOLAR_CONSTANT_W_PER_M2 / far**2)


def _lifted(up: Numbers) -> Numbers:
    high = np.degrees(np.arcsin(np.clip(up, -1, 1)))
    seen = np.maximum(high, -1.0)
    lift = 1.02 / 60 / np.tan(np.radians(seen + 10.3 / (seen + 5.11)))
    return np.where(high > -1.0, np.sin(np.radians(high + lift)), up)


def air_mass(*, lifted: Numbers, height_m: float) -> Numbers:
    """How much air the beam crosses, 1 for the zenith at sea level; the value at the horizon below it.

    Source: Kasten and Young 1989; pressure by the standard atmosphere.
    """
    above = np.maximum(lifted, 0)
    elevation = np.degrees(np.arcsin(np.minimum(above, 1)))
    mass: Numbers = (1 - 2.25577e-5 * height_m) ** 5.25588 / (above + 0.50572 * (6.07995 + elevation) ** -1.6364)
    return mass


def clear_global_w_per_m2(*, sky: Sun, height_m: float, turbidity_ratio: Numbers) -> Numbers:
    """Global irradiance on the level without cloud, in W/m2. Source: Ineichen and Perez 2002."""
    near, far = np.exp(-height_m / 8000), np.exp(-height_m / 1250)
    mass = air_mass(lifted=sky.lifted, height_m=height_m)
    thickness = (3.92e-5 * height_m + 0.0387) * mass * (near + far * (turbidity_ratio - 1))
    clear: Numbers = (5.09e-5 * height_m + 0.868) * sky.extra_w_per_m2 * np.maximum(sky.lifted, 0) * np.exp(-thickness)
    return clear


def split(*, global_w_per_m2: Numbers, sky: Sun) -> tuple[Numbers, Numbers]:
    """Direct normal and diffuse irradiance, in W/m2. No beam is claimed below 3 degrees.

    Source: Erbs, Klein and Duffie 1982, with the limits of clearness that pvlib sets.
    """
    up = sky.up
    clearness = np.clip(global_w_per_m2 / (sky.extra_w_per_m2 * np.maximum(up, _LOWEST_UP)), 0, 2)
    middle = 0.9511 + clearness * (-0.1604 + clearness * (4.388 + clearness * (-16.638 + 12.336 * clearness)))
    share = np.where(clearness <= 0.22, 1 - 0.09 * clearness, np.where(clearness <= 0.8, middle, 0.165))
    beams = up > np.sin(np.radians(_BEAM_FROM_DEG))
    direct = np.where(beams, global_w_per_m2 * (1 - share) / np.maximum(up, _LOWEST_UP), 0.0)
    return direct, global_w_per_m2 - direct * np.maximum(up, 0)
