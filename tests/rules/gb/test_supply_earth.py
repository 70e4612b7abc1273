"""The supply's earth, its bonding, and an electrode kept off it."""

import pytest
from jobs import house

from ampwright.reading import assumed, measured
from ampwright.rules.gb.own_earth import supply_earth_kept_off
from ampwright.rules.gb.supply_earth import main_bonding_in_place, supply_earth_as_declared
from ampwright.working import Verdict

OWN = {"circuit.earthed_by": "own electrode"}


# Usual declared figures of the operators: 0.35 ohm on TN-C-S and 0.8 ohm on TN-S (trade forums, gb/declared_ze)
@pytest.mark.parametrize(
    ("earthing", "ze", "verdict"),
    [
        ("TN-C-S", measured(0.35), Verdict.MET),
        ("TN-C-S", measured(0.36), Verdict.NOT_MET),
        ("TN-C-S", assumed(0.2, 0.5, "not read yet"), Verdict.NOT_YET_KNOWN),
        ("TN-C-S", None, Verdict.NOT_YET_KNOWN),
        ("TN-S", measured(0.8), Verdict.MET),
        ("TN-S", measured(0.81), Verdict.NOT_MET),
        ("TT", measured(21), Verdict.DOES_NOT_APPLY),
    ],
)
def test_ze_is_held_to_what_operators_declare(earthing, ze, verdict):
    finding = supply_earth_as_declared(house({"supply.earthing": earthing, "supply.ze_ohm": ze}))
    assert finding.verdict is verdict


def test_a_failing_supply_earth_says_stop():
    finding = supply_earth_as_declared(house({"supply.ze_ohm": measured(5)}))
    assert finding.says == "Ze is 5 Ω; the operator's usual figure for TN-C-S is 0.35 Ω."
    assert finding.cautions == ("supply_earth_fault",)
    unread = supply_earth_as_declared(house({"supply.ze_ohm": assumed(0.2, 0.5, "not read yet")}))
    assert unread.cautions == ()


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [
        ({}, Verdict.DOES_NOT_APPLY),
        ({**OWN, "supply.earthing": "TT"}, Verdict.DOES_NOT_APPLY),
        ({"circuit.earthed_by": None}, Verdict.NOT_YET_KNOWN),
        (OWN, Verdict.FOR_THE_DESIGNER),
    ],
)
def test_two_earths_are_never_called_apart(changes, verdict):
    assert supply_earth_kept_off(house(changes)).verdict is verdict


def test_every_path_for_the_house_s_earth_is_named():
    finding = supply_earth_kept_off(house(OWN))
    assert finding.says == (
        "The earth conductor of indoors and the armour of under the garden and the armour of up the wall can carry "
        "the house's earth to the car; say where each is cut."
    )
    assert finding.cautions == ("keep_earths_apart",)


# Table 54.8: 10 mm² to a neutral of 35 mm² (seen in a copy), 16 mm² to 50 mm² (memory)
@pytest.mark.parametrize(
    ("bonding", "tails", "verdict"),
    [
        (measured(10), measured(25), Verdict.MET),
        (measured(10), measured(35), Verdict.MET),
        (measured(10), measured(36), Verdict.NOT_MET),
        (measured(6), measured(16), Verdict.NOT_MET),
        (assumed(6, 10, "the sheath is painted"), measured(25), Verdict.NOT_YET_KNOWN),
        (None, measured(25), Verdict.NOT_YET_KNOWN),
    ],
)
def test_bonding_goes_by_the_neutral(bonding, tails, verdict):
    job = house({"installation.main_bonding_mm2": bonding, "supply.tails.size_mm2": tails})
    assert main_bonding_in_place(job).verdict is verdict


def test_bonding_says_both_sizes_and_leaves_tt_to_the_designer():
    job = house({"installation.main_bonding_mm2": measured(6)})
    assert main_bonding_in_place(job).says == "The main bonding is 6 mm²; the least is 10 mm² for 25 mm² tails."
    assert main_bonding_in_place(house({"supply.earthing": "TT"})).verdict is Verdict.FOR_THE_DESIGNER
