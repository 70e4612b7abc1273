"""What a roof makes of a year: against SAP 2012, against pvlib's chain, and what shade and the inverter take."""

import dataclasses
from functools import lru_cache

import numpy as np
import pandas as pd
import pvlib
import pytest
from homes import stand_in_sun
from jobs import house
from sap import year_on_plane_kwh_per_m2
from skies import AVERAGE, month_means

from ampwright.assess.forecast import years
from ampwright.assess.forecast.place import MINUTES_COUNT, sky_over
from ampwright.assess.forecast.roof import NotKnown, drawn_roof, generation_kw, kept_ratio, stated_losses
from ampwright.assess.forecast.sun import weather_year
from ampwright.job.record import Array
from ampwright.physics.panel import diffuse_on_plane_w_per_m2, facing, ground_on_plane_w_per_m2
from ampwright.reading import assumed, measured


def roof(tilt_deg=35, azimuth_deg=180, peak_kw=4.0, **more):
    return Array(name="roof", peak_kw=measured(peak_kw), tilt_deg=measured(tilt_deg),
                 azimuth_deg=measured(azimuth_deg), **more)  # fmt: skip


def job(*arrays, **more):
    base = house()
    generation = dataclasses.replace(base.generation, **{"arrays": arrays or (roof(),), "inverter_a": None, **more})
    return dataclasses.replace(base, generation=generation)


@lru_cache(maxsize=8)
def year(region):
    return weather_year(region, seed=8, year_number=0, average=True)


def on_plane_kwh_per_m2(weather, tilt_deg, azimuth_deg):
    sky = sky_over(weather.place).sun
    ahead = facing(sky=sky, tilt_deg=tilt_deg, azimuth_deg=azimuth_deg)
    around, rest = diffuse_on_plane_w_per_m2(direct_w_per_m2=weather.direct_w_per_m2, ahead=ahead, sky=sky,
                                             diffuse_w_per_m2=weather.diffuse_w_per_m2, tilt_deg=tilt_deg)  # fmt: skip
    ground = ground_on_plane_w_per_m2(global_w_per_m2=weather.global_w_per_m2, albedo_ratio=0.2, tilt_deg=tilt_deg)
    return float((weather.direct_w_per_m2 * ahead + around + rest + ground).mean()) * 8.76


def kwh(made):
    return made.sum() / 60


@pytest.mark.parametrize("region", [1, 4, 6, 12, 13, 16, 21])
def test_the_yield_is_that_of_sap(region):
    # SAP 2012: 0.8 x kWp x S, south at 35 degrees, no shade; +- 5 %
    made = kwh(generation_kw(job(), year(region))) / 4

    assert made == pytest.approx(0.8 * year_on_plane_kwh_per_m2(region, 35, 180), rel=0.05)


def test_sap_by_a_second_hand():
    # the notes computed these from the same tables (sap_inclined_annual.csv): Thames south 35, south-east 35, north 30
    assert year_on_plane_kwh_per_m2(1, 35, 180) == pytest.approx(1140, abs=1)
    assert year_on_plane_kwh_per_m2(1, 35, 135) == pytest.approx(1085, abs=1)
    assert year_on_plane_kwh_per_m2(1, 30, 0) == pytest.approx(788, abs=1)


@pytest.mark.parametrize(("tilt_deg", "azimuth_deg", "within"), [
    (35, 180, 0.06), (45, 180, 0.06), (35, 135, 0.06), (45, 135, 0.06), (35, 90, 0.06), (45, 90, 0.06), (30, 0, 0.12),
])  # fmt: skip
def test_a_plane_catches_what_sap_says(tilt_deg, azimuth_deg, within):
    # SAP 2012 U3.2, Thames: +- 6 %, north +- 12 % (Hay and Davies saw -10.3 % there in the notes)
    caught = on_plane_kwh_per_m2(AVERAGE[1], tilt_deg, azimuth_deg)

    assert caught == pytest.approx(year_on_plane_kwh_per_m2(1, tilt_deg, azimuth_deg), rel=within)


