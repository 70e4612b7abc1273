"""Where every kilowatt went: the balance, the house first, the order of the ways, the load cap."""

import numpy as np
import pytest
from homes import COMMUTER, HOME_ALL_DAY, random_home, stand_in_sun
from hypothesis import given, settings
from hypothesis import strategies as st
from jobs import house

from ampwright.assess.forecast import account, ceiling, kernel, years
from ampwright.assess.forecast.bands import share_percent, sun_miles, unmet_miles
from ampwright.assess.forecast.plan import EVERY_DAY, changed, supposed_trips
from ampwright.job.driving import Trip
from ampwright.reading import measured

QUICK = kernel.quickest()


def year_of(number, driver=HOME_ALL_DAY, **changes):
    year = years.drawn(years.Setting(random_home(number), 5, stand_in_sun), 0)
    plan = changed(year.plan, trips=supposed_trips()[driver].trips, plugs_in_on=EVERY_DAY, **changes)
    return years.drawn_for(years.Setting(random_home(number), 5, stand_in_sun), 0, plan, year.home.sun_kw,
                           year.home.house_kw)  # fmt: skip


def done(year, way, **changes):
    plan = changed(year.plan, **changes)
    return account.run(account.CODES[way], plan, year.stays, year.home, year.lag_min, QUICK)


@given(st.integers(0, 500), st.sampled_from(list(account.CODES)), st.sampled_from([0.0, 2.0, 9.0]),
       st.booleans(), st.sampled_from([1e9, 1.5]), st.sampled_from([1e9, 3.68]))  # fmt: skip
@settings(max_examples=25, deadline=None)
def test_energy_balances_in_every_minute(number, way, store_kwh, feeds_car, export_limit_kw, shared_kw):
    year = year_of(number % 20, store_kwh=store_kwh, store_feeds_car=feeds_car, export_limit_kw=export_limit_kw,
                   shared_kw=shared_kw)  # fmt: skip
    car_kw, outcome = done(year, way)
    flows = account.flows_of(year.plan, year.home, car_kw, QUICK)
    assert account.balance_kwh(year.home, flows) < 1e-9
    whole = (year.home.sun_kw + flows.car_grid_kw + flows.house_grid_kw - year.home.house_kw - car_kw
             - flows.export_kw - flows.curtailed_kw - flows.store_kw).sum() / 60  # fmt: skip
    assert abs(whole) < 1e-9 * 60
    for each in (flows.sun_to_car_kw, flows.car_grid_kw, flows.house_grid_kw, flows.export_kw, flows.curtailed_kw):
        assert each.min() > -1e-9
    # the account by month, which looks at the minutes of charging alone, is that of all minutes
    own_kwh = (flows.sun_to_car_kw + flows.store_to_car_kw).sum() / 60
    assert outcome.of("sun_kwh").sum() == pytest.approx(own_kwh, abs=1e-6)
    assert outcome.of("car_kwh").sum() == pytest.approx(car_kw.sum() / 60, abs=1e-6)
    grid_kwh = outcome.of("night_kwh").sum() + outcome.of("day_kwh").sum()
    assert grid_kwh == pytest.approx(flows.car_grid_kw.sum() / 60, abs=1e-6)


def test_the_house_is_served_first():
    year = year_of(1)
    car_kw, _ = done(year, "surplus only")
    flows = account.flows_of(year.plan, year.home, car_kw, QUICK)
    lacking = year.home.net_kw < 0
    assert np.all(flows.sun_to_car_kw[lacking] == 0)
    assert np.all(flows.sun_to_car_kw <= np.maximum(year.home.net_kw, 0) + 1e-12)


def test_forgone_export_is_what_would_have_gone_out():
    year = year_of(2, export_limit_kw=2.0)
    car_kw, outcome = done(year, "surplus only")
    alone = np.minimum(np.maximum(year.home.net_kw, 0), 2.0)
    with_car = account.flows_of(year.plan, year.home, car_kw, QUICK).export_kw
    assert outcome.of("forgone_kwh").sum() == pytest.approx((alone - with_car).sum() / 60, abs=1e-6)
    # what the limit would have held back costs no export
    assert outcome.of("forgone_kwh").sum() < outcome.of("sun_kwh").sum()


