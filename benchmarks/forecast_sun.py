"""How long a year of weather and of a roof takes, as ratios measured in one run.

Weather against a tenth of a second and against one bare pass over its arrays; the lean solar chain (sun, plane,
cell, inverter, all anew) against pvlib's ModelChain on the same minutes, with the difference in the year's energy.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pandas as pd
import pvlib
from timing import median_s

from ampwright.assess.forecast.place import MINUTES_COUNT, place_of, sky_over
from ampwright.assess.forecast.roof import array_dc_kw, kept_ratio
from ampwright.assess.forecast.sun import Weather, weather_year
from ampwright.job.record import Array
from ampwright.physics.panel import ac_kw
from ampwright.reading import Reading

ROOF = Array(name="roof", peak_kw=Reading(4, 4), tilt_deg=Reading(35, 35), azimuth_deg=Reading(180, 180))
LIMIT_KW = 3.68


def lean(weather: Weather) -> float:
    """The year's energy by our own chain, the sun's place worked out anew, kWh."""
    sky_over.cache_clear()
    made = array_dc_kw(ROOF, weather, sky_over(weather.place)) * kept_ratio()
    return float(ac_kw(dc_kw=made, limit_kw=LIMIT_KW, nominal_ratio=0.96).sum() / 60)


def model_chain(weather: Weather) -> Callable[[], Any]:
    """pvlib's chain with the same models, ready to run."""
    times = pd.date_range("2025-01-01 00:00:30", periods=MINUTES_COUNT, freq="1min", tz="UTC")
    array = pvlib.pvsystem.Array(
        pvlib.pvsystem.FixedMount(35, 180), albedo=0.2, module_parameters={"pdc0": 4000, "gamma_pdc": -0.0035},
        temperature_model_parameters={"u_c": 20.0, "u_v": 0.0})  # fmt: skip
    system = pvlib.pvsystem.PVSystem([array], losses_parameters={"shading": 0}, inverter_parameters={
        "pdc0": LIMIT_KW * 1000 / 0.96, "eta_inv_nom": 0.96})  # fmt: skip
    place = pvlib.location.Location(weather.place.lat_deg, weather.place.lon_deg, altitude=weather.place.height_m)
    chain = pvlib.modelchain.ModelChain(
        system, place, transposition_model="haydavies", aoi_model="physical", spectral_model="no_loss",
        dc_model="pvwatts", ac_model="pvwatts", temperature_model="pvsyst", losses_model="pvwatts")  # fmt: skip
    light = pd.DataFrame({"ghi": weather.global_w_per_m2, "dni": weather.direct_w_per_m2, "wind_speed": 1.0,
                          "dhi": weather.diffuse_w_per_m2, "temp_air": weather.air_c}, index=times)  # fmt: skip
    return lambda: chain.run_model(light)


def main() -> None:
    """Print the table."""
    weather = weather_year(1, 1, 0)
    arrays = (weather.global_w_per_m2, weather.direct_w_per_m2, weather.diffuse_w_per_m2, weather.air_c)
    bare_s = median_s(lambda: [np.add(each, 1.0) for each in arrays], 15)
    drawn_s = median_s(lambda: weather_year(1, 1, 1), 15)
    first_s = median_s(lambda: sky_over.__wrapped__(place_of(1)), 5)
    print(f"a year of weather            {drawn_s * 1000:7.1f} ms = {drawn_s / 0.1:4.2f} of a tenth of a second"
          f" = {drawn_s / bare_s:4.1f} x a bare pass over its arrays")  # fmt: skip
    print(f"the sky over a region, once  {first_s * 1000:7.1f} ms = {first_s / drawn_s:4.1f} x a year of weather")
    run = model_chain(weather)
    ours_s, theirs_s = median_s(lambda: lean(weather), 5), median_s(run, 3)
    theirs_kwh = float(np.maximum(np.asarray(run().results.ac), 0).sum() / 60 / 1000)
    differs_percent = 100 * (lean(weather) / theirs_kwh - 1)
    print(f"lean chain, sun and all      {ours_s * 1000:7.1f} ms; ModelChain {theirs_s * 1000:7.1f} ms ="
          f" {theirs_s / ours_s:4.1f} x; the year's energy differs by {differs_percent:+.3f} %")


if __name__ == "__main__":
    main()