@pytest.mark.parametrize(("tilt_deg", "azimuth_deg", "limit_kw"), [(35, 180, 4.0), (20, 100, 2.5)])
def test_the_year_agrees_with_the_chain_of_pvlib(tilt_deg, azimuth_deg, limit_kw):
    # tolerance 0.5 % of the year, as the issue says; every fifth minute
    weather = AVERAGE[1]
    ours = generation_kw(job(roof(tilt_deg, azimuth_deg), inverter_a=measured(limit_kw * 1000 / 230)), weather)
    theirs = chain_kw(weather, tilt_deg, azimuth_deg, limit_kw, every=5)

    assert ours[2::5].sum() == pytest.approx(theirs.sum(), rel=0.005)
    assert np.abs(ours[2::5] - theirs).max() < 0.15


def chain_kw(weather, tilt_deg, azimuth_deg, limit_kw, every):
    times = pd.date_range("2025-01-01 00:00:30", periods=MINUTES_COUNT, freq="1min", tz="UTC")[2::every]
    mount = pvlib.pvsystem.FixedMount(tilt_deg, azimuth_deg)
    array = pvlib.pvsystem.Array(mount, albedo=0.2, module_parameters={"pdc0": 4000, "gamma_pdc": -0.0035},
                                 temperature_model_parameters={"u_c": 20.0, "u_v": 0.0})  # fmt: skip
    system = pvlib.pvsystem.PVSystem(
        [array],
        losses_parameters={"shading": 0},
        inverter_parameters={"pdc0": limit_kw * 1000 / 0.96, "eta_inv_nom": 0.96},
    )
    place = pvlib.location.Location(weather.place.lat_deg, weather.place.lon_deg, altitude=weather.place.height_m)
    chain = pvlib.modelchain.ModelChain(system, place, transposition_model="haydavies", aoi_model="physical",
                                        spectral_model="no_loss", dc_model="pvwatts", ac_model="pvwatts",
                                        temperature_model="pvsyst", losses_model="pvwatts")  # fmt: skip
    columns = {"ghi": weather.global_w_per_m2, "dni": weather.direct_w_per_m2, "dhi": weather.diffuse_w_per_m2,
               "temp_air": weather.air_c}  # fmt: skip
    light = pd.DataFrame({name: values[2::every] for name, values in columns.items()}, index=times)
    chain.run_model(light.assign(wind_speed=1.0))
    return np.maximum(np.asarray(chain.results.ac) / 1000, 0)


def test_the_losses_are_those_of_the_list():
    # by hand: 0.98 x 0.98 x 0.98 x 0.995 x 0.985 x 0.99 x 0.97 = 0.8858
    assert kept_ratio() == pytest.approx(0.8858, abs=1e-4)
    assert len(stated_losses()) == 7


def test_several_arrays_add_up_behind_one_inverter():
    east, west = roof(azimuth_deg=90, peak_kw=2), roof(azimuth_deg=270, peak_kw=2)
    apart = [kwh(generation_kw(job(each), year(1))) for each in (east, west)]
    both = kwh(generation_kw(job(east, west), year(1)))

    assert both == pytest.approx(sum(apart), rel=0.01)
    assert both < kwh(generation_kw(job(), year(1)))


def test_the_inverter_cuts_the_top_off():
    made = generation_kw(job(inverter_a=measured(10)), year(1))

    assert made.max() == pytest.approx(2.3)
    assert kwh(made) < kwh(generation_kw(job(), year(1)))


def test_an_inverter_on_three_lines_gives_three_times_as_much():
    made = generation_kw(job(roof(peak_kw=12), inverter_a=measured(10), line="all"), year(1))

    assert made.max() == pytest.approx(6.9)


def test_shade_takes_its_share_of_its_month():
    shade = (50.0,) + (0.0,) * 11
    open_, shaded = (month_means(generation_kw(job(each), year(1))) for each in (roof(), roof(shade_percent=shade)))

    assert shaded[1:] == pytest.approx(open_[1:])
    assert shaded[0] / open_[0] == pytest.approx(0.49, abs=0.03)


