"""Invented years against the climate tables, the 1988 matrices and published one-minute statistics.

Targets and tolerances: the validation table of the research notes, a row a test.
"""

import numpy as np
import pytest
from skies import AUTOCORRELATION, AVERAGE, YEARS, autocorrelation, minutes_of_light, month_means

from ampwright.assess.forecast.place import MONTHS, by_month, region_of, sky_over, turbidity_near
from ampwright.assess.forecast.sun import NoRegion, weather_year
from ampwright.facts import NoRow

EXCEEDED = {0.05: 0.163, 0.1: 0.091, 0.3: 0.022}


@pytest.mark.parametrize("region", [0, 1, 4, 16, 20])
def test_the_months_of_an_average_year_are_those_of_the_tables(region):
    # SAP 2012 Table U3; tolerance 0.5 % after rescaling
    year = weather_year(region, seed=3, year_number=0, average=True)

    assert month_means(year.global_w_per_m2) == pytest.approx(by_month(region, "global_w_per_m2"), rel=0.005)


def test_the_long_run_is_that_of_the_tables_and_years_differ():
    # 40 years: the mean of a year within 2 %; year to year 3 to 4 %, which the notes measured of the 1988 matrices
    # over 60 years (3.2 to 3.8 %); with 40 years the estimate itself is good to a tenth (1 / sqrt(80))
    years = np.array([weather_year(1, 11, number).global_w_per_m2.mean() for number in range(40)])

    assert years.mean() == pytest.approx(1018.7 / 8.76, rel=0.02)
    assert 0.028 < years.std(ddof=1) / years.mean() < 0.045


def test_the_same_seed_gives_the_same_bytes_and_another_another():
    first, again, other, later = (weather_year(1, seed, number) for seed, number in ((5, 2), (5, 2), (6, 2), (5, 3)))

    for name in ("global_w_per_m2", "direct_w_per_m2", "diffuse_w_per_m2", "air_c"):
        assert getattr(first, name).tobytes() == getattr(again, name).tobytes()
    assert first.came_from == again.came_from
    assert first.global_w_per_m2.tobytes() != other.global_w_per_m2.tobytes()
    assert first.global_w_per_m2.tobytes() != later.global_w_per_m2.tobytes()
    assert first.came_from.seed == 5
    assert len(first.came_from.sha256) == 64


def test_the_parts_of_the_light_add_up_and_none_comes_at_night():
    year = AVERAGE[1]
    up = np.maximum(sky_over(year.place).sun.up, 0)

    assert np.allclose(year.direct_w_per_m2 * up + year.diffuse_w_per_m2, year.global_w_per_m2)
    assert min(year.direct_w_per_m2.min(), year.diffuse_w_per_m2.min(), year.global_w_per_m2.min()) >= -1e-9
    assert year.global_w_per_m2[up == 0].max() < 1
    assert year.global_w_per_m2.shape == (525_600,)
    assert year.global_w_per_m2.max() < 1250


def test_days_are_as_bright_and_as_dull_as_the_matrices_say():
    # daily clearness, Thames: s.d. 0.165 +- 0.03, from day to day 0.30 +- 0.10
    days = np.concatenate([_clearness(year) for year in YEARS])

    assert days.std() == pytest.approx(0.165, abs=0.03)
    assert np.mean([autocorrelation(_clearness(year), 1) for year in YEARS]) == pytest.approx(0.30, abs=0.10)


def test_as_much_of_the_light_is_diffuse_as_at_gatwick():
    # the IWEC typical year of Gatwick: 0.59 +- 0.06
    year = AVERAGE[1]

    assert year.diffuse_w_per_m2.mean() / year.global_w_per_m2.mean() == pytest.approx(0.59, abs=0.06)


@pytest.mark.parametrize("step", EXCEEDED)
def test_light_jumps_as_often_as_at_the_measured_site(step):
    # one-minute clearness at Loughborough by day: 16.3, 9.1 and 2.2 % of steps, +- a quarter. The model is fitted to
    # these, so this holds it there and proves no more.
    share = np.nanmean(np.abs(np.diff(minutes_of_light(YEARS[0]))) >= step, where=_both(minutes_of_light(YEARS[0])))

    assert share == pytest.approx(EXCEEDED[step], rel=0.25)


@pytest.mark.parametrize(("minutes", "wanted", "within"), AUTOCORRELATION)
def test_light_remembers_as_long_as_at_the_measured_site(minutes, wanted, within):
    # the same site by day; fitted as well
    light = minutes_of_light(YEARS[0])

    assert autocorrelation(light, minutes) == pytest.approx(wanted, abs=within)


def test_the_air_is_as_warm_as_the_tables():
    # SAP 2012 Table U1, Thames; months run into each other, hence half a kelvin
    found = [AVERAGE[1].air_c[np.repeat(month == MONTHS, 1440)].mean() for month in range(12)]

    assert found == pytest.approx(by_month(1, "air_c"), abs=0.5)


@pytest.mark.parametrize(("postcode", "region"), [
    ("SW1A 1AA", 1), ("RH1 1AA", 1), ("RH12 3AB", 2), ("AB10 1AA", 16), ("zz1 1aa", None), ("W1A 1AA", 1), (None, None),
    ("PE9 1AA", 11), ("BT1 1AA", 21), ("KW15 1AA", 19), ("SY", 6), ("M1 1AA", 7), ("", None)])  # fmt: skip
def test_the_postcode_tells_the_region(postcode, region, job_at):
    # SAP 2012 Table U6, from memory
    if region is None:
        with pytest.raises(NoRegion, match=r"site\.sun_region"):
            region_of(job_at(postcode))
    else:
        assert region_of(job_at(postcode)) == region


def test_a_region_chosen_goes_before_the_postcode(job_at):
    assert region_of(job_at("SW1A 1AA", 20)) == 20


def test_there_is_no_region_22():
    with pytest.raises(NoRow):
        weather_year(22, 1, 1)


def test_a_place_has_the_haze_of_the_region_it_lies_in():
    assert turbidity_near(57.2, -2.2) == by_month(16, "turbidity_ratio")


def _clearness(year):
    sun = sky_over(year.place).sun
    above = (sun.extra_w_per_m2 * np.maximum(sun.up, 0)).reshape(365, 1440).mean(axis=1)
    return year.global_w_per_m2.reshape(365, 1440).mean(axis=1) / above


def _both(light):
    return ~np.isnan(light[1:]) & ~np.isnan(light[:-1])
