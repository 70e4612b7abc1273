"""Demand against the cut-out by a year of half-hourly readings."""

import datetime

import pytest
from intake import intake, limiter, printed

from ampwright.job.record import HalfHourly
from ampwright.rules.gb.demand import cutout_carries_recorded_demand
from ampwright.working import Verdict

THREE = {"supply.phases": 3}
YEAR = HalfHourly(csv="year.csv", highest_kwh=2.3, highest_at="2025-12-25 17:00", days_count=365, missing_count=3,
                  months=tuple(range(1, 13)))  # fmt: skip
HH = "installation.half_hourly"


def recorded(changes=None, year=YEAR):
    return cutout_carries_recorded_demand(intake({HH: year, **(changes or {})}))


def test_recorded_demand_by_hand():
    # 2.3 kWh in half an hour = 4.6 kW = 20 A; the largest load 40 A whole: 60 A; and the car 92 A
    check = recorded()

    assert check.verdict is Verdict.MET
    assert (printed(check, "Ihh"), printed(check, "Ibig"), printed(check, "Inew")) == (20, 40, 92)
    assert any("our allowance, not a bound" in step.formula for step in check.working)
    assert any("added since" in step.formula for step in check.working)


@pytest.mark.parametrize(("kwh", "verdict"), [(3.22, Verdict.MET), (3.24, Verdict.NOT_MET)])
def test_recorded_demand_turns_at_the_cut_out(kwh, verdict):
    # 28 A = 3.22 kWh: 28 + 40 + 32 = 100 A
    assert recorded({f"{HH}.highest_kwh": kwh}).verdict is verdict


def test_recorded_demand_is_held_by_a_limit():
    # 3.45 kWh is 30 A: 30 + 40 + 32 = 102 A, held to 90 A
    check = recorded({f"{HH}.highest_kwh": 3.45, **limiter(90)})

    assert check.verdict is Verdict.MET
    assert (printed(check, "Inew"), printed(check, "Iheld")) == (102, 90)


def test_without_readings_the_question_does_not_arise():
    assert recorded(year=HalfHourly()).verdict is Verdict.DOES_NOT_APPLY


@pytest.mark.parametrize(
    ("field", "value", "word"),
    [("days_count", 349, "349"), ("months", tuple(range(1, 12)), "1 of the 12"), ("missing_count", 351, "351")],
)
def test_less_than_a_year_is_not_yet_known(field, value, word):
    # 2 % of 365 x 48 half hours is 350.4
    check = recorded({f"{HH}.{field}": value})

    assert check.verdict is Verdict.NOT_YET_KNOWN
    assert word in check.says


def test_just_a_year_is_enough():
    # 2 % of 350 x 48 half hours is 336
    assert recorded({f"{HH}.missing_count": 336, f"{HH}.days_count": 350}).verdict is Verdict.MET


@pytest.mark.parametrize("field", ["highest_kwh", "days_count", "missing_count", "months"])
def test_readings_not_yet_read_are_asked_for(field):
    missing = () if field == "months" else None
    assert recorded({f"{HH}.{field}": missing}).needs == (f"{HH}.{field}",)


def test_readings_of_three_phases_are_for_the_designer():
    check = recorded(THREE)

    assert check.verdict is Verdict.FOR_THE_DESIGNER
    assert "60.0 A, with the car 92.0 A" in check.says


def test_a_battery_may_hide_the_peak_from_the_meter():
    from_roof = {"storage.fitted": True, "storage.charges_from_supply": False}
    assert recorded(from_roof).verdict is Verdict.FOR_THE_DESIGNER
    assert recorded({"storage.fitted": None}).needs == ("storage.fitted",)


@pytest.mark.parametrize(
    ("date", "verdict"),
    # eighteen months after 25 December 2025 is 25 June 2027
    [(datetime.date(2027, 6, 25), Verdict.MET), (datetime.date(2027, 6, 26), Verdict.NOT_YET_KNOWN),
     (datetime.date(2027, 7, 1), Verdict.NOT_YET_KNOWN), (None, Verdict.MET)],
)  # fmt: skip
def test_readings_grow_old(date, verdict):
    check = recorded({"date": date})

    assert check.verdict is verdict
    assert verdict is Verdict.MET or "18 months" in check.says


def test_readings_without_a_date_stand():
    assert recorded({"date": datetime.date(2030, 1, 1), f"{HH}.highest_at": "at Christmas"}).verdict is Verdict.MET


def test_solar_may_hide_the_peak_and_it_is_said():
    check = recorded({"generation.fitted": True})

    assert check.verdict is Verdict.MET
    assert check.says.endswith("But solar may have hidden the highest demand from the meter.")
    assert check.says.startswith("By the year of readings house and car need 92.0 A")
