"""The earth of a charge point out of doors, and what a broken neutral puts on the car."""

import pytest
from jobs import house

from ampwright.reading import assumed, measured
from ampwright.rules.gb.earthing import (
    electrode_instead_of_open_pen,
    electrode_resistance_stable,
    open_pen_provision,
    simultaneous_contact,
    touch_voltage_open_pen,
)
from ampwright.working import Verdict

MET, NOT_MET, OPEN = Verdict.MET, Verdict.NOT_MET, Verdict.NOT_YET_KNOWN
NOT_ASKED, JUDGE = Verdict.DOES_NOT_APPLY, Verdict.FOR_THE_DESIGNER
NONE = {"charge_point.open_pen": "none"}
OWN = {"circuit.earthed_by": "own electrode", "electrode.fitted": True}
CAR_ALONE = {**NONE, "installation.loads": None, "electrode.fitted": True}


def rod(ohm):
    return {"electrode.fitted": True, "electrode.measured_ohm": ohm}


def values(finding):
    return {step.symbol: step.value for step in finding.working if step.symbol}


@pytest.mark.parametrize(
    ("changes", "verdict", "needs"),
    [
        ({}, MET, ()),
        ({"charge_point.open_pen": "separate device"}, MET, ()),
        ({"charge_point.open_pen": "voltage window"}, MET, ()),
        ({"charge_point.open_pen": "voltage window", "supply.phases": 3}, JUDGE, ()),
        ({"charge_point.open_pen": "voltage window", "supply.phases": None}, OPEN, ("supply.phases",)),
        ({"charge_point.open_pen": "star point"}, NOT_MET, ()),
        ({"charge_point.open_pen": "star point", "supply.phases": None}, OPEN, ("supply.phases",)),
        ({"charge_point.open_pen": "star point", "supply.phases": 3}, JUDGE, ()),
        ({"charge_point.open_pen": "star point", "supply.phases": 3, "charge_point.phases": 3}, MET, ()),
        ({"charge_point.open_pen": "star point", "supply.phases": 3, "charge_point.phases": None}, OPEN,
         ("charge_point.phases",)),
        (NONE, NOT_MET, ()),
        ({**NONE, "electrode.fitted": None}, OPEN, ("electrode.fitted",)),
        ({"charge_point.open_pen": None}, OPEN, ("charge_point.open_pen",)),
        ({"supply.earthing": None}, OPEN, ("supply.earthing",)),
        ({"charge_point.outdoors": None}, OPEN, ("charge_point.outdoors",)),
        ({"supply.declared_v": 400.0}, OPEN, ("supply.declared_v",)),
        ({**NONE, "charge_point.outdoors": False}, JUDGE, ()),
        ({"charge_point.open_pen": None, "charge_point.outdoors": False}, JUDGE, ()),
        ({"charge_point.outdoors": False}, NOT_ASKED, ()),
        ({**NONE, "supply.earthing": "TT"}, NOT_ASKED, ()),
        ({**NONE, **OWN}, NOT_ASKED, ()),
    ],
)  # fmt: skip
def test_open_pen_provision(changes, verdict, needs):
    finding = open_pen_provision(house(changes))
    assert (finding.verdict, finding.needs) == (verdict, needs)


def test_provision_shows_the_limits_and_what_to_verify():
    finding = open_pen_provision(house())
    # 722.411.4.1(iii) as seen in the copies named in the table: 70 V, 5 s, 4 s
    assert values(finding) == {"Umax": 70, "tmax": 5, "tpass": 4}
    assert any("cannot be closed again" in step.formula for step in finding.working)
    assert "Above 70 V it must act within 5 s" in finding.says


def test_without_a_device_all_of_the_voltage_stands_on_the_car():
    finding = open_pen_provision(house(NONE))
    assert "up to 230 V on the car's metalwork; the limit is 70 V" in finding.says


def test_tn_s_counts_as_pme_unless_the_operator_says_otherwise():
    finding = open_pen_provision(house({**NONE, "supply.earthing": "TN-S"}))
    assert finding.verdict is Verdict.FOR_THE_DESIGNER
    assert "counts as PME unless the operator confirms" in finding.says
    assert "TN-S" not in open_pen_provision(house(NONE)).says


def test_a_window_on_one_of_three_lines_is_blind_to_127_v():
    # By hand: the PEN goes along the side from L1 to L2, 253 V from L1. The side's middle is 115 V from the star
    # point and 199.19 V from L1, so the PEN is 53.81 V past it: sqrt(115^2 + 53.81^2) = 126.97 V. A scan of the
    # whole triangle by a second program found 126 V (research notes).
    finding = open_pen_provision(house({"charge_point.open_pen": "voltage window", "supply.phases": 3}))
    assert values(finding)["Ublind"] == pytest.approx(126.97, abs=0.01)
    assert "127 V may stand on the car unseen" in finding.says


