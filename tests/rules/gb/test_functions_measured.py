"""What the charge point itself did under test: direct current, pilot, open PEN, lost sensor."""

import pytest
from jobs import house

from ampwright.job.record import PilotReading
from ampwright.reading import assumed, measured
from ampwright.rules.gb.measured import (
    dc_detection_in_time,
    load_cap_falls_back,
    open_pen_shown_working,
    pilot_offers_no_more,
    pilot_states_answered,
)
from ampwright.working import Verdict

MET, NOT_MET, OPEN = Verdict.MET, Verdict.NOT_MET, Verdict.NOT_YET_KNOWN
EVERY = [dc_detection_in_time, pilot_states_answered, pilot_offers_no_more, open_pen_shown_working, load_cap_falls_back]


RIGHT = tuple(PilotReading(state=state, output_live=state == "C") for state in ("A", "B", "C", "E"))


def pilot(**read):
    return house({"tests.pilot": (*RIGHT, PilotReading(**read))})


def duty(percent, rated_a=32.0):
    reading = PilotReading(state="C", duty_percent=measured(percent))
    return house({"tests.pilot": (reading,), "charge_point.rated_a": rated_a, "charge_point.set_a": None})


@pytest.mark.parametrize("rule", EVERY)
def test_before_the_work_there_is_nothing_to_judge(rule):
    assert rule(house()).verdict is Verdict.DOES_NOT_APPLY


# 10 s at 6 mA: IEC 62955, from memory
@pytest.mark.parametrize(
    ("reading", "verdict"), [(measured(10), MET), (measured(10.1), NOT_MET), (assumed(8, 12, "two tests"), OPEN)]
)
def test_direct_current_has_its_time(reading, verdict):
    assert dc_detection_in_time(house({"tests.dc_s": reading})).verdict is verdict


# 10 % is 6 A: duty-cycle table in a test adapter's manual (copy_duty_cycle). 16.7 % is 10 A, 25 % is 15 A, 50 % is 30 A
# and 90 % is 65 A: the table that IEC 61851-1 shares with SAE J1772, from memory.
@pytest.mark.parametrize(("percent", "amps"), [(10, 6), (25, 15), (50, 30), (90, 65)])
def test_duty_becomes_amperes_as_the_standard_has_it(percent, amps):
    icp = [step.value for step in pilot_offers_no_more(duty(percent)).working if step.symbol == "Icp"]
    assert icp == [pytest.approx(amps, abs=0.05)]


# By hand: 32 A / 0.6 = 53.33 %, and one per cent of the period more is allowed: 54.33 %
@pytest.mark.parametrize(("percent", "verdict"), [(53.3, MET), (54.3, MET), (54.4, NOT_MET),
                                                  (98, Verdict.FOR_THE_DESIGNER),
                                                  (5, Verdict.FOR_THE_DESIGNER)])  # fmt: skip
def test_more_than_the_circuit_was_designed_for_is_refused(percent, verdict):
    assert pilot_offers_no_more(duty(percent)).verdict is verdict


def test_the_duty_is_told_in_amperes():
    assert "53.3 % offers 32.0 A; the circuit was designed for 32 A" in pilot_offers_no_more(duty(53.3)).says


@pytest.mark.parametrize(
    ("state", "live", "verdict"),
    [("A", False, MET), ("A", True, NOT_MET), ("B", False, MET), ("B", True, NOT_MET), ("C", True, MET),
     ("C", False, NOT_MET), ("D", False, MET), ("D", True, Verdict.FOR_THE_DESIGNER), ("E", False, MET),
     ("E", True, NOT_MET)],
)  # fmt: skip
def test_power_flows_only_when_a_car_asks(state, live, verdict):
    assert pilot_states_answered(pilot(state=state, output_live=live)).verdict is verdict


# 12, 9 and 6 V: a test adapter's manual (copy_duty); a volt either way from memory
@pytest.mark.parametrize(("state", "volts", "verdict"), [("A", 12, MET), ("B", 9, MET), ("B", 10.1, NOT_MET),
                                                         ("C", 6, MET), ("C", 4.9, NOT_MET)])  # fmt: skip
def test_the_pilot_has_its_volts(state, volts, verdict):
    assert pilot_states_answered(pilot(state=state, high_v=measured(volts))).verdict is verdict


def test_a_state_that_was_not_tried_leaves_it_open():
    finding = pilot_states_answered(house({"tests.pilot": RIGHT[:3]}))
    assert (finding.verdict, finding.needs) == (OPEN, ("tests.pilot",))
    assert "still to be seen in state E" in finding.says


def test_a_live_output_without_a_car_says_isolate():
    finding = pilot_states_answered(pilot(state="A", output_live=True))
    assert finding.says == "In state A the output was live. Isolate it and do not leave it in use."
    assert finding.cautions == ("safe_isolation",)


@pytest.mark.parametrize(("works", "verdict"), [(True, MET), (False, NOT_MET)])
def test_the_open_pen_protection_works_or_not(works, verdict):
    assert open_pen_shown_working(house({"tests.open_pen_works": works})).verdict is verdict


def lost(left_a, took_s, fallback_a=6.0):
    return house({"tests.lead_off_a": left_a, "tests.lead_off_s": took_s,
                  "charge_point.load_cap.fallback_a": fallback_a})  # fmt: skip


# 60 s is the longest time to restore a limit: EREC G100 as one operator tells it (copy_g100)
@pytest.mark.parametrize(
    ("left_a", "took_s", "fallback_a", "verdict"),
    [(measured(6), measured(60), 6.0, MET), (measured(6.1), measured(5), 6.0, NOT_MET),
     (measured(0), measured(61), 6.0, NOT_MET), (measured(0), measured(5), None, OPEN),
     (measured(0), None, 6.0, OPEN), (assumed(5, 7, "unsteady"), measured(5), 6.0, OPEN)],
)  # fmt: skip
def test_a_lost_sensor_brings_the_car_down(left_a, took_s, fallback_a, verdict):
    assert load_cap_falls_back(lost(left_a, took_s, fallback_a)).verdict is verdict