def test_a_skyline_hides_the_sun_behind_it():
    # a wall of 30 degrees all round: in December the Thames sun reaches 15 degrees, so that no beam is left, and
    # three quarters of the sky's own light (1 - sin(30)^2)
    heights = (30.0,) * 8
    open_, walled = (month_means(generation_kw(job(each), year(1))) for each in (roof(), roof(skyline_deg=heights)))

    assert walled[11] < 0.45 * open_[11]
    assert open_[5] * 0.8 < walled[5] < open_[5]


def test_a_skyline_behind_the_roof_takes_little():
    behind = tuple(40.0 if turn in (0, 1, 7) else 0.0 for turn in range(8))
    made = [kwh(generation_kw(job(each), year(1))) for each in (roof(), roof(skyline_deg=behind))]

    assert 0.85 < made[1] / made[0] < 1


def test_no_generation_makes_nothing_and_one_not_described_is_refused():
    assert generation_kw(job(fitted=False), AVERAGE[1]).sum() == 0
    poor = Array(name="roof", peak_kw=measured(4), shade_percent=(1.0, 2.0), skyline_deg=(3.0,))
    with pytest.raises(NotKnown) as refused:
        generation_kw(job(poor), AVERAGE[1])

    assert [says.split(" ")[0] for says in refused.value.says] == [
        f"generation.arrays[0].{name}" for name in ("tilt_deg", "azimuth_deg", "shade_percent", "skyline_deg")
    ]


def ranged(**more):
    return house({"generation.arrays[0].peak_kw": assumed(3, 5, "seen from the street"),
                  "generation.arrays[0].tilt_deg": assumed(20, 50, "seen from the street"),
                  "generation.inverter_a": assumed(12, 16, "two kinds fit"),
                  "generation.export_limit_kw": assumed(2, 4, "the notice is not found"), **more})  # fmt: skip


def test_each_year_draws_a_roof_from_what_the_survey_leaves_open():
    drawn = [drawn_roof(ranged(), np.random.default_rng([number])).generation for number in range(60)]
    for name, low, high in (("peak_kw", 3, 5), ("tilt_deg", 20, 50)):
        found = [getattr(each.arrays[0], name) for each in drawn]
        assert all(each.exact and low <= each.low <= high for each in found)
        assert np.std([each.low for each in found]) == pytest.approx((high - low) / 12**0.5, rel=0.25)
    assert {each.arrays[0].azimuth_deg for each in drawn} == {house().generation.arrays[0].azimuth_deg}
    assert np.ptp([each.inverter_a.low for each in drawn if each.inverter_a]) > 2
    assert np.ptp([each.export_limit_kw.low for each in drawn if each.export_limit_kw]) > 1


def test_the_readings_of_the_panels_know_their_size():
    own = ranged(**{"generation.own_csv": "made.csv"})
    assert drawn_roof(own, np.random.default_rng([1])).generation.arrays == own.generation.arrays


def test_a_range_of_the_roof_widens_the_band():
    # the same weather every year, so all that differs is the roof
    peak_kw = "generation.arrays[0].peak_kw"
    made = []
    for reading in (measured(4), assumed(2, 6, "seen from the street")):
        setting = years.Setting(house({peak_kw: reading}), 3, lambda job, seed, number: stand_in_sun(job, 1, 1))
        made.append(np.std([years.drawn(setting, number).home.sun_kw.sum() for number in range(8)]))
    assert made[0] == 0.0
    assert made[1] > 0.1 * 4 * 900 * 60


def test_the_export_limit_of_a_year_is_the_one_drawn():
    setting = years.Setting(ranged(), 3, stand_in_sun)
    found = [years.drawn(setting, number).plan.export_limit_kw for number in range(8)]
    assert len(set(found)) == 8
    assert all(2 <= each <= 4 for each in found)
