"""Weather that the user brings: EPW, PVGIS (hours or typical year, JSON or CSV), TM2 and TMY3, to a year of minutes.

Each hour keeps the light that the file gives it; how it falls within the hour is drawn by our own minute model.
"""

from __future__ import annotations

import csv
import hashlib
import json
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from ampwright.assess.forecast.hours import HOURS_COUNT, minutes_of_hours
from ampwright.assess.forecast.place import MONTH_DAYS, Place, sky_over, turbidity_near
from ampwright.assess.forecast.split import split_by_hour
from ampwright.assess.forecast.weather import Provenance, Weather
from ampwright.physics.sun import Numbers

_BEFORE_MONTH = np.cumsum((0, *MONTH_DAYS))
_BRIGHTEST_W_PER_M2 = 1400.0
_READ_WRONG = (ValueError, KeyError, IndexError, TypeError, AttributeError, OSError, csv.Error)
_KINDS = "EPW (.epw), PVGIS hours or typical year (.json, .csv), TMY3 (.csv) or TM2 (.tm2)"


class BadWeather(Exception):
    """A file of weather that cannot be used; `says` holds every reason."""

    def __init__(self, says: tuple[str, ...]) -> None:
        self.says = says
        super().__init__(*says)


@dataclass(frozen=True, slots=True, eq=False)
class _Table:
    """What a file holds: its hours as they stand (pandas), the columns' names, the zone, the minute of the instants
    (none where the values are means over the hour) and whether the label ends the hour."""

    kind: str
    held: Any
    columns: tuple[str, str, str]
    place: Place
    zone_h: float = 0.0
    instant_min: float | None = None
    ends: bool = False
    air_per_c: float = 1.0


def read_weather(path: Path, seed: int, year_number: int = 0) -> Weather:
    """The weather of a file; of one with several years the one that `year_number` picks, round and round.

    Raises BadWeather.
    """
    try:
        raw = path.read_bytes()
        table = _table(path, raw, year_number)
    except _READ_WRONG as wrong:
        raise BadWeather((f"{path.name} cannot be read as {_KINDS}: {_short(wrong)}",)) from wrong
    light, beam, air_c = _hours(table, path.name)
    sky = sky_over(table.place)
    bright = minutes_of_hours(light, sky, np.random.default_rng([seed, year_number]))
    direct, diffuse = split_by_hour(bright, sky, beam)
    middles = 60 * np.arange(HOURS_COUNT) + 30.0
    air = np.interp(np.arange(60 * HOURS_COUNT) + 0.5, middles, air_c, period=60.0 * HOURS_COUNT)
    return Weather(table.place, bright, direct, diffuse, air, Provenance(
        f"{table.kind} file {path.name}; minutes within the hour by our own model", hashlib.sha256(raw).hexdigest(),
        seed, year_number))  # fmt: skip


def _table(path: Path, raw: bytes, year_number: int) -> _Table:
    from pvlib import iotools  # a second to import, and only files need it

    ending = path.suffix.lower()
    text = raw[:4096].decode("utf-8", errors="replace")
    if ending == ".epw":
        held, about = iotools.read_epw(path)
        return _Table("EPW", held, ("ghi", "dhi", "temp_air"), _place(about), float(about["TZ"]))
    if ending == ".tm2":
        held, about = iotools.read_tmy2(path)
        return _Table("TM2", held, ("GHI", "DHI", "DryBulb"), _place(about), float(about["TZ"]), air_per_c=10.0)
    if ending == ".json":
        about = json.loads(raw)
        place = about["inputs"]["location"]
        if "tmy_hourly" in about["outputs"]:
            held = iotools.read_pvgis_tmy(path)[0]
            return _pvgis_year(held, _place(place), float(place.get("irradiance_time_offset", 0)))
        return _pvgis_hours(iotools.read_pvgis_hourly(path)[0], _place(place), year_number)
    if ending == ".csv" and text.startswith("Latitude (decimal degrees)"):
        numbers = [float(number) for number in re.findall(r"^[A-Z][^:\n]*:\s*(-?[\d.]+)\s*$", text, re.MULTILINE)[:4]]
        place = dict(zip(("latitude", "longitude", "elevation", "offset"), numbers, strict=False))
        if "time(UTC)" in text:
            return _pvgis_year(iotools.read_pvgis_tmy(path)[0], _place(place), place.get("offset", 0.0))
        return _pvgis_hours(iotools.read_pvgis_hourly(path)[0], _place(place), year_number)
    if ending == ".csv":
        held, about = iotools.read_tmy3(path, map_variables=True)
        return _Table("TMY3", held, ("ghi", "dhi", "temp_air"), _place(about), float(about["TZ"]), ends=True)
    raise ValueError(f"a file that ends in '{ending}' is none of them")


