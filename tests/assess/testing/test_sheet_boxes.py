"""The test sheet: order, expected values, limits, verdicts, and what follows a failure."""

import datetime
from dataclasses import replace

import pytest
from jobs import house

from ampwright.assess.book import BOOK
from ampwright.assess.testing import expected
from ampwright.assess.testing.order import order
from ampwright.assess.testing.sheet import Limit, sheet
from ampwright.job.paths import changed
from ampwright.job.record import Cable, Instrument, PilotReading, Section
from ampwright.reading import Reading, assumed, measured
from ampwright.rules.regulation import seen
from ampwright.working import Verdict

YES_OR_NO = ("tests.isolation_proved", "tests.rcd_button_works", "tests.connector_locks")
AT_20 = {"tests.conductors_c": measured(20)}
B32 = {"circuit.device.kind": "mcb", "circuit.device.curve": "B", "circuit.device.rating_a": 32.0}


def flat(size_mm2, length_m, changes=None):
    cable = Cable(kind="flat_twin_and_earth", size_mm2=size_mm2, cpc="core")
    return replace(house({**AT_20, **B32, **(changes or {})}),
                   route=(Section(name="run", cable=cable, length_m=measured(length_m), method="C"),))  # fmt: skip


def box(job, name):
    return next(each for each in sheet(job).boxes if each.test.id == name)


def test_dead_comes_before_live_and_live_before_the_charge_point():
    stages = [each.stage for each in order()]
    assert stages == sorted(stages, key=["dead", "live", "charge point"].index)
    assert order()[0].id == "isolate"


def test_every_row_stands_on_a_rule_of_the_book_and_repeats_tests_that_there_are():
    names, ids = {each.name for each in BOOK.regulations}, [each.id for each in order()]
    for row in order():
        assert row.rule in names or (row.rule == "" and row.path in YES_OR_NO)
        assert set(row.repeat) <= set(ids)
        assert row.id in row.repeat
        assert all(ids.index(each) <= ids.index(row.id) for each in row.repeat)


# WE10: Guide to the Wiring Regulations, appendix 4, Table 4.3, 50 m of flat cable at 20 C, printed to two decimals
@pytest.mark.parametrize(("size_mm2", "ohm"), [(1.5, 1.51), (2.5, 0.98), (4, 0.84), (6, 0.52), (10, 0.32), (16, 0.211)])
def test_the_expected_r1_and_r2_are_those_printed(size_mm2, ohm):
    should = expected.r1r2(flat(size_mm2, 50))
    assert should.low == should.high == pytest.approx(ohm, abs=0.006)


# WE09: a training thread, 22 m of 2.5/1.5 mm2, 0.163 + 0.266 = 0.429 ohm
def test_the_expected_r1_and_r2_of_the_training_thread():
    assert expected.r1r2(flat(2.5, 22)).high == pytest.approx(0.429, abs=0.001)


# By hand: 0.429 x (1 + 0.00393 x (10 - 20)) = 0.4123
def test_the_expected_value_is_at_the_stated_temperature():
    assert expected.r1r2(flat(2.5, 22, {"tests.conductors_c": measured(10)})).high == pytest.approx(0.4123, abs=0.001)


def test_without_a_temperature_the_expected_value_is_a_span_that_says_why():
    should = expected.r1r2(flat(6, 50, {"tests.conductors_c": None}))
    assert seen(should.low) < 0.5245 < seen(should.high)
    assert "temperature not read" in should.basis


# WE26: 1.37 ohm for a 32 A type B (Table 41.3); 0.8 of it is 1.096 cold, and Ze takes 0.35 of that
def test_the_limits_are_those_of_the_rules():
    job = flat(6, 20, {"supply.ze_ohm": measured(0.35)})
    assert box(job, "zs").limit.value == pytest.approx(1.096)
    assert box(job, "r1r2").limit.value == pytest.approx(0.746)
    assert (box(job, "insulation").limit.value, box(job, "dc").limit.value) == (1, 10)
    assert box(house({"circuit.rcd.delayed": False}), "rcd").limit.value == 300


# WE17: a forum thread gives 50 V / 30 mA = 1667 ohm for a TT electrode (Table 41.5)
def test_the_electrode_has_its_limit():
    job = house({"circuit.earthed_by": "own electrode", "electrode.fitted": True, "circuit.rcd.fitted": True,
                 "circuit.rcd.idn_ma": 30.0, "circuit.rcd.delayed": False})  # fmt: skip
    assert box(job, "electrode").limit.value == pytest.approx(1666.7, abs=0.1)
    assert "zs" not in [each.test.id for each in sheet(job).boxes]


def test_zs_is_reckoned_from_the_dead_test_so_that_nobody_works_live():
    found = box(flat(6, 20, {"supply.ze_ohm": measured(0.3), "tests.r1r2_ohm": measured(0.21)}), "zs")
    assert found.by_calculation
    assert found.reading.high == pytest.approx(0.51)
    assert found.check.verdict is Verdict.MET