def test_the_electrode_that_it_would_take():
    # House: 0.66 x 6 + (10 + 0.3 x 20) + 32 = 51.96 A, car 32 A: 83.96 A.
    # 70 x 230 / (83.96 x 160) = 1.198 ohm; at 253 V 70 x 230 / (83.96 x 183) = 1.048 ohm
    finding = electrode_instead_of_open_pen(house(NONE))
    assert values(finding)["Ipen"] == pytest.approx(83.96)
    assert values(finding)["RAmax"] == pytest.approx(1.1985, abs=1e-4)
    assert values(finding)["RAtop"] == pytest.approx(1.0479, abs=1e-4)
    assert finding.verdict is JUDGE
    assert "1.19 ohm or less: more than 10 usual rods" in finding.says


def test_in_wet_clay_two_rods_might_do_by_calculation():
    # 2 ohm m: one rod 71.58 x 2 / 100 = 1.432 ohm, above 1.198. Two, 2.4 m apart: a = 2 / (2 pi 1.432 2.4) = 0.0926,
    # 1.432 x 1.0926 / 2 = 0.782 ohm
    finding = electrode_instead_of_open_pen(house({**NONE, "electrode.soil_ohm_m": measured(2)}))
    assert values(finding)["Rn"] == pytest.approx(0.782, abs=0.001)
    assert "2 usual rods by calculation" in finding.says
    assert "buried_services" in finding.cautions


@pytest.mark.parametrize(
    ("ohm", "verdict"),
    # turning points by hand: 1.0479 ohm at the highest supply, 1.1985 ohm at the declared one
    [
        (measured(1.047), MET),
        (measured(1.049), JUDGE),
        (measured(1.198), JUDGE),
        (measured(1.199), NOT_MET),
        (assumed(0.9, 1.5), OPEN),
        (assumed(1.2, 1.5), NOT_MET),
    ],
)
def test_an_electrode_at_the_house_turns_at_its_limit(ohm, verdict):
    job = house({**NONE, **rod(ohm)})
    finding = electrode_instead_of_open_pen(job)
    assert finding.verdict is verdict
    assert touch_voltage_open_pen(job).verdict is verdict
    assert open_pen_provision(job).verdict is verdict
    assert finding.needs == (("electrode.measured_ohm",) if verdict is OPEN else ())


def test_a_range_of_loads_leaves_it_open():
    # without the sockets 51.96 A flow: 70 x 230 / (51.96 x 183) = 1.693 ohm may be
    changes = {**NONE, **rod(measured(1.2)), "installation.loads[2].current_a": assumed(0, 32)}
    finding = electrode_instead_of_open_pen(house(changes))
    assert (finding.verdict, finding.needs) == (OPEN, ("installation.loads[2].current_a",))


def test_with_the_car_alone_it_is_refused_but_never_passed():
    # 32 A: 3.14 ohm (research notes, by the formula of annex A722)
    high = electrode_instead_of_open_pen(house({**CAR_ALONE, "electrode.measured_ohm": measured(3.15)}))
    assert values(high)["RAmax"] == pytest.approx(3.1445, abs=1e-3)
    assert high.verdict is NOT_MET
    low = electrode_instead_of_open_pen(house({**CAR_ALONE, "electrode.measured_ohm": measured(1)}))
    assert (low.verdict, low.needs) == (OPEN, ("installation.loads",))


@pytest.mark.parametrize("rule", [electrode_instead_of_open_pen, touch_voltage_open_pen])
@pytest.mark.parametrize(
    ("changes", "verdict", "needs"),
    [
        ({}, NOT_ASKED, ()),
        ({**NONE, **OWN}, NOT_ASKED, ()),
        ({**NONE, "electrode.fitted": None}, OPEN, ("electrode.fitted",)),
        ({"charge_point.open_pen": None}, OPEN, ("charge_point.open_pen",)),
        ({**NONE, **rod(measured(1)), "charge_point.rated_a": None}, OPEN, ("charge_point.rated_a",)),
    ],
)
def test_the_electrode_is_asked_about_only_without_a_device(rule, changes, verdict, needs):
    finding = rule(house(changes))
    assert (finding.verdict, finding.needs) == (verdict, needs)


