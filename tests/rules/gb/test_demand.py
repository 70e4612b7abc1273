"""Demand against the cut-out, by diversity and by a year of readings, and whether a load limit counts."""

import pytest
from intake import amps, intake, limiter, printed

from ampwright.job.choices import Purpose
from ampwright.job.record import HalfHourly, Load
from ampwright.reading import assumed, measured
from ampwright.rules.gb.demand import cutout_carries_demand, cutout_carries_recorded_demand, load_limit_counts
from ampwright.working import Verdict

LOADS, CUTOUT = "installation.loads", "supply.cutout.rating_a"
LIMIT = "charge_point.load_limit"
THREE = {"supply.phases": 3}


def judged(changes):
    return cutout_carries_demand(intake(changes))


def test_agrees_with_the_sum_done_by_hand():
    # shower 40 A whole; cooker 10 + 0.3 x 20 = 16 A; house 56 A; with the car 56 + 32 = 88 A
    check = judged({})

    assert check.verdict is Verdict.MET
    assert printed(check, "Ihouse") == pytest.approx(56)
    assert printed(check, "Inew") == pytest.approx(88)
    assert check.says == "House and car need 88.0 A, the house alone 56.0 A; the cut-out carries 100 A."
    assert check.cautions == ("supplier_seals",)


def test_a_sustained_load_on_a_hundred_ampere_cut_out_is_remarked():
    assert any("sustained load on a 100 A cut-out" in step.formula for step in judged({}).working)
    assert not any("sustained" in step.formula for step in judged({CUTOUT: measured(80)}).working)


def test_every_purpose_by_hand():
    # lighting 0.66 x 10 = 6.6; heating 10 + 0.5 x 6 = 13; showers 40 + 30 + 0.25 x 20 = 75; immersion 13;
    # floor 5; storage 10; rings 32 + 0.4 x 32 = 44.8; sockets 13 + 0.4 x 5 = 15; another car 16: 198.4 A
    purposes: dict[Purpose, tuple[float, ...]] = {
        "lighting": (10,), "heating_and_power": (16,), "instantaneous_water_heating": (20, 40, 30),
        "thermostatic_water_heating": (13,), "floor_warming": (5,), "storage_heating": (10,),
        "standard_circuits": (32, 32), "sockets_and_stationary": (5, 13), "ev_charge_point": (16,),
    }  # fmt: skip
    loads = tuple(load for purpose, each in purposes.items() for load in amps(*each, purpose=purpose))

    assert printed(judged({LOADS: loads}), "Ihouse") == pytest.approx(198.4)


def test_watts_become_amperes_by_hand():
    # 9200 W / 230 V = 40 A; over three lines 20700 / (3 x 230) = 30 A in each
    kettle = Load(name="shower", purpose="instantaneous_water_heating", power_w=measured(9200))
    pump = Load(name="pump", purpose="storage_heating", power_w=measured(20700), line="all")

    assert printed(judged({LOADS: (kettle,)}), "Iload_1") == pytest.approx(40)
    assert printed(judged({**THREE, LOADS: (pump,)}), "Ihouse_2") == pytest.approx(30)


def test_a_cut_out_known_as_a_range_is_judged_at_its_smallest():
    # 88 A of house and car: a 100 A fuse carries it, an 80 A one does not
    check = judged({CUTOUT: assumed(80, 100, "two fuses on one carrier")})
    assert (check.verdict, check.needs) == (Verdict.NOT_YET_KNOWN, (CUTOUT,))
    assert "the cut-out carries 80 A" in check.says
    assert judged({CUTOUT: assumed(88, 100, "two fuses on one carrier")}).verdict is Verdict.MET


@pytest.mark.parametrize(("house_a", "verdict"), [(68.0, Verdict.MET), (68.1, Verdict.NOT_MET)])
def test_turns_at_the_cut_out(house_a, verdict):
    assert judged({LOADS: amps(house_a)}).verdict is verdict


def test_tenths_that_add_up_exactly_are_not_refused():
    # 28.1 + 28.2 + 11.7 + 32 = 100.0 A
    assert judged({LOADS: amps(28.1, 28.2, 11.7)}).verdict is Verdict.MET


def test_asks_for_what_nobody_looked_at():
    assert judged({LOADS: None}).needs == (LOADS,)
    assert judged({CUTOUT: None}).needs == (CUTOUT,)
    assert judged({"installation.loads[1].current_a": None}).needs == ("installation.loads[1].current_a",)


def test_a_wide_load_is_asked_for_when_it_decides():
    # 60 to 80 A and a 32 A car on 100 A: 92 or 112 A
    check = judged({LOADS: amps(60), "installation.loads[0].current_a": assumed(60, 80, "two lives")})

    assert check.verdict is Verdict.NOT_YET_KNOWN
    assert check.needs == ("installation.loads[0].current_a",)
    assert "112.0 A" in check.says


def test_the_house_alone_beyond_the_cut_out_is_said_plainly():
    check = judged({LOADS: amps(101), **limiter(100)})

    assert check.verdict is Verdict.NOT_MET
    assert check.says == (
        "The house alone needs 101.0 A and the cut-out carries 100 A; limiting the car cannot mend that."
    )


def test_a_load_limit_holds_house_and_car_and_both_are_shown():
    # 90 + 32 = 122 A; max(90, min(122, 95)) = 95 A
    check = judged({LOADS: amps(90), **limiter(95)})

    assert check.verdict is Verdict.MET
    assert (printed(check, "Inew"), printed(check, "Iheld")) == (122, 95)
    assert "122.0 A" in check.says
    assert "95.0 A" in check.says


