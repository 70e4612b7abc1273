"""Cable and the open air (BS 7671 522.3, 522.6, 522.11; common practice: no source but the clause, from memory)."""

import pytest
from jobs import house

from ampwright.rules.gb.influences import cable_stands_weather, concealed_cable_guarded
from ampwright.working import Verdict


def judged(**changes):
    job = house({f"route[0].{path}": value for path, value in changes.items()})
    return cable_stands_weather(job)


def test_flat_cable_on_an_outside_wall_is_not_met_and_says_which():
    finding = judged(outdoors=True)

    assert finding.verdict is Verdict.NOT_MET
    assert finding.says.startswith("Flat twin and earth (indoors) runs out of doors")


@pytest.mark.parametrize(("method", "verdict"), [("B", Verdict.FOR_THE_DESIGNER), ("A", Verdict.FOR_THE_DESIGNER),
                                                 ("E", Verdict.NOT_MET)])  # fmt: skip
def test_conduit_shelters_it_if_a_person_sees_to_the_conduit(method, verdict):
    assert judged(outdoors=True, method=method).verdict is verdict


def test_armoured_cable_needs_no_answer():
    job = house({"route[0].cable.kind": "armoured_90c", "route[0].outdoors": None, "route[2].outdoors": None})

    assert cable_stands_weather(job).verdict is Verdict.MET


def test_asks_only_where_cable_without_armour_lies_in_air():
    assert judged(outdoors=None).needs == ("route[0].outdoors",)
    assert judged(outdoors=True, method=None).needs == ("route[0].method",)
    assert judged(outdoors=False).verdict is Verdict.DOES_NOT_APPLY
    assert judged(outdoors=None, method="D").verdict is Verdict.DOES_NOT_APPLY


@pytest.mark.parametrize(
    ("changes", "verdict"),
    # 522.6.202 and 415.1.1, from memory: 30 mA at once, where it sees the cable; one in the charge point does not
    [({}, Verdict.MET), ({"circuit.rcd.idn_ma": 100}, Verdict.FOR_THE_DESIGNER),
     ({"circuit.rcd.delayed": True}, Verdict.FOR_THE_DESIGNER),
     ({"circuit.rcd.fitted": False, "charge_point.rcd.fitted": True, "charge_point.rcd.idn_ma": 30},
      Verdict.FOR_THE_DESIGNER),
     ({"circuit.rcd.fitted": None}, Verdict.NOT_YET_KNOWN), ({"route[0].method": "C"}, Verdict.DOES_NOT_APPLY)],
)  # fmt: skip
def test_cable_hidden_in_a_wall_wants_an_rcd_that_sees_it(changes, verdict):
    assert concealed_cable_guarded(house({"route[0].method": "102", **changes})).verdict is verdict
