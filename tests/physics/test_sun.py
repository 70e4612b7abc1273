"""The sun against pvlib: the NREL algorithm, Kasten and Young, Ineichen and Perez, Erbs."""

import numpy as np
import pandas as pd
import pvlib
import pytest

from ampwright.physics.sun import air_mass, clear_global_w_per_m2, split, sun

PLACES = [(51.6, -0.5, 53.0), (60.1, -1.3, 50.0), (50.5, -4.0, 85.0)]
TIMES = pd.date_range("2025-01-01 00:00:30", periods=5256, freq="100min", tz="UTC")
DAYS = np.asarray((TIMES - pd.Timestamp("2000-01-01 12:00", tz="UTC")) / pd.Timedelta(days=1), dtype=float)


def seen(lat_deg, lon_deg):
    return sun(lat_deg=lat_deg, lon_deg=lon_deg, days=DAYS)


@pytest.mark.parametrize(("lat_deg", "lon_deg", "height_m"), PLACES)
def test_stands_where_the_nrel_algorithm_puts_it(lat_deg, lon_deg, height_m):
    ours = seen(lat_deg, lon_deg)
    theirs = pvlib.solarposition.spa_python(TIMES, lat_deg, lon_deg, altitude=0)
    zenith, azimuth = np.radians(theirs["zenith"]), np.radians(theirs["azimuth"])
    cosine = (ours.up * np.cos(zenith) + ours.east * np.sin(zenith) * np.sin(azimuth)
              + ours.north * np.sin(zenith) * np.cos(azimuth))  # fmt: skip
    apart_deg = np.degrees(np.arccos(np.clip(cosine, -1, 1)))

    assert apart_deg.max() < 0.02
    up = theirs["elevation"] > 0
    lifted_deg = np.degrees(np.arcsin(ours.lifted[up]))
    assert np.abs(lifted_deg - theirs["apparent_elevation"][up]).max() < 0.05


def test_the_vector_has_length_one_and_noon_is_due_south():
    ours = seen(51.6, -0.5)

    assert np.allclose(ours.east**2 + ours.north**2 + ours.up**2, 1)
    # by hand: at midsummer noon the sun stands at 90 - 51.6 + 23.44 = 61.84 degrees
    assert np.degrees(np.arcsin(ours.up.max())) == pytest.approx(61.84, abs=0.15)


@pytest.mark.parametrize(("lat_deg", "lon_deg", "height_m"), PLACES)
def test_clear_light_agrees_with_pvlib(lat_deg, lon_deg, height_m):
    ours = seen(lat_deg, lon_deg)
    haze = np.linspace(2.5, 5, len(DAYS))
    theirs = pvlib.solarposition.spa_python(TIMES, lat_deg, lon_deg)
    zenith = theirs["apparent_zenith"]
    relative = pvlib.atmosphere.get_relative_airmass(zenith)
    absolute = pvlib.atmosphere.get_absolute_airmass(relative, pvlib.atmosphere.alt2pres(height_m))
    extra = pvlib.irradiance.get_extra_radiation(TIMES)
    clear = pvlib.clearsky.ineichen(zenith, absolute, pd.Series(haze, TIMES), height_m, extra)["ghi"]
    high = theirs["elevation"] > 2

    assert np.abs(air_mass(lifted=ours.lifted, height_m=height_m) / absolute - 1)[high].max() < 0.02
    mine = clear_global_w_per_m2(sky=ours, height_m=height_m, turbidity_ratio=haze)
    assert np.abs(mine - clear)[high].max() < 3
    assert mine.mean() == pytest.approx(clear.mean(), rel=2e-3)
    assert mine[ours.lifted < 0].max() == 0


def test_splits_as_erbs_does_and_keeps_the_whole():
    ours = seen(51.6, -0.5)
    rng = np.random.default_rng(1)
    light = 900 * np.maximum(ours.up, 0) * rng.random(len(DAYS))
    direct, diffuse = split(global_w_per_m2=light, sky=ours)
    theirs = pvlib.irradiance.erbs(light, np.degrees(np.arccos(ours.up)), TIMES)
    high = ours.up > np.sin(np.radians(4))

    assert np.allclose(direct * np.maximum(ours.up, 0) + diffuse, light)
    assert np.abs(diffuse - theirs["dhi"])[high].max() < 2
    assert np.abs(direct * ours.up - theirs["dni"] * ours.up)[high].max() < 2


def test_overcast_light_is_all_but_diffuse():
    # by hand from the correlation: clearness 0.1 leaves 0.9 % beam
    ours = sun(lat_deg=51.6, lon_deg=0, days=np.array([9131.5 + 172.5]))
    light = 0.1 * ours.extra_w_per_m2 * ours.up

    assert split(global_w_per_m2=light, sky=ours)[1] / light == pytest.approx(0.991)
