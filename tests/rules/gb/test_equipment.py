"""Isolation, surges, weather and knocks."""

import pytest
from jobs import house

from ampwright.rules.gb.equipment import (
    enclosure_keeps_weather_out,
    enclosure_takes_knocks,
    isolation_provided,
    surge_protection_decided,
)
from ampwright.working import Verdict

MET, NOT_MET, OPEN = Verdict.MET, Verdict.NOT_MET, Verdict.NOT_YET_KNOWN
NOT_ASKED, JUDGE = Verdict.DOES_NOT_APPLY, Verdict.FOR_THE_DESIGNER
AT_BOARD = {"circuit.local_isolator": False}
SUN_ON_CIRCUIT = {"generation.on_charge_point_circuit": True}


@pytest.mark.parametrize(
    ("changes", "verdict", "needs"),
    [
        ({}, MET, ()),
        (AT_BOARD, MET, ()),
        (SUN_ON_CIRCUIT, MET, ()),
        ({**AT_BOARD, **SUN_ON_CIRCUIT}, NOT_MET, ()),
        ({**SUN_ON_CIRCUIT, "circuit.local_isolator": None}, OPEN, ("circuit.local_isolator",)),
        ({**AT_BOARD, "generation.on_charge_point_circuit": None}, OPEN, ("generation.on_charge_point_circuit",)),
        ({**AT_BOARD, "circuit.device.kind": None}, OPEN, ("circuit.device.kind",)),
        ({"circuit.local_isolator": None, "circuit.device.kind": None}, OPEN,
         ("circuit.local_isolator", "circuit.device.kind")),
        ({"storage.fitted": None}, OPEN, ("storage.fitted",)),
    ],
)  # fmt: skip
def test_isolation_provided(changes, verdict, needs):
    finding = isolation_provided(house(changes))
    assert (finding.verdict, finding.needs) == (verdict, needs)


@pytest.mark.parametrize(
    ("changes", "cautions"),
    [
        ({}, ("safe_isolation", "two_supplies")),
        ({"generation.fitted": False}, ("safe_isolation",)),
        ({"generation.fitted": False, "charge_point.sends_power_back": True}, ("safe_isolation", "two_supplies")),
        ({"supply.isolator": False}, ("safe_isolation", "two_supplies", "supplier_seals")),
        ({"supply.isolator": None}, ("safe_isolation", "two_supplies", "supplier_seals")),
    ],
)
def test_isolation_carries_the_cautions_of_this_house(changes, cautions):
    assert isolation_provided(house(changes)).cautions == cautions


def test_isolation_names_the_second_source_and_who_isolates():
    finding = isolation_provided(house({"supply.isolator": False}))
    assert "the generation must be isolated" in finding.says
    assert any("operator or supplier isolates" in step.formula for step in finding.working)


@pytest.mark.parametrize(
    ("fitted", "verdict", "needs"),
    [(True, MET, ()), (False, JUDGE, ()), (None, OPEN, ("installation.surge_protection",))],
)
def test_surge_protection_decided(fitted, verdict, needs):
    finding = surge_protection_decided(house({"installation.surge_protection": fitted}))
    assert (finding.verdict, finding.needs) == (verdict, needs)


def test_surge_protection_gives_both_sides():
    finding = surge_protection_decided(house({"installation.surge_protection": False}))
    text = " ".join(step.formula for step in finding.working)
    assert "what it guards" in text
    assert "may bear the risk, and says so in writing" in text


@pytest.mark.parametrize(
    ("code", "verdict"),
    # at least IP4X and IPX4
    [
        ("IP44", MET),
        ("IP54", MET),
        ("ip 65", MET),
        ("IP34", NOT_MET),
        ("IP43", NOT_MET),
        ("IPX3", NOT_MET),
        ("IPX4", OPEN),
        ("IP4X", OPEN),
        ("weatherproof", OPEN),
        (None, OPEN),
    ],
)
def test_enclosure_keeps_weather_out(code, verdict):
    finding = enclosure_keeps_weather_out(house({"charge_point.ip": code}))
    assert finding.verdict is verdict
    assert finding.needs == (("charge_point.ip",) if verdict is OPEN else ())


def test_weather_is_no_question_indoors():
    indoors = house({"charge_point.outdoors": False, "charge_point.ip": "IP20"})
    assert enclosure_keeps_weather_out(indoors).verdict is NOT_ASKED
    assert enclosure_keeps_weather_out(house({"charge_point.outdoors": None})).needs == ("charge_point.outdoors",)


def test_weather_says_both_codes():
    finding = enclosure_keeps_weather_out(house({"charge_point.ip": "IP43"}))
    assert finding.says == "The enclosure is IP43; IP44 or better is wanted out of doors."


@pytest.mark.parametrize(
    ("code", "guarded", "verdict", "needs"),
    # IK07, or a place or guard that keeps cars off
    [
        ("IK07", False, MET, ()),
        ("IK06", False, NOT_MET, ()),
        ("IK10", None, MET, ()),
        ("IK06", True, MET, ()),
        (None, True, MET, ()),
        ("IK06", None, OPEN, ("charge_point.guarded_from_knocks",)),
        (None, False, OPEN, ("charge_point.ik",)),
        ("tough", False, OPEN, ("charge_point.ik",)),
        (None, None, OPEN, ("charge_point.ik", "charge_point.guarded_from_knocks")),
    ],
)
def test_enclosure_takes_knocks(code, guarded, verdict, needs):
    finding = enclosure_takes_knocks(house({"charge_point.ik": code, "charge_point.guarded_from_knocks": guarded}))
    assert (finding.verdict, finding.needs) == (verdict, needs)


def test_knocks_say_both_codes():
    finding = enclosure_takes_knocks(house({"charge_point.ik": "IK06"}))
    assert finding.says == "The enclosure is IK06; IK07 or a guard is wanted."


@pytest.mark.parametrize(("poles", "verdict"), [(1, Verdict.FOR_THE_DESIGNER), (None, Verdict.FOR_THE_DESIGNER),
                                                (2, Verdict.MET)])  # fmt: skip
def test_on_an_electrode_the_neutral_must_be_cut_off_too(poles, verdict):
    job = {"supply.earthing": "TT", "circuit.local_isolator": False, "circuit.rcd.poles": poles}
    assert isolation_provided(house(job)).verdict is verdict
