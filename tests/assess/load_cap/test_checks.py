"""The answers on the cap: what stands, what is lowered, what cannot be had."""

import pytest
from intake import amps
from situations import GRID, LIMIT, capped

from ampwright.assess.load_cap.checks import (
    cap_by_its_errors,
    fuse_under_attack,
    fuse_with_every_load,
    house_alone,
    parts_with_sources,
    tails_under_attack,
)
from ampwright.assess.load_cap.reckoning import at_cap, largest_car_a, longest_watchdog_s, worst_line
from ampwright.assess.load_cap.report import report
from ampwright.assess.load_cap.signal import fallback_current
from ampwright.assess.load_cap.supply import LIMITS
from ampwright.facts import constant
from ampwright.job.record import HalfHourly, Load
from ampwright.reading import WORST, assumed, measured
from ampwright.rules.regulation import seen
from ampwright.working import Verdict

CUTOUT, LOADS = "supply.cutout.rating_a", "installation.loads"
EIGHTY = {CUTOUT: measured(80), "supply.cutout.sustained_a": 80.0}


def printed(check, symbol):
    return [step.value for step in check.working if step.symbol == symbol][-1]


@pytest.mark.parametrize(("loads_a", "verdict"), [((60, 40), Verdict.MET), ((60, 40.5), Verdict.NOT_MET)])
def test_the_house_alone(loads_a, verdict):
    check = house_alone(capped({}, *loads_a))
    assert check.verdict is verdict
    assert ("limiting the car cannot mend that" in check.says) == (verdict is Verdict.NOT_MET)


def test_the_house_alone_on_three_lines_names_the_worst():
    loads = (*amps(30.0, line="L1"), *amps(85.0, line="L2"))
    job = capped({**EIGHTY, LOADS: loads, "supply.phases": 3, "charge_point.phases": 3, "charge_point.line": "all"})
    assert "85.0 A on L2" in house_alone(job).says


def test_a_house_of_a_range_is_open():
    job = capped({LOADS: (Load(name="hob", purpose="thermostatic_water_heating", current_a=assumed(90, 110)),)})
    assert house_alone(job).verdict is Verdict.NOT_YET_KNOWN
    assert house_alone(job).needs == ("installation.loads[0].current_a",)


def test_common_practice_stands():
    # common practice, no source: 95 A on a 100 A supply by wire
    check = fuse_under_attack(capped())
    assert check.verdict is Verdict.MET
    assert "no more than 95 A" in check.says


def test_the_proof_of_the_fuse_by_hand():
    # 70 A of house and 32 A of car: 102 A on 80 A; 10 s x (215 / 102)^2 = 44.4 s from cold
    check = fuse_under_attack(capped(EIGHTY, 50.0, 20.0))
    assert printed(check, "Ipeak") == 102
    assert printed(check, "Inf") == 100
    assert printed(check, "tmelt") == pytest.approx(44.43, abs=0.01)


def test_a_cap_that_does_not_stand_is_lowered_and_said_so():
    job = capped({**EIGHTY, f"{LIMIT}.limit_a": 74.0}, 54.0, 20.0)
    line = worst_line(job, True)
    check = fuse_under_attack(job)
    assert line.by_errors_a == 76
    assert line.stands_a is not None
    assert line.stands_a < 74
    assert line.proved is not None
    assert line.proved.warmed_ratio <= constant("gb/load_cap_limits", "warmed_most").value
    assert "76 A, right by its errors, does not stand: it was lowered." in check.says
    assert check.verdict is Verdict.NOT_MET  # it is set to 74 A
    assert cap_by_its_errors(job).verdict is Verdict.MET


def test_one_ampere_more_would_not_stand():
    job = capped(EIGHTY, 54.0, 20.0)
    line = worst_line(job, True)
    assert line.stands_a is not None
    above = at_cap(job, line, line.stands_a + 1, WORST).proved
    assert above is not None
    assert not above.stands