@pytest.mark.parametrize("number", range(8))
def test_never_above_the_cap_while_charging(number):
    year = year_of(number, cap_a=25.0)
    for way in account.CODES:
        car_kw, outcome = done(year, way)
        grid_a = (year.home.house_kw + car_kw - year.home.sun_kw) / year.plan.line_kw
        assert np.all(grid_a[car_kw > 6 * year.plan.line_kw] <= 25.0 + 1e-9)
    # a cap that cannot bind holds nothing
    assert outcome.held_min > 0
    assert done(year, way, cap_a=1e9)[1].held_min == 0


def order_of(year):
    """Share of perfect foresight, of an ideal without a least current, of 6 A, and uncontrolled."""
    ideal = done(year, "surplus only", least_a=0, wait_min=0, linger_min=0)[1]
    six = done(year, "surplus only")[1]
    uncontrolled = done(year, "uncontrolled")[1]
    return [100 * ceiling.ceiling(year.plan, year.stays, year.home), *map(share_percent, (ideal, six, uncontrolled))]


@pytest.mark.parametrize("number", range(4))
def test_the_order_of_the_shares_where_the_car_is_home_by_day(number):
    most, ideal, six, uncontrolled = order_of(year_of(number))
    assert most >= ideal >= six >= uncontrolled


@pytest.mark.parametrize("number", range(6))
def test_the_ceiling_and_the_ideal_stand_above_six_for_a_commuter_too(number):
    most, ideal, six, uncontrolled = order_of(year_of(number, COMMUTER))
    assert most >= ideal >= max(six, uncontrolled) - 1e-9


@pytest.mark.parametrize("way", account.CODES)
def test_no_way_passes_the_ceiling_not_even_with_a_store(way):
    year = year_of(3, store_kwh=6.0, store_feeds_car=True)
    most = ceiling.ceiling(year.plan, year.stays, year.home)
    assert account.share_ratio(done(year, way)[1]) <= most + 1e-9


def test_miles_from_sun_grid_and_unmet_are_all_the_miles():
    year = year_of(4)
    _, outcome = done(year, "ready by")
    grid_kwh = outcome.of("night_kwh").sum() + outcome.of("day_kwh").sum()
    miles = sun_miles(outcome) + grid_kwh * outcome.gained_ratio / outcome.per_mile_kwh + unmet_miles(outcome)
    # and what the battery holds less at the end of the year than at its beginning
    assert miles + outcome.owed_kwh / outcome.per_mile_kwh == pytest.approx(year.plan.miles_per_year, rel=1e-9)


@pytest.mark.parametrize("way", account.CODES)
def test_the_share_is_of_all_the_miles_even_where_the_year_ends_with_an_empty_battery(way):
    # 2,000 miles at a few kWh: a full battery at the beginning is a tenth of the year's driving
    year = year_of(4, miles_per_year=2000.0)
    outcome = done(year, way)[1]
    assert share_percent(outcome) == pytest.approx(100 * sun_miles(outcome) / 2000.0, rel=1e-9)


def test_miles_from_sun_and_unmet_are_of_the_miles_that_the_trips_have():
    # every mile is met or unmet, so those charged at home and those unmet are the 52 x 20 that the trips have
    monday = Trip(days="Monday", leaves_h=measured(8), back_h=measured(18), driven_miles_count=measured(20))
    job = house({"vehicles[0].trips": (monday,), "vehicles[0].plugs_in_on": EVERY_DAY})
    year = years.drawn(years.Setting(job, 5, stand_in_sun), 0)
    _, outcome = account.run(account.CODES["uncontrolled"], year.plan, year.stays, year.home, year.lag_min, QUICK)
    charged_miles = outcome.of("car_kwh").sum() * outcome.gained_ratio / outcome.per_mile_kwh
    assert charged_miles + unmet_miles(outcome) == pytest.approx(52 * 20, rel=0.03)
