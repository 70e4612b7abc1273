"""The labels that a job leaves behind."""

import pytest
from jobs import house

from ampwright.rules.gb.labels import labels_to_fix
from ampwright.working import Verdict

PLAIN = {"generation.fitted": False, "charge_point.open_pen": "none"}
LIMIT = {"charge_point.load_cap.fitted": True, "charge_point.load_cap.limit_a": 80.0}
OWN = {"circuit.earthed_by": "own electrode", "electrode.fitted": True}


def labels(changes):
    finding = labels_to_fix(house(changes))
    assert finding.verdict is Verdict.MET
    return [(step.under, step.formula) for step in finding.working]


@pytest.mark.parametrize(
    ("changes", "count"),
    # By hand. Plain: main switch, chart, circuit, next inspection, RCD test, earth terminal, isolation place: 7.
    # A second supply adds 2, a load cap 2, a detector 1; an own electrode adds its earth label and its warning.
    [
        (PLAIN, 7),
        ({**PLAIN, "circuit.rcd.fitted": False}, 6),
        ({**PLAIN, "generation.fitted": True}, 9),
        ({**PLAIN, "storage.fitted": True}, 9),
        ({**PLAIN, "charge_point.sends_power_back": True}, 9),
        ({**PLAIN, **LIMIT}, 9),
        ({**PLAIN, "charge_point.open_pen": "voltage window"}, 8),
        ({**PLAIN, **OWN}, 9),
        ({**PLAIN, **OWN, "charge_point.open_pen": None}, 9),
    ],
)
def test_labels_are_a_computed_list(changes, count):
    assert len(labels(changes)) == count
    assert labels_to_fix(house(changes)).says.startswith(f"{count} labels: ")


def test_the_limit_stands_on_its_notices_in_two_places():
    found = [place for place, words in labels({**PLAIN, **LIMIT}) if "held to 80 A" in words]
    assert found == ["At the board", "At the meter and cut-out"]


def test_the_detector_is_named():
    assert ("At the charge point", "Protected against a broken neutral by: measuring electrode") in labels({})


@pytest.mark.parametrize(
    ("changes", "needs"),
    [
        ({"generation.fitted": None}, ("generation.fitted",)),
        ({"storage.fitted": None}, ("storage.fitted",)),
        ({"electrode.fitted": None}, ("electrode.fitted",)),
        ({"charge_point.load_cap.fitted": None}, ("charge_point.load_cap.fitted",)),
        ({**LIMIT, "charge_point.load_cap.limit_a": None}, ("charge_point.load_cap.limit_a",)),
        ({"charge_point.open_pen": None}, ("charge_point.open_pen",)),
        ({"supply.earthing": None}, ("supply.earthing",)),
        ({"supply.earthing": "TT", "circuit.earthed_by": None}, ("circuit.earthed_by",)),
        ({"circuit.rcd.fitted": None}, ("circuit.rcd.fitted",)),
        ({**PLAIN, "charge_point.sends_power_back": None}, ("charge_point.sends_power_back",)),
    ],
)
def test_labels_ask_for_what_decides_them(changes, needs):
    finding = labels_to_fix(house(changes))
    assert (finding.verdict, finding.needs) == (Verdict.NOT_YET_KNOWN, needs)
