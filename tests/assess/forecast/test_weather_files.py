"""Files of weather: those that pvlib carries, and small ones written in the layout that PVGIS sends."""

import json
from pathlib import Path

import numpy as np
import pvlib
import pytest
from skies import AVERAGE

from ampwright.assess.forecast.place import sky_over
from ampwright.assess.forecast.roof import generation_kw
from ampwright.assess.forecast.weather_files import BadWeather, read_weather

DATA = Path(pvlib.__file__).parent / "data"
TM2, TMY3, TMY3_SECOND = "12839.tm2", "703165TY.csv", "723170TYA.CSV"
CARRIED = {
    TM2: lambda: pvlib.iotools.read_tmy2(DATA / TM2)[0]["GHI"],
    TMY3: lambda: pvlib.iotools.read_tmy3(DATA / TMY3, map_variables=True)[0]["ghi"],
    TMY3_SECOND: lambda: pvlib.iotools.read_tmy3(DATA / TMY3_SECOND, map_variables=True)[0]["ghi"],
}
HOURS = np.arange(8760)
LIGHT = AVERAGE[1].global_w_per_m2.reshape(-1, 60).mean(axis=1).round(1)
DIFFUSE = AVERAGE[1].diffuse_w_per_m2.reshape(-1, 60).mean(axis=1).round(1)
STAMPS = [f"{day:%Y%m%d}" for day in np.arange("2023-01-01", "2024-01-01", dtype="datetime64[D]").astype(object)]


def hourly(minutes):
    return minutes.reshape(-1, 60).mean(axis=1)


@pytest.mark.parametrize("name", CARRIED)
def test_each_hour_keeps_the_light_of_the_file(name):
    theirs = np.asarray(CARRIED[name](), dtype=float)
    weather = read_weather(DATA / name, seed=4)
    zone = {TM2: -5, TMY3: -9, TMY3_SECOND: -5}[name]

    assert hourly(weather.global_w_per_m2) == pytest.approx(np.roll(theirs, -zone), abs=1e-6)
    assert weather.came_from.seed == 4


@pytest.mark.parametrize("name", CARRIED)
def test_the_light_comes_while_the_sun_is_up(name):
    # the file's own clock and place put its light where our sun is: hardly any of it falls in the night
    weather = read_weather(DATA / name, seed=4)
    night = sky_over(weather.place).sun.up < -0.02

    assert weather.global_w_per_m2[night].sum() < 0.002 * weather.global_w_per_m2.sum()


def test_the_beam_of_the_file_is_kept():
    held = pvlib.iotools.read_tmy3(DATA / TMY3_SECOND, map_variables=True)[0]
    weather = read_weather(DATA / TMY3_SECOND, seed=4)

    assert weather.diffuse_w_per_m2.mean() == pytest.approx(held["dhi"].mean(), rel=0.06)
    assert weather.air_c.mean() == pytest.approx(held["temp_air"].mean(), abs=0.01)


def pvgis_year(light=LIGHT, offset_h=0.5):
    rows = [{"time(UTC)": f"{STAMPS[hour // 24]}:{hour % 24:02d}00", "T2m": 10.0, "RH": 80.0,
             "G(h)": float(light[hour]), "Gb(n)": 0.0, "Gd(h)": float(min(DIFFUSE[hour], light[hour])),
             "IR(h)": 300.0, "WS10m": 3.0, "WD10m": 200.0, "SP": 100000.0} for hour in HOURS]  # fmt: skip
    place = {"latitude": 51.6, "longitude": -0.5, "elevation": 53.0, "irradiance_time_offset": offset_h}
    months = [{"month": month, "year": 2023} for month in range(1, 13)]
    return {"inputs": {"location": place}, "outputs": {"months_selected": months, "tmy_hourly": rows},
            "meta": {"inputs": {}}}


def as_csv(year):
    place, outputs = year["inputs"]["location"], year["outputs"]
    names = list(outputs["tmy_hourly"][0])
    head = [f"Latitude (decimal degrees): {place['latitude']:.3f}",
            f"Longitude (decimal degrees): {place['longitude']:.3f}",
            f"Elevation (m): {place['elevation']}", f"Irradiance Time Offset (h): {place['irradiance_time_offset']}",
            "month,year", *(f"{each['month']},{each['year']}" for each in outputs["months_selected"]), ",".join(names)]
    body = [",".join(str(row[name]) for name in names) for row in outputs["tmy_hourly"]]
    return "\n".join([*head, *body, "", "T2m: 2-m air temperature", "PVGIS (c) European Union"]) + "\n"


