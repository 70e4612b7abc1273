"""Where checks turn: against closed forms worked by hand, and as the rules themselves answer."""

import math
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jobs import house

from ampwright.assess.book import BOOK
from ampwright.assess.turning import Turning, among, as_field, scanned, turning_values
from ampwright.job.paths import replaced
from ampwright.reading import assumed, measured
from ampwright.working import Verdict

GARDEN = "route[1].length_m"
RODS: dict[str, Any] = {
    "circuit.earthed_by": "own electrode", "electrode.fitted": True, "electrode.rods_count": 3,
    "electrode.rod_length_m": measured(2.4), "electrode.rod_diameter_mm": 14.2, "electrode.spacing_m": measured(2.4),
    "electrode.soil_ohm_m": measured(100),
}  # fmt: skip


def turned(rule: str, path: str, changes: dict[str, Any] | None = None) -> Turning:
    found = turning_values(house({path: None, **(changes or {})}), BOOK.regulation(rule), path)
    assert found is not None
    return found


def verdicts(turning: Turning) -> list[Verdict]:
    return [each.verdict for each in turning.stretches]


def test_voltage_drop_turns_at_the_length_worked_by_hand():
    # 5 % of 230 V is 11.5 V. BS 7671 Tables 4D5 and 4E4B: 7.3 mV/A/m for 6 mm2 flat, 7.9 for 6 mm2 at 90 deg C.
    # 32 A x (7.3 x 5 + 7.9 x (L + 3)) / 1000 = 11.5 V, so L = (359.375 - 36.5) / 7.9 - 3 = 37.87025... m
    found = turned("voltage_drop", GARDEN)
    assert verdicts(found) == [Verdict.MET, Verdict.NOT_MET]
    assert found.stretches[0].high == pytest.approx((11.5 / 32 * 1000 - 5 * 7.3) / 7.9 - 3, rel=1e-13)


def test_zs_turns_at_the_length_worked_by_hand():
    # BS 7671 Table 41.3: 0.68 ohm for a 32 A type C. IEC 60228: 3.08 and 7.41 ohm/km at 20 deg C for 6 and 2.5 mm2.
    # Flat, 5 m at 70 deg C: 0.005 x (3.08 + 7.41) x (1 + 0.00393 x 50). Line of the armoured at 90 deg C; its armour,
    # 7.0 ohm/km by BS 5467, 10 K cooler, steel 0.0045 per K. Ze 0.2 ohm. Without an RCD the device must clear it.
    flat_ohm = 0.005 * (3.08 + 7.41) * (1 + 0.00393 * 50)
    armoured_ohm_per_m = (3.08 * (1 + 0.00393 * 70) + 7.0 * (1 + 0.0045 * 60)) / 1000
    found = turned("disconnection_in_time", GARDEN, {"circuit.device.curve": "C", "circuit.rcd.fitted": False})
    assert verdicts(found) == [Verdict.MET, Verdict.NOT_MET]
    by_hand_m = (0.68 - 0.2 - flat_ohm) / armoured_ohm_per_m - 3
    assert found.stretches[0].high == pytest.approx(by_hand_m, rel=1e-12)


def test_an_electrode_turns_at_50_v_over_the_residual_current():
    # BS 7671 411.5.3: RA x Idn <= 50 V, so 50 / 0.03 = 1666.66... ohm; above 200 ohm it may not be stable (Table 41.5)
    found = turned("rcd_fault_protection_tt", "electrode.measured_ohm", RODS)
    asked, met, judged, failed = found.stretches
    assert (asked.low, asked.high, asked.verdict) == (0, 0, Verdict.NOT_YET_KNOWN)
    assert (met.high, met.verdict) == (200, Verdict.MET)
    assert judged.verdict is Verdict.FOR_THE_DESIGNER
    assert judged.high == pytest.approx(50 / 0.03, rel=1e-13)
    assert failed.verdict is Verdict.NOT_MET


def test_the_cutout_turns_at_the_demand_worked_by_hand():
    # On-Site Guide Table A2: lighting 0.66 x 6 A, cooker 10 A + 0.3 x 20 A, largest ring 32 A, and the car 32 A
    # in full: 3.96 + 16 + 32 + 32 = 83.96 A
    found = turned("cutout_carries_demand", "supply.cutout.rating_a")
    assert verdicts(found) == [Verdict.NOT_MET, Verdict.MET]
    assert found.stretches[1].low == pytest.approx(83.96, rel=1e-10)


def test_a_count_turns_between_two_whole_numbers():
    # BS 7671 Table 4D5: 6 mm2 clipped direct carries 47 A; Table 4C1, bunched: 3 circuits 0.70, 4 circuits 0.65.
    # 47 x 0.70 = 32.9 A carries the 32 A device, 47 x 0.65 = 30.55 A does not
    found = turned("cable_carries_device_rating", "route[0].circuits_together_count",
                   {"route[0].arrangement": "bunched"})  # fmt: skip
    assert tuple(found.stretches[0]) == (1, 3, Verdict.MET)
    assert (found.stretches[1].low, found.stretches[1].verdict) == (4, Verdict.NOT_MET)


