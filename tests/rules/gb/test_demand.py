"""Demand against the cut-out, by diversity."""

import pytest
from intake import amps, intake, limiter, printed

from ampwright.job.choices import Purpose
from ampwright.job.record import Load
from ampwright.reading import assumed, measured
from ampwright.rules.gb.demand import cutout_carries_demand
from ampwright.working import Verdict

LOADS, CUTOUT = "installation.loads", "supply.cutout.rating_a"
LIMIT = "charge_point.load_cap"
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


def test_a_load_cap_holds_house_and_car_and_both_are_shown():
    # 90 + 32 = 122 A; max(90, min(122, 95)) = 95 A
    check = judged({LOADS: amps(90), **limiter(95)})

    assert check.verdict is Verdict.MET
    assert (printed(check, "Inew"), printed(check, "Iheld")) == (122, 95)
    assert "122.0 A" in check.says
    assert "95.0 A" in check.says


def test_a_load_cap_cannot_go_below_the_house():
    # max(90, min(122, 80)) = 90 A
    assert printed(judged({LOADS: amps(90), **limiter(80)}), "Iheld") == 90


@pytest.mark.parametrize(("fails_safe", "locked"), [(False, True), (True, False)])
def test_a_load_cap_that_fails_open_or_is_not_sealed_is_not_counted(fails_safe, locked):
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


def test_a_cut_out_that_is_not_sound_stops_the_job():
    check = judged({"supply.cutout.sound": False, LOADS: None})

    assert check.verdict is Verdict.NOT_MET
    assert check.says == "The cut-out is not sound: stop and report it to the operator."
    assert check.cautions == ("supplier_seals",)


def test_a_heat_pump_has_no_diversity():
    # two of 14 A run for hours together: 28 A
    assert printed(judged({LOADS: amps(14, 14, purpose="heat_pump")}), "Ihouse") == 28
