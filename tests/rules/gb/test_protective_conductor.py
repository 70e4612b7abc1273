"""The protective conductor under fault, by equation, by energy class and by table; and the device itself."""

import pytest
from jobs import house

from ampwright.reading import assumed, measured
from ampwright.rules.gb.protective_conductor import (
    armour_as_protective_conductor,
    device_breaking_capacity,
    let_through_energy,
    protective_conductor_size,
)
from ampwright.working import Verdict

SHORT = {f"route[{number}].length_m": measured(0) for number in range(3)}
NO_RCD = {"circuit.rcd.fitted": False}


def shown(finding):
    return {step.symbol: step.value for step in finding.working}


def test_size_agrees_with_the_sum_done_by_hand():
    finding = protective_conductor_size(house())
    # Zs 0.557554 ohm (see test_shock): 230 / 0.557554 = 412.5 A; sqrt(412.5^2 x 0.1) / 115 = 1.134 mm2 of 2.5 mm2,
    # and of armour at k 46: 2.836 mm2 of 22 mm2
    assert shown(finding)["If"] == pytest.approx(412.52, abs=0.01)
    assert shown(finding)["Smin_1"] == pytest.approx(1.1344, abs=1e-4)
    assert shown(finding)["Smin_2"] == pytest.approx(2.8359, abs=1e-4)
    assert finding.verdict is Verdict.MET
    assert finding.says == "indoors is weakest: a fault calls for 1.14 mm², and it has 2.5 mm²."


@pytest.mark.parametrize(("cpc_mm2", "verdict"), [(1.5, Verdict.MET), (1.0, Verdict.NOT_MET)])
def test_size_turns_at_what_the_fault_calls_for(cpc_mm2, verdict):
    # at 0.5 ohm 460 A: sqrt(460^2 x 0.1) / 115 = 1.265 mm2
    job = house({**SHORT, "supply.ze_ohm": measured(0.5), "route[0].cable.cpc_mm2": cpc_mm2})
    assert protective_conductor_size(job).verdict is verdict


def test_a_circuit_breaker_is_judged_at_the_larger_current_too():
    job = house({**SHORT, "supply.ze_ohm": assumed(0.5, 1.2, "typical"), "route[0].cable.cpc_mm2": 1.0})
    finding = protective_conductor_size(job)
    # 1.2 ohm: 191.7 A, 0.527 mm2, enough; 0.5 ohm: 1.265 mm2, not
    assert (finding.verdict, finding.needs) == (Verdict.NOT_YET_KNOWN, ("supply.ze_ohm",))
    assert shown(finding)["Smin_1"] == pytest.approx(1.265, abs=0.001)


def test_a_fuse_is_read_off_its_curve_at_the_least_current():
    fused = {**SHORT, "supply.ze_ohm": measured(1.2), "circuit.device.kind": "bs88_3"}
    finding = protective_conductor_size(house(fused))
    # 0.95 x 230 / 1.2 = 182.08 A between 137 A in 5 s and 240 A in 0.4 s; on log paper
    # ln(182.08/137) / ln(240/137) = 0.28448 / 0.56067 = 0.50739; t = 5 x 0.08^0.50739 = 1.3880 s
    # sqrt(182.08^2 x 1.388) / 115 = 1.865 mm2
    assert shown(finding)["t"] == pytest.approx(1.388, abs=0.002)
    assert shown(finding)["Smin_1"] == pytest.approx(1.865, abs=0.002)
    assert finding.verdict is Verdict.MET


def test_a_fault_too_small_for_the_device_is_left_to_the_rcd_or_to_the_designer():
    small = {**SHORT, "supply.ze_ohm": measured(2)}
    finding = protective_conductor_size(house(small))
    # 115 A is below 160 A; the RCD may take 300 ms: sqrt(115^2 x 0.3) / 115 = 0.548 mm2
    assert shown(finding)["Smin_1"] == pytest.approx(0.5477, abs=1e-4)
    assert protective_conductor_size(house({**small, **NO_RCD})).verdict is Verdict.FOR_THE_DESIGNER
    wide = house({**small, **NO_RCD, "supply.ze_ohm": assumed(0.5, 2, "typical")})
    assert protective_conductor_size(wide).needs == ("supply.ze_ohm",)
    assert "At the other end of the survey" in protective_conductor_size(wide).says


def test_core_and_armour_together_are_judged_by_the_core():
    both = {"route[1].cable.cpc": "core and armour", "route[1].cable.cores_count": 3}
    finding = protective_conductor_size(house(both))
    assert shown(finding)["S_2"] == 6
    assert any("carried the whole fault" in step.formula for step in finding.working)


@pytest.mark.parametrize(
    ("changes", "verdict"),
    # k2S2 of the 2.5 mm2 core: (115 x 2.5)^2 = 82656 A2s. Class 3 B32: 45000 at 6 kA, 90000 at 10 kA; class 2: 130000
    [
        ({}, Verdict.MET),
        ({"circuit.device.breaking_ka": 10.0}, Verdict.FOR_THE_DESIGNER),
        ({"circuit.device.energy_class": 2}, Verdict.FOR_THE_DESIGNER),
        ({"circuit.device.curve": "D"}, Verdict.FOR_THE_DESIGNER),
        ({"circuit.device.rating_a": 50.0}, Verdict.FOR_THE_DESIGNER),
        ({"circuit.device.kind": "bs88_3"}, Verdict.FOR_THE_DESIGNER),
        ({"circuit.device.energy_class": None}, Verdict.NOT_YET_KNOWN),
        ({"route[0].cable.cpc": None}, Verdict.NOT_YET_KNOWN),
    ],
)
def test_let_through_energy_against_its_class(changes, verdict):
    assert let_through_energy(house(changes)).verdict is verdict