def test_rods_go_by_whole_numbers_of_their_closed_list():
    found = turned("rcd_fault_protection_tt", "electrode.rods_count", {**RODS, "electrode.soil_ohm_m": measured(900)})
    assert verdicts(found) == [Verdict.FOR_THE_DESIGNER, Verdict.MET]
    assert (found.stretches[0].low, found.stretches[1].high) == (1, 10)
    assert found.stretches[1].low == found.stretches[0].high + 1


def test_sizes_are_those_that_are_made():
    # 32 A x (7.3 x 5 + m x 20 + 7.9 x 3) / 1000 <= 11.5 V wants m <= 14.96; BS 7671 Table 4E4B: 12 for 4 mm2,
    # 19 for 2.5 mm2
    found = turned("voltage_drop", "route[1].cable.size_mm2")
    met = next(each for each in found.stretches if each.verdict is Verdict.MET)
    assert met.low == 4.0
    assert found.verdict_at(2.5) is Verdict.NOT_MET
    with pytest.raises(ValueError, match=r"3\.7 is not among"):
        found.verdict_at(3.7)


def test_words_have_an_answer_each():
    found = turned("supply_earth_kept_off", "circuit.earthed_by")
    assert found.stretches == ()
    assert [each.value for each in found.answers] == ["supply", "own electrode"]
    assert found.verdict_at("supply") is Verdict.DOES_NOT_APPLY


def test_a_range_is_tried_within_itself_and_the_other_ranges_stay_at_their_worst():
    # with up to 20 m of wall the garden may be 37.870 + 3 - 20 = 20.870 m; with 1 m, 39.870 m
    found = turned("voltage_drop", GARDEN, {GARDEN: assumed(15, 45), "route[2].length_m": assumed(1, 20)})
    assert verdicts(found) == [Verdict.MET, Verdict.NOT_YET_KNOWN, Verdict.NOT_MET]
    longest_m = (11.5 / 32 * 1000 - 5 * 7.3) / 7.9
    assert found.stretches[0].low == 15
    assert found.stretches[0].high == pytest.approx(longest_m - 20, rel=1e-12)
    assert found.stretches[1].high == pytest.approx(longest_m - 1, rel=1e-12)
    assert found.stretches[2].high == 45


@pytest.mark.parametrize("path", ["title", "date", "installation.loads", "site.address", "route[0].through",
                                  "installation.half_hourly.months", "route"])  # fmt: skip
def test_what_cannot_be_tried_has_no_turning_value(path):
    assert turning_values(house(), BOOK.regulation("voltage_drop"), path) is None


CASES: list[tuple[str, str, float, dict[str, Any]]] = [
    ("voltage_drop", GARDEN, 200, {"route[2].length_m": assumed(1, 20)}),
    ("disconnection_in_time", "supply.ze_ohm", 3, {"circuit.rcd.fitted": False}),
    ("cable_carries_device_rating", "route[0].ambient_c", 80, {}),
    ("cable_carries_device_rating", "route[0].insulation_mm", 600, {}),
    ("cable_carries_device_rating", "route[1].circuits_together_count", 40, {}),
    ("rcd_fault_protection_tt", "electrode.soil_ohm_m", 20000, RODS),
    ("cutout_carries_demand", "installation.loads[1].current_a", 200, {}),
    ("simultaneous_contact", "charge_point.other_earth_within_m", 9, RODS),
]


@pytest.mark.parametrize(("rule", "path", "most", "changes"), CASES)
@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_the_stretches_leave_no_gap_and_say_what_the_rule_says(rule, path, most, changes, data):
    ends = data.draw(st.tuples(st.floats(1, most), st.floats(1, most)).map(sorted))
    job = house({**changes, path: assumed(*ends)})
    judge = BOOK.regulation(rule)
    found = turning_values(job, judge, path)
    assert found is not None
    values = among(path, *ends)
    assert (found.stretches[0].low, found.stretches[-1].high) == ((values[0], values[-1]) if values else tuple(ends))
    for left, right in pairwise(found.stretches):
        assert right.low == (left.high + 1 if values else math.nextafter(left.high, math.inf))
        assert left.verdict is not right.verdict
    for each in found.stretches:
        tried = data.draw(st.sampled_from(values) if values else st.floats(*ends))
        for value, verdict in ((tried, found.verdict_at(tried)), (each.low, each.verdict), (each.high, each.verdict)):
            assert judge(replaced(job, path, as_field(path, value))).verdict is verdict


@given(st.floats(-1e3, 1e3), st.floats(1e-3, 1e3), st.floats(0, 1))
def test_a_step_is_found_to_the_last_float(low, width, share):
    high = low + width
    step = min(max(low + share * width, math.nextafter(low, math.inf)), high)
    below, above = scanned(lambda value: value >= step, low, high)
    assert (below.low, above.low, above.high) == (low, step, high)
    assert below.high == math.nextafter(step, -math.inf)


def test_two_steps_between_two_points_of_the_grid_are_both_found():
    found = scanned(lambda value: (value > 40.0001) + (value > 40.0002), 0, 1000)
    assert [each.high for each in found] == [40.0001, 40.0002, 1000]


def test_a_step_at_nought_is_found():
    assert scanned(lambda value: value > 0, 0, 1e6)[0].high == 0
