"""Plane, glass, cell and inverter against pvlib."""

import numpy as np
import pandas as pd
import pvlib
import pytest

from ampwright.physics.panel import (
    ac_kw,
    cell_c,
    dc_kw,
    diffuse_on_plane_w_per_m2,
    facing,
    ground_on_plane_w_per_m2,
    through_glass_ratio,
)  # fmt: skip
from ampwright.physics.sun import split, sun

TIMES = pd.date_range("2025-01-01 00:00:30", periods=5256, freq="100min", tz="UTC")
DAYS = np.asarray((TIMES - pd.Timestamp("2000-01-01 12:00", tz="UTC")) / pd.Timedelta(days=1), dtype=float)
SKY = sun(lat_deg=53.0, lon_deg=-2.0, days=DAYS)
GLOBAL = 1000 * np.maximum(SKY.up, 0) * np.random.default_rng(2).random(len(DAYS))
DIRECT, DIFFUSE = split(global_w_per_m2=GLOBAL, sky=SKY)
ZENITH = np.degrees(np.arccos(SKY.up))
AZIMUTH = np.degrees(np.arctan2(SKY.east, SKY.north)) % 360
PLANES = [(35, 180), (45, 135), (35, 90), (30, 0), (0, 180), (90, 250)]


@pytest.mark.parametrize(("tilt_deg", "azimuth_deg"), PLANES)
def test_the_plane_agrees_with_pvlib(tilt_deg, azimuth_deg):
    ahead = facing(sky=SKY, tilt_deg=tilt_deg, azimuth_deg=azimuth_deg)
    around, rest = diffuse_on_plane_w_per_m2(
        direct_w_per_m2=DIRECT, diffuse_w_per_m2=DIFFUSE, ahead=ahead, sky=SKY, tilt_deg=tilt_deg)  # fmt: skip
    ground = ground_on_plane_w_per_m2(global_w_per_m2=GLOBAL, albedo_ratio=0.2, tilt_deg=tilt_deg)
    theirs = pvlib.irradiance.get_total_irradiance(
        tilt_deg, azimuth_deg, ZENITH, AZIMUTH, DIRECT, GLOBAL, DIFFUSE, dni_extra=SKY.extra_w_per_m2, albedo=0.2,
        model="haydavies")  # fmt: skip

    assert np.allclose(DIRECT * ahead, theirs["poa_direct"], atol=1e-6)
    assert np.allclose(around + rest, theirs["poa_sky_diffuse"], atol=1e-6)
    assert np.allclose(ground, theirs["poa_ground_diffuse"], atol=1e-9)


def test_the_glass_agrees_with_pvlib():
    angle = np.linspace(0, 89.5, 200)
    ours = through_glass_ratio(ahead=np.cos(np.radians(angle)))

    assert np.abs(ours - pvlib.iam.physical(angle)).max() < 3e-3
    assert through_glass_ratio(ahead=np.array([1.0, 0.0])) == pytest.approx([1.0, 0.0], abs=1e-9)


def test_the_cell_agrees_with_pvlib():
    plane, air = np.array([0.0, 300.0, 1000.0]), np.array([-5.0, 10.0, 25.0])
    theirs = pvlib.temperature.pvsyst_cell(plane, air, u_c=20.0, u_v=0.0, module_efficiency=0.1, alpha_absorption=0.9)

    assert cell_c(plane_w_per_m2=plane, air_c=air, loss_w_per_m2_per_k=20.0) == pytest.approx(theirs)
    # by hand: 1000 x 0.9 x 0.9 / 20 = 40.5 K above 25
    assert theirs[2] == pytest.approx(65.5)


def test_power_agrees_with_pvlib_up_to_the_limit():
    light, warm = np.array([0.0, 50.0, 400.0, 1000.0, 1200.0]), np.array([0.0, 5.0, 20.0, 45.0, 60.0])
    dc = dc_kw(light_w_per_m2=light, cell_c=warm, peak_kw=4.0, per_k_ratio=-0.0035)

    assert dc == pytest.approx(pvlib.pvsystem.pvwatts_dc(light, warm, 4.0, -0.0035))
    theirs = np.maximum(pvlib.inverter.pvwatts(dc, 3.0 / 0.96, 0.96), 0)
    assert ac_kw(dc_kw=dc, limit_kw=3.0, nominal_ratio=0.96) == pytest.approx(theirs)
    assert theirs.max() == 3.0