def test_a_load_limit_cannot_go_below_the_house():
    # max(90, min(122, 80)) = 90 A
    assert printed(judged({LOADS: amps(90), **limiter(80)}), "Iheld") == 90


@pytest.mark.parametrize(("fails_safe", "locked"), [(False, True), (True, False)])
def test_a_load_limit_that_fails_open_or_is_not_sealed_is_not_counted(fails_safe, locked):
    check = judged({LOADS: amps(90), **limiter(95, fails_safe, locked)})

    assert check.verdict is Verdict.NOT_MET
    assert "does not count" in check.says


@pytest.mark.parametrize(
    ("changes", "needs"),
    [
        ({f"{LIMIT}.fitted": None}, f"{LIMIT}.fitted"),
        (limiter(limit_a=None), f"{LIMIT}.limit_a"),
        (limiter(fails_safe=None), f"{LIMIT}.fails_safe"),
        (limiter(locked=None), f"{LIMIT}.locked_from_customer"),
    ],
)
def test_asks_about_the_limit_only_where_it_could_help(changes, needs):
    # 90 A and the car is too much without a limit; 56 A and the car is not; 101 A is too much whatever the limit
    assert judged({LOADS: amps(90), **changes}).needs == (needs,)
    assert judged(changes).verdict is Verdict.MET
    assert judged({LOADS: amps(101), **changes}).verdict is Verdict.NOT_MET


@pytest.mark.parametrize(
    ("known_by", "car_a", "verdict"),
    [
        ("seen by the operator", 32, Verdict.MET),
        ("mark on the carrier", 32, Verdict.NOT_YET_KNOWN),
        ("mark on the carrier", 63, Verdict.NOT_MET),
        ("guessed from its look", 63, Verdict.NOT_YET_KNOWN),
    ],
)
def test_a_rating_that_is_not_sure_settles_only_what_it_can(known_by, car_a, verdict):
    check = judged({"supply.cutout.rating_known_by": known_by, "charge_point.rated_a": car_a})

    assert check.verdict is verdict
    assert verdict is not Verdict.NOT_YET_KNOWN or check.needs == ("supply.cutout.rating_known_by",)


def test_three_phases_are_judged_by_the_worst_line():
    # L1 50; L2 40 + 32 = 72; L3 nothing
    loads = (*amps(50), *amps(40, line="L2"))
    check = judged({**THREE, LOADS: loads, "charge_point.line": "L2"})

    assert check.says == "House and car need 72.0 A on L2, the house alone 40.0 A; the cut-out carries 100 A."
    assert printed(check, "Ihouse_3") == 0
    assert printed(check, "Icar_1") == 0


def test_a_supply_of_one_phase_has_everything_on_it():
    # whatever lines the load and the car are said to be on: 20 + 32 = 52 A
    check = judged({LOADS: amps(20, line="L2"), "charge_point.line": "L3"})

    assert printed(check, "Inew") == 52


def test_a_three_phase_car_is_on_every_line():
    check = judged({**THREE, "charge_point.phases": 3, LOADS: amps(50, line="L3")})

    assert [printed(check, f"Inew_{line}") for line in (1, 2, 3)] == [32, 32, 82]


def test_a_one_phase_car_on_all_lines_is_asked_about():
    assert judged({**THREE, "charge_point.line": "all"}).needs == ("charge_point.line",)


def test_two_cooking_appliances_are_counted_each_by_itself():
    # 20 A each, one with a socket: (10 + 0.3 x 10) x 2 + 5 = 31 A, and the sheet says so
    loads = (Load(name="oven", purpose="cooking", current_a=measured(20)),
             Load(name="hob", purpose="cooking", current_a=measured(20), socket=True))  # fmt: skip
    check = judged({LOADS: loads})

    assert printed(check, "Ihouse") == pytest.approx(31)
    assert any("appliance" in step.formula for step in check.working)


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
    assert recorded({"storage.fitted": True}).verdict is Verdict.FOR_THE_DESIGNER
    assert recorded({"storage.fitted": None}).needs == ("storage.fitted",)


def counts(changes):
    return load_limit_counts(intake(changes))


@pytest.mark.parametrize(("limit_a", "verdict"), [(100.0, Verdict.MET), (100.5, Verdict.NOT_MET)])
def test_a_limit_counts_up_to_the_cut_out(limit_a, verdict):
    check = counts(limiter(limit_a))

    assert check.verdict is verdict
    assert f"set to {limit_a:g} A" in check.says
    assert "carries 100 A" in check.says


@pytest.mark.parametrize(("fails_safe", "locked", "word"), [(False, None, "fall back"), (None, False, "customer")])
def test_a_limit_that_fails_open_or_is_not_sealed_does_not_count(fails_safe, locked, word):
    check = counts(limiter(60, fails_safe, locked))

    assert check.verdict is Verdict.NOT_MET
    assert word in check.says


def test_no_limit_and_an_unknown_limit():
    assert counts({}).verdict is Verdict.DOES_NOT_APPLY
    assert counts({f"{LIMIT}.fitted": None}).needs == (f"{LIMIT}.fitted",)
    assert counts(limiter(None)).needs == (f"{LIMIT}.limit_a",)
    assert counts({**limiter(80), CUTOUT: assumed(60, 100, "photo")}).needs == (CUTOUT,)


def test_the_sheet_says_that_the_standard_sets_no_level_of_integrity():
    assert any("integrity" in step.formula for step in counts(limiter()).working)