def test_where_none_stands_it_says_what_would():
    job = capped({**EIGHTY, f"{LIMIT}.watchdog_s": 60.0}, 54.0, 20.0)
    check = fuse_under_attack(job)
    assert check.verdict is Verdict.NOT_MET
    assert "No load cap stands as this is set" in check.says
    assert tails_under_attack(job).verdict is Verdict.NOT_MET
    assert fuse_with_every_load(job).verdict is Verdict.DOES_NOT_APPLY


def test_a_smaller_car_or_no_fallback_is_a_way_out():
    sixty = {CUTOUT: measured(60), "supply.cutout.sustained_a": 60.0, f"{LIMIT}.fallback_a": 16.0}
    line = worst_line(capped(sixty, 35.0, 20.0), True)
    says = fuse_under_attack(capped(sixty, 35.0, 20.0)).says
    largest_a = largest_car_a(line, 56.0)
    assert largest_a is not None
    assert f"56 A would stand with the charge point set to no more than {largest_a} A" in says
    set_lower = {**sixty, "charge_point.set_a": float(largest_a), "charge_point.set_locked_from_customer": True}
    assert worst_line(capped(set_lower, 35.0, 20.0), True).stands_a == 56
    stops = {**EIGHTY, f"{LIMIT}.fallback_a": 32.0, f"{LIMIT}.watchdog_s": 20.0}
    says = fuse_under_attack(capped(stops, 72.0)).says
    assert "with a fallback current of 0 A and a watchdog of no more than" in says


def test_the_longest_watchdog_is_the_turning_point():
    job = capped({**EIGHTY, f"{LIMIT}.watchdog_s": 60.0}, 52.0, 20.0)
    line = worst_line(job, True)
    longest_s = longest_watchdog_s(line, 76.0)
    assert longest_s is not None
    says = fuse_under_attack(job).says
    assert f"76 A would stand with a watchdog of no more than {longest_s} s" in says
    at_it = worst_line(capped({**EIGHTY, f"{LIMIT}.watchdog_s": float(longest_s)}, 52.0, 20.0), True)
    beyond = worst_line(capped({**EIGHTY, f"{LIMIT}.watchdog_s": longest_s + 1.0}, 52.0, 20.0), True)
    assert at_it.stands_a == 76
    assert beyond.stands_a != 76


def test_one_that_does_not_fall_back_never_stands():
    # 90 A of house and 32 A of car for ever: 122 A, and the tails carry 114 A
    check = fuse_under_attack(capped({f"{LIMIT}.fails_safe": False}, 90.0))
    assert check.verdict is Verdict.NOT_MET
    assert "does not fall back" in check.says


@pytest.mark.parametrize("kind", ["bs1361", "bs3036"])
def test_a_fuse_without_gates_is_for_the_designer(kind):
    check = fuse_under_attack(capped({"supply.cutout.kind": kind}))
    assert check.verdict is Verdict.FOR_THE_DESIGNER
    assert check.says.startswith("No standard gates")


def test_the_tails_stay_cool():
    check = tails_under_attack(capped())
    assert check.verdict is Verdict.MET
    # 92 A (60 + 32) for ever on 114 A: 30 + 40 x (92/114)^2, resistance counted: 54.3 C
    assert "settle at 55 °C" in check.says


def test_every_load_at_once_is_said_plainly():
    check = fuse_with_every_load(capped({LOADS: (
        Load(name="shower", purpose="instantaneous_water_heating", current_a=measured(40)),
        Load(name="cooker", purpose="cooking", current_a=measured(30)),
        Load(name="ring", purpose="standard_circuits", current_a=measured(32)),
    )}))  # fmt: skip
    assert printed(check, "Iall") == 102
    assert "All at once they come to 102.0 A, more than the supply may carry" in check.says


def test_a_house_that_its_loads_cannot_make_large_holds_with_every_load():
    check = fuse_with_every_load(capped({}, 30.0, 10.0))
    assert check.verdict is Verdict.MET
    assert "All at once" not in check.says


