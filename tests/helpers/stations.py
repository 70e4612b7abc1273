"""The hours of typical years of two British stations, read from accim-samples where it is installed.

The files are ASHRAE's (IWEC, all rights reserved): used to check, not shipped.
"""

from __future__ import annotations

import importlib.util
from pathlib import Path
from typing import Any

import numpy as np
import pvlib

from ampwright.assess.forecast.place import Place, sky_over, turbidity_near
from ampwright.physics.sun import Numbers

LOWEST_DEG = 10.0


class NoStation(Exception):
    """accim-samples is not installed."""


def station(name: str) -> tuple[Any, Place]:
    """The hours of a typical year ("Gatwick", "Aberdeen") and where it was. Raises NoStation."""
    found = importlib.util.find_spec("accim")
    folders = [Path(folder) for folder in (found.submodule_search_locations or ())] if found else []
    files = sorted(file for folder in folders for file in folder.rglob(f"GBR_*{name}*_IWEC.epw"))
    if not files:
        raise NoStation(f"no hours of {name}: install accim-samples (pip install --no-deps accim-samples==0.8.2)")
    hours, about = pvlib.iotools.read_epw(files[0])
    lat_deg, lon_deg = float(about["latitude"]), float(about["longitude"])
    return hours, Place(lat_deg, lon_deg, float(about["altitude"]), turbidity_near(lat_deg, lon_deg))


def station_clearness(held: tuple[Any, Place]) -> Numbers:
    """Hourly clearness of a station (mean light over mean light above the air), sun above 10 degrees."""
    hours, place = held
    return clearness_of(np.asarray(hours["ghi"], dtype=float), place)


def hourly_clearness(year: Any) -> Numbers:
    """The same of a year of minutes."""
    return clearness_of(year.global_w_per_m2.reshape(-1, 60).mean(axis=1), year.place)


def clearness_of(hours: Numbers, place: Place) -> Numbers:
    """Clearness of 8,760 hours of light; not a number where the sun stood below 10 degrees."""
    sun = sky_over(place).sun
    above = (sun.extra_w_per_m2 * np.maximum(sun.up, 0)).reshape(-1, 60).mean(axis=1)
    high = sun.up.reshape(-1, 60)[:, 29:31].mean(axis=1) > np.sin(np.radians(LOWEST_DEG))
    return np.where(high, hours / np.where(above > 0, above, 1), np.nan)
