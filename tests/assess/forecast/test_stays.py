"""Trips and plug-in days to stays, by hand; and what the survey leaves open."""

import numpy as np
import pytest
from jobs import house

from ampwright.assess.forecast.clock import MINUTES_COUNT
from ampwright.assess.forecast.plan import EVERY_DAY, changed, plan_of, supposed_trips
from ampwright.assess.forecast.stays import stays_of
from ampwright.job.driving import Trip
from ampwright.physics.minute import LAG_ON_CHANGE
from ampwright.reading import assumed, measured


def chance():
    return np.random.default_rng([1])


def plan(**changes):
    return changed(plan_of(house(), chance(), 0), **changes)


def trip(days, leaves_h, back_h, miles=None):
    return Trip(days=days, leaves_h=measured(leaves_h), back_h=measured(back_h),
                driven_miles_count=None if miles is None else measured(miles))  # fmt: skip


def test_one_trip_a_week():
    # Wednesdays 08:00 to 18:00, 20 miles at 4 miles/kWh: 53 Wednesdays in 2025, the first on 1 January
    stays = stays_of(plan(trips=(trip("Wednesday", 8, 18, 20.0),), plugs_in_on=EVERY_DAY, miles_per_kwh=4.0), chance())
    assert len(stays.start_min) == 54
    assert (stays.start_min[0], stays.end_min[0]) == (0, 480)
    assert (stays.start_min[1], stays.end_min[1]) == (18 * 60, 7 * 1440 + 480)
    # 5 kWh, and 13.9 % more on 1 January: 1 + 0.143 cos(2 pi 14 / 365)
    assert stays.driven_kwh[1] == pytest.approx(5 * (1 + 0.143 * np.cos(2 * np.pi * 15 / 365)))
    # summer time: the car leaves at 07:00 UTC
    assert {int(end) % 1440 for end in stays.end_min[14:20]} == {420}


def test_the_year_has_its_miles_and_winter_takes_more():
    stays = stays_of(plan(trips=(trip("every day", 9, 10),), plugs_in_on=EVERY_DAY, miles_per_year=7300.0,
                          miles_per_kwh=4.0), chance())  # fmt: skip
    assert stays.wanted_kwh == pytest.approx(7300 / 4, rel=1e-6)
    # a third more than in the best months (fleet figures of 2023 in the research notes)
    daily = stays.driven_kwh[1:]
    assert daily.max() / daily.min() == pytest.approx(4 / 3, rel=0.01)