def test_on_three_lines_the_one_nearest_to_harm_is_told():
    loads = (*amps(20.0, line="L1"), *amps(70.0, line="L2"))
    job = capped({**EIGHTY, LOADS: loads, "supply.phases": 3, "charge_point.phases": 3, "charge_point.line": "all",
                  "sensors": tuple(GRID for _ in range(1)), "sensors[0].line": "all"})  # fmt: skip
    assert worst_line(job, True).limit.line == "L2"


def test_a_line_without_a_sensor_is_blind():
    job = capped({"supply.phases": 3, "charge_point.phases": 3, "charge_point.line": "all", "sensors": (GRID,)})
    for question in (cap_by_its_errors, fuse_under_attack, tails_under_attack, parts_with_sources):
        assert question(job).verdict is Verdict.NOT_MET
        assert "No sensor watches the supply on L2 and L3" in question(job).says


@pytest.mark.parametrize(("solar_a", "verdict"), [(0.5, Verdict.MET), (1.0, Verdict.FOR_THE_DESIGNER)])
def test_sources_on_top_of_the_cap(solar_a, verdict):
    # (95 + 0.5 + 1) / 0.97 = 99.48 A and the solar, on a main switch of 100 A
    check = parts_with_sources(capped({"generation.fitted": True, "generation.inverter_a": measured(solar_a)}))
    assert check.verdict is verdict
    assert parts_with_sources(capped()).verdict is Verdict.DOES_NOT_APPLY


@pytest.mark.parametrize("question", [fuse_under_attack, tails_under_attack, fuse_with_every_load])
@pytest.mark.parametrize("name", ["fails_safe", "fallback_a", "watchdog_s", "response_s", "message_every_s"])
def test_asks_for_what_is_missing(question, name):
    check = question(capped({f"{LIMIT}.{name}": None}))
    assert check.verdict is Verdict.NOT_YET_KNOWN
    assert f"{LIMIT}.{name}" in check.needs


def test_a_guessed_cutout_leaves_it_open():
    job = capped({"supply.cutout.rating_known_by": "guessed from its look"})
    assert fuse_under_attack(job).verdict is Verdict.NOT_YET_KNOWN


def test_a_year_of_readings_that_shows_more_counts():
    # 5.75 kWh in a half hour is 50 A at 230 V; with the largest load of 40 A on top 90 A, where diversity has
    # 40 + 0.4 x (32 + 32) = 65.6 A; the car takes 32 A
    year = HalfHourly(highest_kwh=5.75, days_count=365, missing_count=0, months=tuple(range(1, 13)))
    loads = tuple(Load(name=f"ring {each}", purpose="standard_circuits", current_a=measured(each))
                  for each in (40, 32, 32))  # fmt: skip
    assert printed(fuse_under_attack(capped({LOADS: loads})), "Ipeak") == pytest.approx(97.6)
    shown = capped({LOADS: loads, "installation.half_hourly": year})
    assert printed(fuse_under_attack(shown), "Ipeak") == pytest.approx(122)
    assert "The house alone needs 90.0 A" in house_alone(shown).says
    assert "The house alone needs 65.6 A" in house_alone(capped({LOADS: loads})).says
    back = {f"{LIMIT}.fallback_a": 16.0, LOADS: loads}  # 16 A on 90 A is more than 100 A, on 65.6 A it is not
    assert fallback_current(capped(back)).verdict is Verdict.MET
    assert fallback_current(capped({**back, "installation.half_hourly": year})).verdict is Verdict.NOT_MET


def test_while_the_house_alone_is_too_much_no_way_out_is_offered():
    job = capped({f"{LIMIT}.watchdog_s": 120.0, f"{LIMIT}.response_s": 60.0, **EIGHTY}, 70.0, 50.0)
    assert house_alone(job).verdict is Verdict.NOT_MET
    says = fuse_under_attack(job).says
    assert says == "No load cap stands: the house alone is more than the supply may carry."


