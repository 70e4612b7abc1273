"""What the arrays of a job make of a year of weather, minute by minute."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np

from ampwright.assess.forecast.place import MINUTES_COUNT, MONTHS, Sky, sky_over
from ampwright.assess.forecast.weather import Weather
from ampwright.facts import constant, rows
from ampwright.job.record import Array, Job
from ampwright.physics.panel import (
    ac_kw,
    cell_c,
    dc_kw,
    diffuse_on_plane_w_per_m2,
    facing,
    ground_on_plane_w_per_m2,
    through_glass_ratio,
)  # fmt: skip
from ampwright.physics.sun import Numbers
from ampwright.reading import Reading

_CONSTANTS = "iec/panel_constants"
_LOSSES = ("soiling", "mismatch", "wiring", "connections", "first_light", "nameplate", "availability")


class NotKnown(Exception):
    """The job does not say enough of its arrays; `says` lists every field to fill in or mend."""

    def __init__(self, says: tuple[str, ...]) -> None:
        self.says = says
        super().__init__(*says)


def generation_kw(job: Job, weather: Weather) -> Numbers:
    """Power out of the inverter by minute, kW: 525,600 entries, all arrays together; zeros if none is fitted.

    A range is taken at its middle. All arrays hang on one inverter (one that nobody looked at is taken as large as
    the arrays). Losses and panel data are those of iec/panel_constants. Raises NotKnown.
    """
    if job.generation.fitted is False:
        return np.zeros(MINUTES_COUNT)
    _refuse(job)
    sky = sky_over(weather.place)
    made = np.zeros(MINUTES_COUNT)
    for array in job.generation.arrays:
        made += array_dc_kw(array, weather, sky)
    made *= kept_ratio()
    return ac_kw(dc_kw=made, limit_kw=limit_kw(job), nominal_ratio=constant(_CONSTANTS, "inverter_ratio").value)


def drawn_roof(job: Job, chance: np.random.Generator) -> Job:
    """The same job with one value drawn evenly from each range of its panels, their inverter and the export limit.

    Where the panels' own readings are given, their size and place are not drawn: the readings know them.
    """

    def within(reading: Reading | None) -> Reading | None:
        share = chance.uniform()
        if reading is None or reading.exact:
            return reading
        value = reading.low + (reading.high - reading.low) * share
        return replace(reading, low=value, high=value)

    made = job.generation
    limit, inverter = within(made.export_limit_kw), within(made.inverter_a)
    arrays = made.arrays if made.own_csv else tuple(
        replace(each, peak_kw=within(each.peak_kw), tilt_deg=within(each.tilt_deg),
                azimuth_deg=within(each.azimuth_deg))
        for each in made.arrays)  # fmt: skip
    return replace(job, generation=replace(made, export_limit_kw=limit, inverter_a=inverter, arrays=arrays))


def peak_of(job: Job) -> float:
    """Peak power of all arrays, a range at its middle, kW."""
    return sum((array.peak_kw.low + array.peak_kw.high) / 2 for array in job.generation.arrays if array.peak_kw)


@lru_cache(maxsize=1)
def kept_ratio() -> float:
    """What the stated losses leave, before the inverter (0.89)."""
    return float(np.prod([1 - constant(_CONSTANTS, f"{name}_ratio").value for name in _LOSSES]))


def stated_losses() -> tuple[str, ...]:
    """Each loss in words with its size, to be printed beside a forecast."""
    table = {row["name"]: row for row in rows(_CONSTANTS)}
    return tuple(f"{table[f'{name}_ratio']['says']}: {100 * float(table[f'{name}_ratio']['value']):g} %"
                 for name in _LOSSES)  # fmt: skip


def limit_kw(job: Job) -> float:
    """The most that the inverter gives: its rated current at the declared voltage on each line it feeds."""
    rated = job.generation.inverter_a
    if rated is None:
        return sum(_middle(array, "peak_kw") for array in job.generation.arrays)
    lines = 3 if job.generation.line == "all" else 1
    return (rated.low + rated.high) / 2 * job.supply.declared_v * lines / 1000


def array_dc_kw(array: Array, weather: Weather, sky: Sky) -> Numbers:
    """Power of one array by minute before losses, kW."""
    tilt_deg, azimuth_deg = _middle(array, "tilt_deg"), _middle(array, "azimuth_deg")
    ahead = facing(sky=sky.sun, tilt_deg=tilt_deg, azimuth_deg=azimuth_deg)
    around, rest = diffuse_on_plane_w_per_m2(
        direct_w_per_m2=weather.direct_w_per_m2, diffuse_w_per_m2=weather.diffuse_w_per_m2, ahead=ahead, sky=sky.sun,
        tilt_deg=tilt_deg)  # fmt: skip
    beam = weather.direct_w_per_m2 * ahead
    if array.skyline_deg:
        seen = _above_skyline(array.skyline_deg, sky)
        beam, around = beam * seen, around * seen
        rest = rest * (1 - np.mean(np.sin(np.radians(array.skyline_deg)) ** 2))
    rest += around + ground_on_plane_w_per_m2(
        global_w_per_m2=weather.global_w_per_m2, albedo_ratio=constant(_CONSTANTS, "albedo_ratio").value,
        tilt_deg=tilt_deg)  # fmt: skip
    lit = beam * through_glass_ratio(ahead=ahead) + rest
    plane = beam + rest
    if array.shade_percent:
        left = np.repeat(1 - np.asarray(array.shade_percent)[MONTHS] / 100, 1440)
        lit, plane = lit * left, plane * left
    warm = cell_c(plane_w_per_m2=plane, air_c=weather.air_c,
                  loss_w_per_m2_per_k=constant(_CONSTANTS, "cell_loss_w_per_m2_per_k").value)  # fmt: skip
    return dc_kw(light_w_per_m2=lit, cell_c=warm, peak_kw=_middle(array, "peak_kw"),
                 per_k_ratio=constant(_CONSTANTS, "per_k_ratio").value)  # fmt: skip


def _above_skyline(heights_deg: tuple[float, ...], sky: Sky) -> Numbers:
    around = np.degrees(np.arctan2(sky.sun.east, sky.sun.north)) % 360
    corners = np.arange(len(heights_deg)) * (360 / len(heights_deg))
    skyline = np.interp(around, corners, heights_deg, period=360)
    return np.asarray(sky.sun.up > np.sin(np.radians(skyline)), dtype=np.float64)


def _middle(array: Array, name: str) -> float:
    reading = getattr(array, name)
    return float(reading.low + reading.high) / 2


def _refuse(job: Job) -> None:
    says = [] if job.generation.arrays else ["generation.arrays: say at least one array"]
    for number, array in enumerate(job.generation.arrays):
        path = f"generation.arrays[{number}]"
        says += [f"{path}.{name} is not filled in" for name in ("peak_kw", "tilt_deg", "azimuth_deg")
                 if getattr(array, name) is None]  # fmt: skip
        if array.peak_kw is not None and array.peak_kw.high <= 0:
            says.append(f"{path}.peak_kw must be above zero")
        if len(array.shade_percent) not in (0, 12):
            says.append(f"{path}.shade_percent has {len(array.shade_percent)} numbers; give twelve, January first")
        if 0 < len(array.skyline_deg) < 4:
            says.append(f"{path}.skyline_deg has {len(array.skyline_deg)} numbers; give at least four, north first")
    if says:
        raise NotKnown(tuple(says))