@pytest.mark.parametrize(
    ("ohm", "volts"),
    # one phase, 7.4 kW: the research notes' table, checked there against pandapower (32.17 A at 230 V)
    [(1, 28.2), (2, 50.3), (5, 94.7), (10, 134.1), (20, 169.4)],
)
def test_touch_voltage_agrees_with_the_notes(ohm, volts):
    changes = {**CAR_ALONE, "electrode.measured_ohm": measured(ohm), "charge_point.rated_a": 7400 / 230}
    finding = touch_voltage_open_pen(house(changes))
    assert values(finding)["Utouch"] == pytest.approx(volts, abs=0.06)


def test_touch_voltage_says_both_numbers():
    # 230 x 2 / (2 + 230 / 83.96) = 97.06 V
    finding = touch_voltage_open_pen(house({**NONE, **rod(measured(2))}))
    assert finding.says == "97.1 V would stand on the car; 70 V may."
    assert finding.verdict is NOT_MET


def test_without_any_electrode_the_touch_voltage_is_the_whole():
    finding = touch_voltage_open_pen(house(NONE))
    assert (finding.verdict, values(finding)["Utouch"]) == (NOT_MET, 230)


def test_on_three_phases_the_heaviest_line_alone_counts():
    # all loads and the car on L1: the same 83.96 A as on one phase
    finding = electrode_instead_of_open_pen(house({**NONE, **rod(measured(1)), "supply.phases": 3}))
    assert values(finding)["Ipen"] == pytest.approx(83.96)
    assert any("L1 alone draws" in step.formula for step in finding.working)


@pytest.mark.parametrize(
    ("changes", "verdict", "needs"),
    # Table 41.5 note: above 200 ohm an electrode may not be stable
    [
        ({**OWN, "electrode.measured_ohm": measured(200)}, MET, ()),
        ({**OWN, "electrode.measured_ohm": measured(200.1)}, JUDGE, ()),
        ({**OWN, "electrode.measured_ohm": assumed(150, 250)}, OPEN, ("electrode.measured_ohm",)),
        ({**OWN}, OPEN, ("electrode.measured_ohm", "electrode.rods_count", "electrode.rod_length_m",
                         "electrode.rod_diameter_mm", "electrode.soil_ohm_m", "electrode.spacing_m")),
        ({"circuit.earthed_by": None}, OPEN, ("circuit.earthed_by",)),
        ({"circuit.earthed_by": "own electrode"}, NOT_ASKED, ()),
        ({"circuit.earthed_by": "own electrode", "electrode.fitted": None, "electrode.measured_ohm": measured(100)},
         OPEN, ("electrode.fitted",)),
        ({}, NOT_ASKED, ()),
    ],
)  # fmt: skip
def test_electrode_resistance_stable(changes, verdict, needs):
    finding = electrode_resistance_stable(house(changes))
    assert (finding.verdict, finding.needs) == (verdict, needs)


def test_a_calculated_electrode_is_said_to_be_calculated():
    # 1.2 m x 16 mm in 100 to 300 ohm m: 71.6 to 214.7 ohm
    job = house({**OWN, "electrode.rods_count": 1, "electrode.rod_length_m": measured(1.2),
                 "electrode.rod_diameter_mm": 16.0, "electrode.soil_ohm_m": assumed(100, 300)})  # fmt: skip
    finding = electrode_resistance_stable(job)
    assert (finding.verdict, finding.needs) == (OPEN, ("electrode.soil_ohm_m",))
    assert "The electrode is 215 ohm; above 200 ohm it may not be stable. That is by calculation" in finding.says


@pytest.mark.parametrize(
    ("changes", "verdict", "needs"),
    # arm's reach 2.5 m
    [
        ({**OWN, "charge_point.other_earth_within_m": measured(2.5)}, MET, ()),
        ({**OWN, "charge_point.other_earth_within_m": measured(2.49)}, NOT_MET, ()),
        ({**OWN, "charge_point.other_earth_within_m": assumed(2, 4)}, OPEN, ("charge_point.other_earth_within_m",)),
        ({**OWN, "charge_point.other_earth_within_m": None}, OPEN, ("charge_point.other_earth_within_m",)),
        ({"circuit.earthed_by": None}, OPEN, ("circuit.earthed_by",)),
        ({"charge_point.other_earth_within_m": measured(0.5)}, NOT_ASKED, ()),
    ],
)
def test_simultaneous_contact(changes, verdict, needs):
    finding = simultaneous_contact(house(changes))
    assert (finding.verdict, finding.needs) == (verdict, needs)


def test_simultaneous_contact_says_both_numbers():
    finding = simultaneous_contact(house({**OWN, "charge_point.other_earth_within_m": measured(1.2)}))
    assert finding.says == "Metal of the house's earth is 1.20 m off; an arm reaches 2.5 m."
