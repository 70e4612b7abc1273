"""Solar or a battery on the charge point's circuit: what the cable must carry then, and that it may not stay there."""

import pytest
from intake import printed
from jobs import house

from ampwright.reading import assumed, measured
from ampwright.rules.gb.overload import cable_carries_device_rating, circuit_of_its_own
from ampwright.working import Verdict

MET, NOT_MET, OPEN = Verdict.MET, Verdict.NOT_MET, Verdict.NOT_YET_KNOWN


def judged(changes):
    return cable_carries_device_rating(house(changes))


SOLAR, BATTERY = "generation.on_charge_point_circuit", "storage.on_charge_point_circuit"


@pytest.mark.parametrize(("device_a", "verdict"), [(27.47, MET), (27.48, NOT_MET)])
def test_an_inverter_on_the_circuit_adds_to_the_device(device_a, verdict):
    # 551.7.2: Iz >= In + Ig, so 43.47 A leaves 43.47 - 16 = 27.47 A for the device
    finding = judged({SOLAR: True, "circuit.device.rating_a": device_a})

    assert finding.verdict is verdict
    assert printed(finding, "Ifed") == pytest.approx(device_a + 16)


def test_both_inverters_add_and_are_said():
    # 32 + 16 + 10 = 58 A
    finding = judged({SOLAR: True, BATTERY: True, "storage.fitted": True, "storage.inverter_a": measured(10)})

    assert finding.verdict is NOT_MET
    assert finding.says == (
        "The weakest stretch (under the garden) carries 43.4 A; the 32 A device and the inverter on the circuit can"
        " feed it 58 A."
    )


@pytest.mark.parametrize(
    ("changes", "needs"),
    [
        ({SOLAR: None}, (SOLAR,)),
        ({SOLAR: None, "generation.fitted": None}, ("generation.fitted",)),
        ({SOLAR: True, "generation.inverter_a": None}, ("generation.inverter_a",)),
        # 43.47 - 32 = 11.47 A
        ({SOLAR: True, "generation.inverter_a": assumed(11, 12)}, ("generation.inverter_a",)),
    ],
)
def test_asks_what_feeds_the_cable(changes, needs):
    assert judged(changes).needs == needs


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [
        ({}, MET),
        ({SOLAR: True}, NOT_MET),
        ({SOLAR: True, "generation.fitted": None}, NOT_MET),
        ({BATTERY: True, "storage.fitted": True}, NOT_MET),
        # a source that is not there is on no circuit
        ({BATTERY: True}, MET),
        ({SOLAR: None, "generation.fitted": False}, MET),
        ({SOLAR: None}, OPEN),
    ],
)
def test_the_charge_point_wants_a_circuit_of_its_own(changes, verdict):
    assert circuit_of_its_own(house(changes)).verdict is verdict


def test_what_shares_the_circuit_is_named_with_the_caution():
    finding = circuit_of_its_own(house({SOLAR: True}))

    assert "the solar on it must be moved" in finding.says
    assert finding.cautions == ("two_supplies",)
    assert circuit_of_its_own(house({SOLAR: None})).needs == (SOLAR,)