def test_a_setting_below_the_house_stops_the_car_and_that_is_said():
    says = house_alone(capped({f"{LIMIT}.limit_a": 38.0}, 60.0)).says
    assert "more than the 38 A that is set: the car then gets nothing" in says


def test_a_rating_without_gates_takes_those_of_the_next_smaller():
    # 60 A is not listed: 125 A for 10 s of the 50 A fuse (IEC 60269-1 table 3, from memory), and 1.25 x 60 = 75 A
    check = fuse_under_attack(capped({CUTOUT: measured(60), "supply.cutout.sustained_a": 60.0}, 20.0))
    assert printed(check, "Igate") == 125
    assert printed(check, "Inf") == 75


def test_thin_tails_lower_a_cap_that_the_fuse_would_bear():
    # 16 mm2 clipped: 82 A by its errors; the fuse comes to half its melting, the copper past 70 C
    job = capped({"supply.tails.size_mm2": measured(16)})
    check, line = fuse_under_attack(job), worst_line(job, True)
    tried = seen(at_cap(job, line, 82.0, WORST).proved)
    assert tried.warmed_ratio < constant(LIMITS, "warmed_most").value
    assert tried.hottest_c > 70
    assert "82 A, right by its errors, does not stand: it was lowered" in check.says
    assert line.stands_a is not None
    assert seen(at_cap(job, line, line.stands_a, WORST).proved).hottest_c <= 70
    assert seen(at_cap(job, line, line.stands_a + 1, WORST).proved).hottest_c > 70


def test_a_smaller_main_switch_sets_the_limit():
    # 63 A: (59 + 0.5 + 1) / 0.97 = 62.37 A; with 60 A set 63.4 A
    says = cap_by_its_errors(capped({"installation.main_switch_a": measured(63)}, 20.0)).says
    assert "59 A shown can be at most 62.4 A true; 63.0 A may, by the main switch" in says


def test_a_battery_that_may_charge_is_a_load_of_the_attack():
    # loads 30 A and the battery 16 A: 46 A of house, 78 A with the car
    battery = {"storage.fitted": True, "storage.inverter_a": measured(16), "storage.charges_from_supply": True}
    assert printed(fuse_under_attack(capped(battery, 30.0)), "Ipeak") == pytest.approx(78)
    from_roof = {**battery, "storage.charges_from_supply": False}
    assert printed(fuse_under_attack(capped(from_roof, 30.0)), "Ipeak") == pytest.approx(62)
    unsaid = {**battery, "storage.charges_from_supply": None}
    assert fuse_under_attack(capped(unsaid, 30.0)).needs == ("storage.charges_from_supply",)


def test_a_fallback_below_what_a_car_can_be_told_counts_as_six():
    # IEC 61851-1: a car is offered 6 A or nothing
    for set_a, counted_a in ((0.0, 0.0), (3.0, 6.0), (6.0, 6.0), (10.0, 10.0)):
        situation = worst_line(capped({f"{LIMIT}.fallback_a": set_a}), True).situation
        assert situation is not None
        assert situation.fallback_a == counted_a


def test_more_than_the_supply_may_carry_all_at_once_is_for_the_designer():
    loads = (Load(name="shower", purpose="instantaneous_water_heating", current_a=measured(40)),
             Load(name="cooker", purpose="cooking", current_a=measured(45)),
             Load(name="sockets", purpose="standard_circuits", current_a=measured(32)),
             Load(name="more sockets", purpose="standard_circuits", current_a=measured(16)))  # fmt: skip
    job = capped({LOADS: loads, "charge_point.rated_a": 16})
    check = fuse_with_every_load(job)
    assert check.verdict is Verdict.FOR_THE_DESIGNER
    assert "All at once they come to 133.0 A, more than the supply may carry" in check.says
    assert report(job, attacked=False).house_within_a is not None