def hours_csv(slope=0, reflected=0.0, years=(2023,)):
    head = ["Latitude (decimal degrees):\t51.600", "Longitude (decimal degrees):\t-0.500", "Elevation (m):\t53",
            "Radiation database:\tPVGIS-SARAH", "", "", f"Slope: {slope} deg. ", "Azimuth: 0 deg. ",
            "time,Gb(i),Gd(i),Gr(i),H_sun,T2m,WS10m,Int"]  # fmt: skip
    beam = np.clip(LIGHT - DIFFUSE, 0, None)
    body = [f"{year}{STAMPS[hour // 24][4:]}:{hour % 24:02d}30,{beam[hour]:.2f},{DIFFUSE[hour]:.2f},"
            f"{reflected},0.0,10.0,3.0,0.0" for year in years for hour in HOURS]  # fmt: skip
    return "\n".join([*head, *body, "", "Gb(i): Beam", "", "PVGIS (c) European Union, 2001-2021"]) + "\n"


@pytest.mark.parametrize(("name", "text"), [
    ("year.json", lambda: json.dumps(pvgis_year())), ("year.csv", lambda: as_csv(pvgis_year())),
    ("hours.csv", hours_csv),
])  # fmt: skip
def test_pvgis_files_give_back_the_light_they_hold(name, text, tmp_path):
    # what stands at the half hour is taken as an instant of that hour: the year's light agrees within 1 %
    (tmp_path / name).write_text(text())
    weather = read_weather(tmp_path / name, seed=1)

    assert weather.global_w_per_m2.mean() == pytest.approx(LIGHT.mean(), rel=0.01)
    assert weather.diffuse_w_per_m2.mean() == pytest.approx(DIFFUSE.mean(), rel=0.05)
    assert weather.air_c == pytest.approx(10.0)
    assert weather.place.lat_deg == 51.6


def test_an_instant_early_in_the_hour_is_carried_to_its_middle(tmp_path):
    # clear light at 10 past each hour must come back as clear light of the whole hour
    sky = sky_over(AVERAGE[1].place)
    clear = sky.clear_w_per_m2.reshape(-1, 60)
    (tmp_path / "clear.json").write_text(json.dumps(pvgis_year(clear[:, 10], offset_h=10 / 60)))
    weather = read_weather(tmp_path / "clear.json", seed=1)

    assert weather.global_w_per_m2.mean() == pytest.approx(clear.mean(), rel=0.005)


def test_years_of_a_file_come_round(tmp_path):
    (tmp_path / "hours.csv").write_text(hours_csv(years=(2022, 2023)))
    first, third, second = (read_weather(tmp_path / "hours.csv", 1, number) for number in (0, 2, 1))

    assert hourly(first.global_w_per_m2) == pytest.approx(hourly(third.global_w_per_m2))
    assert first.global_w_per_m2.tobytes() != third.global_w_per_m2.tobytes()
    assert second.came_from.year_number == 1


def test_the_same_seed_gives_the_same_bytes():
    first, again, other = (read_weather(DATA / TMY3, seed) for seed in (1, 1, 2))

    assert first.direct_w_per_m2.tobytes() == again.direct_w_per_m2.tobytes()
    assert first.direct_w_per_m2.tobytes() != other.direct_w_per_m2.tobytes()


@pytest.mark.parametrize(("name", "text", "says"), [
    ("w.txt", lambda: "no weather", "is none of them"),
    ("w.epw", lambda: "no weather", "cannot be read"),
    ("w.json", lambda: "{", "cannot be read"),
    ("w.csv", lambda: hours_csv(slope=35, reflected=2.0), "slope of 0 degrees"),
    ("w.csv", lambda: "\n".join(each for each in hours_csv().splitlines() if each[:8] != "20230705"), "lacks 24"),
    ("w.csv", lambda: hours_csv().replace("20230705:1230,", "20230705:1230,5000"), "between 0 and 1,400"),
])  # fmt: skip
def test_a_file_that_will_not_do_is_refused_in_words(name, text, says, tmp_path):
    (tmp_path / name).write_text(text())

    with pytest.raises(BadWeather) as refused:
        read_weather(tmp_path / name, seed=1)
    assert any(says in each for each in refused.value.says)


def test_a_file_that_is_not_there_is_refused(tmp_path):
    with pytest.raises(BadWeather, match="cannot be read"):
        read_weather(tmp_path / "none.epw", seed=1)


def test_a_roof_works_under_weather_from_a_file(job_at):
    made = generation_kw(job_at("SW1A 1AA"), read_weather(DATA / TMY3, seed=1))

    # Sand Point, Alaska: 4 kW facing south at 35 degrees; between half and all of what Thames gives (3,650 kWh)
    assert 1800 < made.sum() / 60 < 3700
