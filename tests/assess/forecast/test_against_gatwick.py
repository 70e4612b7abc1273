"""Invented hours against the typical year of Gatwick, which nothing here was fitted to.

The IWEC file is ASHRAE's: read from accim-samples where that is installed, not shipped. It is partly modelled itself.
Goals of the notes: Kolmogorov and Smirnov's distance at most 0.10, correlation from hour to hour 0.87 +- 0.07. The
stage before this one (a published autoregressive model) stood at 0.152 and 0.75.
"""

import warnings

import numpy as np
import pytest
from skies import YEARS, autocorrelation, distance
from stations import NoStation, hourly_clearness, station, station_clearness

from ampwright.assess.forecast.hours import minutes_of_hours
from ampwright.assess.forecast.place import sky_over
from ampwright.assess.forecast.split import split_by_hour


@pytest.fixture(scope="module")
def gatwick():
    try:
        return station("Gatwick")
    except NoStation as missing:
        warnings.warn(f"NOT CHECKED against a measured station: {missing}", stacklevel=1)
        pytest.skip(str(missing))


def ours():
    return np.concatenate([hourly_clearness(year) for year in YEARS])


def test_the_hours_of_the_file_are_read_as_the_notes_read_them(gatwick):
    # the notes measured of this file: mean 0.391, s.d. 0.197, 0.87 from hour to hour
    theirs = station_clearness(gatwick)

    assert np.nanmean(theirs) == pytest.approx(0.391, abs=0.005)
    assert np.nanstd(theirs) == pytest.approx(0.197, abs=0.005)
    assert autocorrelation(theirs, 1) == pytest.approx(0.87, abs=0.01)


@pytest.mark.xfail(strict=True, reason="published miss: 0.107 over 30 years (0.108 here), goal 0.10; decision 14")
def test_hours_are_spread_as_at_gatwick(gatwick):
    assert distance(ours(), station_clearness(gatwick)) <= 0.10


@pytest.mark.xfail(strict=True, reason="published miss: 0.798 over 30 years (0.796 here), goal 0.80; decision 14")
def test_hours_hang_together_as_at_gatwick(gatwick):
    found = np.mean([autocorrelation(hourly_clearness(year), 1) for year in YEARS])

    assert found == pytest.approx(0.87, abs=0.07)


def test_what_is_published_of_the_misses_is_what_is_measured(gatwick):
    # docs/sunshine.md and decision 14 print these, over these five years
    found = np.mean([autocorrelation(hourly_clearness(year), 1) for year in YEARS])

    assert distance(ours(), station_clearness(gatwick)) == pytest.approx(0.108, abs=0.0006)
    assert found == pytest.approx(0.796, abs=0.0006)


def test_minutes_drawn_within_its_hours_keep_its_light(gatwick):
    hours, place = gatwick
    light = np.asarray(hours["ghi"], dtype=float)
    sky = sky_over(place)
    bright = minutes_of_hours(light, sky, np.random.default_rng(1))
    direct, diffuse = split_by_hour(bright, sky, np.clip(light - np.asarray(hours["dhi"], dtype=float), 0, None))

    assert bright.reshape(-1, 60).mean(axis=1) == pytest.approx(light, abs=1e-6)
    assert diffuse.mean() / bright.mean() == pytest.approx(0.587, abs=0.03)
    assert direct.max() < 1400
