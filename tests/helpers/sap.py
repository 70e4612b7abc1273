"""SAP 2012 Appendix U3.2, written out a second time from the notes: light on a plane from light on the level."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np

from ampwright.assess.forecast.place import MONTH_DAYS, by_month, place_of

CONSTANTS = list(csv.DictReader((Path(__file__).parents[1] / "published" / "sap_plane_constants.csv").open()))
DECLINATION_DEG = (-20.7, -12.8, -1.8, 9.8, 18.8, 23.1, 21.2, 13.7, 2.9, -8.7, -18.4, -23.0)
COLUMN = {0: "N", 45: "NE_NW", 90: "E_W", 135: "SE_SW", 180: "S", 225: "SE_SW", 270: "E_W", 315: "NE_NW"}


def months_on_plane_w_per_m2(region: int, tilt_deg: float, azimuth_deg: int) -> list[float]:
    """Twelve means on the plane, by equation U3.2."""
    k = [float(row[COLUMN[azimuth_deg]]) for row in CONSTANTS]
    s = np.sin(np.radians(tilt_deg) / 2)
    a, b, c = (k[first] * s**3 + k[first + 1] * s**2 + k[first + 2] * s for first in (0, 3, 6))
    lat_deg = place_of(region).lat_deg
    turns = [np.cos(np.radians(lat_deg - declination)) for declination in DECLINATION_DEG]
    level = by_month(region, "global_w_per_m2")
    return [float(flux * (a * turn**2 + b * turn + c + 1)) for flux, turn in zip(level, turns, strict=True)]


def year_on_plane_kwh_per_m2(region: int, tilt_deg: float, azimuth_deg: int) -> float:
    """The year's sum on the plane."""
    months = months_on_plane_w_per_m2(region, tilt_deg, azimuth_deg)
    return sum(0.024 * days * flux for days, flux in zip(MONTH_DAYS, months, strict=True))
