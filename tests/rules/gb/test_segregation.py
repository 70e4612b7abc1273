"""Data cable beside the mains, after the conditions of 528.1 as a trade book prints them ("Segregating circuits"):
every cable or every core insulated for the highest voltage present, or an earthed screen between, or a compartment or
conduit of its own."""

import pytest
from jobs import house

from ampwright.job.record import Sensor
from ampwright.rules.gb.segregation import data_kept_apart
from ampwright.working import Verdict

WIRED = (Sensor(name="grid", watches="grid", link="wired"),)
RADIO = (Sensor(name="grid", watches="grid", link="radio"),)
INSIDE = {"carries_data": "cable.carries_data", "beside": "enclosure.data_beside",
          "stands": "enclosure.data_withstands_mains", "method": "method"}  # fmt: skip
NONE = {"sensors": RADIO, "route[1].cable.carries_data": False, "route[2].cable.carries_data": False}


def judged(sensors=RADIO, **changes):
    changed = {f"route[0].{INSIDE[name]}": value for name, value in changes.items()}
    return data_kept_apart(house({**NONE, "sensors": sensors, **changed}))


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [
        ({"carries_data": True, "stands": True}, Verdict.MET),
        ({"carries_data": True, "stands": False}, Verdict.NOT_MET),
        ({"carries_data": True, "stands": None}, Verdict.FOR_THE_DESIGNER),
        ({"beside": "in the same space", "stands": True}, Verdict.MET),
        ({"beside": "in the same space", "stands": False}, Verdict.NOT_MET),
        ({"beside": "in the same space", "stands": None}, Verdict.NOT_YET_KNOWN),
        ({"beside": "in a space of its own", "stands": False}, Verdict.MET),
        ({"beside": "none"}, Verdict.DOES_NOT_APPLY),
    ],
)
def test_together_only_where_the_data_cable_is_made_for_it(changes, verdict):
    assert judged(**{"carries_data": False, **changes}).verdict is verdict


def test_says_which_stretch_and_what_to_do():
    says = judged(carries_data=False, beside="in the same space", stands=False).says
    assert "in the same conduit or trunking as the mains and is not made for the mains voltage" in says
    assert "Give it a conduit or a space of its own" in says


def test_one_bad_stretch_settles_it_whatever_else_is_unknown():
    assert judged(WIRED, carries_data=True, stands=False, method="B", beside=None).verdict is Verdict.NOT_MET


def test_a_wired_sensor_makes_it_ask_and_a_radio_does_not():
    asked = judged(WIRED, carries_data=None, method="B")
    assert asked.needs == ("route[0].cable.carries_data", "route[0].enclosure.data_beside")
    assert judged(RADIO, carries_data=None, method="B").verdict is Verdict.DOES_NOT_APPLY
    assert judged(WIRED, carries_data=False, method="C").verdict is Verdict.DOES_NOT_APPLY