def test_on_other_days_it_is_not_plugged_in():
    stays = stays_of(plan(trips=(trip("weekdays", 8, 18),), plugs_in_on=("Tuesday", "Saturday")), chance())
    # home on Tuesday evening until Wednesday; on Friday it comes home unplugged, plugged in from eight on Saturday
    hours = {(int(start) // 1440 + 2) % 7: int(start) % 1440 // 60 for start in stays.start_min[1:8]}
    assert hours == {1: 18, 5: 8}


def test_a_stay_runs_over_midnight_and_trips_that_overlap_are_one():
    stays = stays_of(plan(trips=(trip("every day", 22, 6),), plugs_in_on=EVERY_DAY), chance())
    assert np.all(stays.end_min > stays.start_min)
    assert stays.end_min[-1] <= MINUTES_COUNT
    both = (trip("Monday", 8, 12, 5.0), trip("Monday", 10, 15, 7.0))
    joined = stays_of(plan(trips=both, plugs_in_on=EVERY_DAY, miles_per_kwh=1.0), chance())
    assert len(joined.start_min) == 53
    assert joined.driven_kwh[1] == pytest.approx(12 * 1.143, rel=0.01)


def test_a_range_is_drawn_from_and_an_exact_value_is_not():
    job = house({"installation.annual_kwh": assumed(2000, 3000, "asked"), "vehicles[0].miles_per_year": measured(9000)})
    drawn = [plan_of(job, np.random.default_rng([number]), number) for number in range(40)]
    assert 2000 <= min(each.annual_kwh for each in drawn) < 2300 < 2700 < max(each.annual_kwh for each in drawn) <= 3000
    assert {each.miles_per_year for each in drawn} == {9000}


def test_where_nobody_asked_the_years_take_turns_and_say_so():
    words = {plan_of(house(), chance(), number).pattern.words for number in range(6)}
    assert len(words) == 6
    asked = house({"vehicles[0].trips": supposed_trips()[1].trips, "vehicles[0].plugs_in_on": ("Monday",)})
    assert {plan_of(asked, chance(), number).pattern.words for number in range(6)} == {""}


def test_currents_are_the_least_of_all_and_settings_are_taken():
    job = house({"charge_point.set_a": 20.0, "charge_point.following.random_delay": "at every change",
                 "charge_point.following.stop_delay_min": 12.0, "charge_point.load_cap.fitted": True,
                 "charge_point.load_cap.limit_a": 63.0})  # fmt: skip
    found = plan_of(job, chance(), 0)
    assert (found.most_a, found.lag_kind, found.linger_min, found.cap_a) == (20, LAG_ON_CHANGE, 12, 63.0)


def test_the_miles_of_the_trips_are_the_miles_of_the_year():
    # 52 Mondays in 2025 at 30 to 50 miles: 2,080 at the middle, whatever the year was said to have
    monday = Trip(days="Monday", leaves_h=measured(8), back_h=measured(18), driven_miles_count=assumed(30, 50, "asked"))
    job = house({"vehicles[0].trips": (monday,), "vehicles[0].miles_per_year": measured(9000)})
    assert plan_of(job, chance(), 0).miles_per_year == pytest.approx(2080)


def test_a_mile_takes_what_the_car_says_whatever_the_trips_add_up_to():
    # 53 Wednesdays of 100 miles beside a year said to have 1,000: 5,300 are driven, and open trips get nothing more
    both = (trip("Wednesday", 8, 18, 100.0), trip("Sunday", 9, 10))
    stays = stays_of(plan(trips=both, plugs_in_on=EVERY_DAY, miles_per_year=1000.0, miles_per_kwh=4.0), chance())
    assert stays.miles_count == pytest.approx(5300)
    # winter swings by a seventh about the mean, and Wednesdays are spread over the year: 0.25 kWh a mile
    assert stays.wanted_kwh / stays.miles_count == pytest.approx(0.25, rel=0.01)


def test_home_just_after_midnight_in_summer_is_that_day_by_the_clock_on_the_wall():
    # back at 00:30 on Saturday by the clock, which in summer is 23:30 on Friday in UTC; plugged in on Saturdays only
    stays = stays_of(plan(trips=(trip("Friday", 8, 24.5),), plugs_in_on=("Saturday",)), chance())
    summer = stays.start_min[(stays.start_min > 150 * 1440) & (stays.start_min < 200 * 1440)]
    assert {int(start) % 1440 for start in summer} == {23 * 60 + 30}


@pytest.mark.parametrize(("changes", "kw", "shared_kw"), [
    # 16 A of 230 V on one line, and on each of three; one that shares the panels' inverter of 20 A has its rating
    ({"storage.inverter_a": measured(16)}, 3.68, 1e9),
    ({"storage.inverter_a": measured(16), "storage.line": "all"}, 11.04, 1e9),
    ({"storage.coupling": "DC", "storage.inverter_a": None, "generation.inverter_a": measured(20)}, 4.6, 4.6),
])  # fmt: skip
def test_what_the_store_can_give(changes, kw, shared_kw):
    job = house({"storage.fitted": True, "storage.capacity_kwh": assumed(5, 10, "seen"), **changes})
    found = plan_of(job, chance(), 0)
    assert found.store_kw == pytest.approx(kw)
    assert found.shared_kw == pytest.approx(shared_kw)
    assert 5 < found.store_kwh < 10
