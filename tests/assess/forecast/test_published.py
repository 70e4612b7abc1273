"""Against numbers of others: self-consumption of homes without a car, and what coarser steps do to it."""

from functools import lru_cache

import numpy as np
import pytest
from homes import random_home
from jobs import house

from ampwright.assess.forecast import account, kernel, years
from ampwright.assess.forecast.ceiling import ceiling
from ampwright.assess.forecast.clock import by_month
from ampwright.assess.forecast.house import house_year
from ampwright.assess.forecast.plan import EVERY_DAY, changed, plan_of, supposed_trips
from ampwright.assess.forecast.sun import generation_kw, weather_year
from ampwright.reading import measured

HOMES_COUNT = 20
MIDLANDS = 6
# SAP 10.2 appendix M1 without a battery, as quoted in a public commit note (research notes, section 6)
C1, C2, C3 = 1.610, 0.415, 0.511


@lru_cache(maxsize=1)
def homes():
    """Sun and house by minute, kW: 20 homes of 2.9 kW of panels facing south at 35 degrees and 4,000 kWh a year."""
    job = house({"generation.arrays[0].peak_kw": measured(2.9), "generation.arrays[0].tilt_deg": measured(35),
                 "generation.arrays[0].azimuth_deg": measured(180)})  # fmt: skip
    return [(generation_kw(job, weather_year(MIDLANDS, 11, number)),
             house_year(annual_kwh=4000, chance=np.random.default_rng([11, number]), purposes=frozenset({"cooking"})))
            for number in range(HOMES_COUNT)]  # fmt: skip


def self_consumed_percent(sun_kw, load_kw, step_min=1):
    sun, load = (each.reshape(-1, step_min).mean(axis=1) for each in (sun_kw, load_kw))
    return 100 * np.minimum(sun, load).sum() / sun.sum()


def sap_percent(sun_kwh, load_kwh):
    """Self-consumption of a month by the formula of SAP 10.2."""
    ratio = sun_kwh / load_kwh
    return 100 * np.minimum(np.exp(-C1 * (ratio * C2) ** C3), load_kwh / sun_kwh)


def test_self_consumption_of_twenty_homes_is_the_published_one():
    # 37 % for 2.9 kW and 4,000 kWh, no car (a university note of 2019 on British homes); within 5 points
    found = [self_consumed_percent(*home) for home in homes()]
    assert np.mean(found) == pytest.approx(37, abs=5)


@pytest.mark.parametrize("step_min", [5, 30, 60])
def test_coarser_steps_overstate_self_consumption(step_min):
    # averaging over more than a minute understates import and export (Wright and Firth); 2 to 5 points at 30 min
    for home in homes():
        assert self_consumed_percent(*home) < self_consumed_percent(home[0], home[1], step_min)


@pytest.mark.xfail(strict=True, reason="published miss: half hours add 5.1 points, the notes have 2 to 5")
def test_half_hours_add_two_to_five_points():
    # sign and size as the research notes have them
    more = [self_consumed_percent(home[0], home[1], 30) - self_consumed_percent(*home) for home in homes()]
    assert 2 <= np.mean(more) <= 5


@pytest.mark.xfail(strict=True, reason="published miss: hourly steps move ours by 20 %, the study's by 8 %")
def test_hourly_steps_move_it_by_about_the_published_share():
    # hourly against minutes: self-consumed energy 8 % on average, three British loads (REES 2023)
    ratios = [self_consumed_percent(home[0], home[1], 60) / self_consumed_percent(*home) for home in homes()]
    assert np.mean(ratios) == pytest.approx(1.08, abs=0.04)


def months():
    """Self-consumption by month over all homes, by the minute and by SAP's formula, percent; and the sun's weight."""
    sun = np.mean([by_month(sun_kw) for sun_kw, _ in homes()], axis=0) / 60
    load = np.mean([by_month(load_kw) for _, load_kw in homes()], axis=0) / 60
    own = np.mean([by_month(np.minimum(*home)) for home in homes()], axis=0) / 60
    return 100 * own / sun, sap_percent(sun, load), sun / sun.sum()


def test_from_march_to_october_each_month_lies_near_the_formula_of_sap():
    ours, sap, _ = months()
    assert np.abs(ours - sap)[2:10].max() < 10
    assert np.abs(ours - sap)[3:8].max() < 8


@pytest.mark.xfail(strict=True, reason="published miss: 10 to 15 points below the formula from November to February, "
                                       "9.9 in October")  # fmt: skip
def test_each_month_lies_near_the_formula_of_sap():
    ours, sap, _ = months()
    assert np.abs(ours - sap).max() < 8


def test_over_the_year_minutes_lie_below_the_formula_of_sap():
    ours, sap, weight = months()
    assert (ours * weight).sum() < (sap * weight).sum()


@pytest.mark.xfail(strict=True, reason="published miss: 0.5 to 1.8 points above the formula from May to July")
def test_in_each_month_minutes_lie_below_the_formula_of_sap():
    ours, sap, _ = months()
    assert np.all(ours < sap)


@pytest.mark.parametrize(("driver", "homes_count"), [(2, 40), (1, 30), (0, 30)])
def test_the_order_of_the_shares_on_a_hundred_random_homes(driver, homes_count):
    # perfect foresight >= no least current >= 6 A >= uncontrolled (the validation table of the research notes)
    weather = [weather_year(MIDLANDS, 11, number) for number in range(3)]
    for number in range(homes_count):
        job = random_home(number + 100 * driver)
        setting = years.Setting(job, 5, no_sun)
        plan = changed(plan_of(job, years.stream(5, number, years.PLAN), number),
                       trips=supposed_trips()[driver].trips, plugs_in_on=EVERY_DAY)  # fmt: skip
        year = years.drawn_for(setting, number, plan, generation_kw(job, weather[number % 3]),
                               years.house_of(setting, number, plan))  # fmt: skip
        ideal = share(year, "surplus only", least_a=0, wait_min=0, linger_min=0)
        six, uncontrolled = share(year, "surplus only"), share(year, "uncontrolled")
        assert ideal >= six >= uncontrolled, number
        if number % 5 == 0:
            assert ceiling(plan, year.stays, year.home) >= ideal, number


def share(year, way, **changes):
    plan = changed(year.plan, **changes)
    code = account.CODES[way]
    return account.share_ratio(account.run(code, plan, year.stays, year.home, year.lag_min, kernel.quickest())[1])


def no_sun(job, seed, number):
    raise AssertionError("the sun is given")