def _place(about: dict[str, Any]) -> Place:
    lat_deg, lon_deg = float(about["latitude"]), float(about["longitude"])
    height = float(about.get("altitude", about.get("elevation", 0.0)))
    return Place(lat_deg, lon_deg, height, turbidity_near(lat_deg, lon_deg))


def _pvgis_year(held: Any, place: Place, offset_h: float) -> _Table:
    return _Table("PVGIS typical year", held, ("ghi", "dhi", "temp_air"), place, instant_min=60 * offset_h)


def _pvgis_hours(held: Any, place: Place, year_number: int) -> _Table:
    if "poa_direct" not in held.columns:
        raise ValueError("it has no light by parts; ask PVGIS for the radiation components")
    years = sorted(set(held.index.year))
    held = held[held.index.year == years[year_number % len(years)]]
    tilted = held["poa_ground_diffuse"].abs().max() > 0
    if tilted:
        raise ValueError("its light fell on a tilted plane; ask PVGIS for a slope of 0 degrees")
    held = held.assign(dhi=held["poa_sky_diffuse"], ghi=held["poa_sky_diffuse"] + held["poa_direct"])
    return _Table("PVGIS hours", held, ("ghi", "dhi", "temp_air"), place, instant_min=float(held.index.minute[0]))


def _hours(table: _Table, file: str) -> tuple[Numbers, Numbers, Numbers]:
    """Means over the 8,760 hours of the year from 1 January 00:00 UTC: light, beam on the level, air."""
    ahead = 1 if table.ends else 0
    when = table.held.index
    hour = _BEFORE_MONTH[when.month - 1] * 24 + (when.day - 1) * 24 + when.hour - ahead
    kept = ~((when.month == 2) & (when.day == 29))
    place = np.asarray(hour)[kept] % HOURS_COUNT
    columns = [np.asarray(table.held[name], dtype=float)[kept] for name in table.columns]
    says = _faults(place, columns, file, table.zone_h)
    if says:
        raise BadWeather(says)
    light, diffuse, air = (np.empty(HOURS_COUNT) for _ in range(3))
    for target, values in zip((light, diffuse, air), columns, strict=True):
        target[place] = values
    light, diffuse, air = (np.roll(each, -int(table.zone_h)) for each in (light, diffuse, air / table.air_per_c))
    share = np.divide(np.clip(light - diffuse, 0, None), light, out=np.zeros(HOURS_COUNT), where=light > 0)
    if table.instant_min is not None:
        light = _means_of_instants(light, table.place, int(table.instant_min))
    return light, light * share, air


def _faults(place: Any, columns: list[Numbers], file: str, zone_h: float) -> tuple[str, ...]:
    says = []
    missing = HOURS_COUNT - len(np.unique(place))
    if missing:
        gap = int(np.setdiff1d(np.arange(HOURS_COUNT), place)[0])
        month = int(np.searchsorted(_BEFORE_MONTH, gap // 24, side="right"))
        day = gap // 24 - _BEFORE_MONTH[month - 1] + 1
        says.append(f"{file} lacks {missing} of the 8,760 hours of a year, the first on day {day} of month {month} at"
                    f" {gap % 24:02d}:00; bring a whole year")  # fmt: skip
    elif len(place) > HOURS_COUNT:
        says.append(f"{file} gives {len(place) - HOURS_COUNT} hours twice; keep one of each")
    for name, values in zip(("global light", "diffuse light"), columns, strict=False):
        wrong = int(np.sum(~((values >= -1) & (values <= _BRIGHTEST_W_PER_M2))))
        if wrong:
            says.append(f"{file} has {wrong} hours whose {name} is missing or not between 0 and 1,400 W/m2")
    if not np.all(np.isfinite(columns[2])):
        says.append(f"{file} has hours without an air temperature")
    if zone_h != int(zone_h):
        says.append(f"{file} keeps a clock that is not whole hours from UTC ({zone_h:g}); bring it in UTC")
    return tuple(says)


def _means_of_instants(light: Numbers, place: Place, minute: int) -> Numbers:
    """Means over the hour of light seen at one minute of it: as bright, against a clear sky, as at that minute."""
    clear = sky_over(place).clear_w_per_m2.reshape(-1, 60)
    then = clear[:, min(max(minute, 0), 59)]
    return np.where(then > 20, light * clear.mean(axis=1) / np.maximum(then, 20), light)


def _short(wrong: Exception) -> str:
    words = " ".join(str(wrong).split())
    return words if len(words) < 120 else f"{words[:117]}..."