def test_r1_and_r2_is_judged_by_the_loop_that_it_makes():
    job = flat(6, 60, {"supply.ze_ohm": measured(0.35), "circuit.rcd.fitted": False,
                       "installation.upstream_rcd.fitted": False})  # fmt: skip
    assert box(replace(job, tests=replace(job.tests, r1r2_ohm=measured(0.74))), "r1r2").check.verdict is Verdict.MET
    failed = box(replace(job, tests=replace(job.tests, r1r2_ohm=measured(0.76))), "r1r2")
    assert failed.check.verdict is Verdict.NOT_MET
    assert failed.repeat == ("Continuity of the protective conductor: R1 + R2",)


def test_after_wrong_polarity_the_dead_tests_are_repeated():
    titles = [each.title for each in order() if each.id in ("r1r2", "insulation", "polarity")]
    assert list(box(house({"tests.polarity_right": False}), "polarity").repeat) == titles
    assert sheet(house({"tests.polarity_right": False})).exit_status == 1


# By hand: 230 V / 0.2 ohm = 1.15 kA
def test_the_fault_current_is_that_of_ze():
    assert expected.pfc(house({"supply.ze_ohm": measured(0.2)})).high == pytest.approx(1.15)


# 32 A is 53.3 % and 16 A is 26.7 %: IEC 61851-1, 0.6 A a per cent, from memory
@pytest.mark.parametrize(("amps", "percent"), [(32, 53.33), (16, 26.67), (6, 10)])
def test_the_duty_cycle_of_the_design_current(amps, percent):
    should = expected.duty(house({"charge_point.rated_a": float(amps), "charge_point.set_a": None}))
    assert should.low == pytest.approx(percent, abs=0.01)


def test_what_the_job_has_not_is_not_tested():
    ids = [each.test.id for each in sheet(house({"charge_point.load_cap.fitted": False,
                                                 "charge_point.dc_detection": False})).boxes]  # fmt: skip
    assert not {"electrode", "lost_sensor", "dc"} & set(ids)


def test_a_limit_that_waits_says_for_what():
    found = box(house({"circuit.rcd.fitted": True, "circuit.rcd.delayed": None}), "rcd")
    assert found.limit == Limit(None, ("circuit.rcd.delayed",))


def test_an_instrument_out_of_calibration_is_said():
    day = datetime.date(2026, 5, 4)
    stale = Instrument(name="multifunction tester", serial="0001", calibration_due=day - datetime.timedelta(days=1))
    found = sheet(house({"tests.instruments": (stale, Instrument(name="adapter")), "tests.date": day}))
    assert "ran out on 2026-05-03" in found.faults[0]
    assert found.faults[1:] == ("adapter: its serial number is not stated.",
                                "adapter: no date of calibration is stated.")  # fmt: skip


def test_a_whole_sheet_that_passes_says_so():
    pilot = (PilotReading(state="A", output_live=False), PilotReading(state="B", output_live=False),
             PilotReading(state="C", output_live=True, duty_percent=measured(53.3)),
             PilotReading(state="E", output_live=False))  # fmt: skip
    job = flat(6, 20, {
        "supply.ze_ohm": measured(0.2), "supply.pfc_ka": measured(1.15), "tests.r1r2_ohm": measured(0.21),
        "tests.insulation_megohm": measured(500), "tests.polarity_right": True, "tests.rcd_ms": measured(28),
        "tests.dc_s": measured(2), "tests.pilot": pilot, "tests.open_pen_works": True, "circuit.rcd.delayed": False,
        "tests.isolation_proved": True, "tests.rcd_button_works": True, "tests.connector_locks": True,
        "tests.lead_off_a": measured(0), "tests.lead_off_s": measured(9), "charge_point.load_cap.fallback_a": 6.0,
    })  # fmt: skip
    found = sheet(job)
    assert [each.test.id for each in found.boxes if each.check and each.check.verdict is not Verdict.MET] == []
    assert found.exit_status == 0
    for path in YES_OR_NO:
        assert sheet(changed(job, {path: None})).exit_status == 2
        assert sheet(changed(job, {path: False})).exit_status == 1


def test_what_no_rule_judges_is_done_or_not_and_is_done_again_where_it_failed():
    pressed = box(house({"tests.rcd_button_works": False}), "rcd_button")
    assert (pressed.reading, pressed.failed, pressed.repeat) == (False, True, ("RCD: test button",))
    assert not box(house({"tests.rcd_button_works": True}), "rcd_button").failed
    assert not box(house({"tests.rcd_button_works": None}), "rcd_button").failed


def test_a_range_that_may_fail_is_not_a_pass():
    assert sheet(house({"tests.insulation_megohm": assumed(0.5, 200, "two tests")})).exit_status == 2


@pytest.mark.parametrize(("known", "read"), [
    (assumed(0.1, 0.35, "the operator's usual figure"), False), (measured(0.21), True),
    (Reading(0.2, 0.22, "two readings", with_what="loop tester"), True)])  # fmt: skip
def test_what_the_survey_supposes_is_no_result_of_a_test(known, read):
    found = box(house({"supply.ze_ohm": known}), "ze")
    assert (found.reading, found.supposed) == ((known, None) if read else (None, known))
    assert found.check is not None
    assert found.check.verdict is Verdict.MET