def test_let_through_energy_shows_both_figures_and_sends_to_the_maker():
    finding = let_through_energy(house())
    # armour: (46 x 22)^2 = 1024144 A2s
    assert shown(finding)["k2S2_1"] == pytest.approx(82656.25)
    assert shown(finding)["k2S2_2"] == pytest.approx(1024144)
    assert finding.says.endswith("may let 45000 A²s through at 6 kA; indoors stands 82656 A²s.")
    assert "use the maker's I²t curve" in let_through_energy(house({"circuit.device.curve": "D"})).says


def test_armour_agrees_with_the_table_and_the_equation_by_hand():
    finding = armour_as_protective_conductor(house())
    # 143 / 46 x 6 = 18.65 mm2 by Table 54.7; by the equation 2.84 mm2; the armour of a 2-core 6 mm2 has 22 mm2
    assert shown(finding)["S54_2"] == pytest.approx(18.652, abs=0.001)
    assert finding.verdict is Verdict.MET
    assert finding.says.startswith("under the garden: by the table 18.7 mm² of steel is wanted, by calculation 2.9 mm²")


def test_armour_that_fails_the_table_may_pass_by_calculation():
    # 2-core 10 mm2: 143 / 46 x 10 = 31.09 mm2 by the table, 26 mm2 there is
    bigger = {f"route[{number}].cable.size_mm2": 10.0 for number in (1, 2)}
    finding = armour_as_protective_conductor(house(bigger))
    assert shown(finding)["S54_2"] == pytest.approx(31.087, abs=0.001)
    assert finding.verdict is Verdict.MET
    uncleared = house({**bigger, **NO_RCD, "supply.ze_ohm": measured(2)})
    assert armour_as_protective_conductor(uncleared).verdict is Verdict.NOT_MET
    assert "no size can be shown" in armour_as_protective_conductor(uncleared).says


def test_armour_above_16_mm2_has_a_fixed_size_in_the_table():
    # 25 mm2 line: 16 mm2 of copper, 143 / 46 x 16 = 49.74 mm2
    bigger = {f"route[{number}].cable.size_mm2": 25.0 for number in (1, 2)}
    assert shown(armour_as_protective_conductor(house(bigger)))["S54_2"] == pytest.approx(49.739, abs=0.001)


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [
        ({"route[1].cable.cpc": "core", "route[2].cable.cpc": "core"}, Verdict.DOES_NOT_APPLY),
        ({"route[1].cable.cores_count": None}, Verdict.NOT_YET_KNOWN),
        ({"route[1].cable.cores_count": 5}, Verdict.FOR_THE_DESIGNER),
    ],
)
def test_armour_is_asked_only_where_it_serves(changes, verdict):
    assert armour_as_protective_conductor(house(changes)).verdict is verdict


@pytest.mark.parametrize(
    ("changes", "verdict"),
    # 6 kA alone; to 16 kA with the board's own devices behind a cartridge fuse of 100 A or less
    [
        ({"supply.pfc_ka": measured(6)}, Verdict.MET),
        ({"supply.pfc_ka": measured(6.1)}, Verdict.MET),
        ({"supply.pfc_ka": measured(16.1)}, Verdict.NOT_MET),
        ({"supply.pfc_ka": measured(6.1), "installation.board_withstand_ka": 6.0}, Verdict.NOT_MET),
        ({"supply.pfc_ka": measured(6.1), "supply.cutout.kind": "bs3036"}, Verdict.NOT_MET),
        ({"supply.pfc_ka": measured(6.1), "supply.cutout.rating_a": measured(125)}, Verdict.NOT_MET),
    ],
)
def test_breaking_capacity_turns_at_the_device_and_at_the_board(changes, verdict):
    assert device_breaking_capacity(house(changes)).verdict is verdict


def test_breaking_capacity_shows_both_and_asks_for_the_board():
    finding = device_breaking_capacity(house({"supply.pfc_ka": measured(8)}))
    assert finding.says.startswith("8.00 kA may flow at the board; the device breaks 6 kA. Behind a cartridge fuse")
    assert shown(finding)["Icond"] == 16
    asked = device_breaking_capacity(house({"supply.pfc_ka": measured(8), "installation.board_withstand_ka": None}))
    assert (asked.verdict, asked.needs) == (Verdict.NOT_YET_KNOWN, ("installation.board_withstand_ka",))
    wide = device_breaking_capacity(house({"supply.pfc_ka": assumed(1, 16.1, "near a substation")}))
    assert (wide.verdict, wide.needs) == (Verdict.NOT_YET_KNOWN, ("supply.pfc_ka",))
    assert finding.cautions == ("supplier_seals", "live_test")
