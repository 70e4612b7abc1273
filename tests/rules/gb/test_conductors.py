"""A core for every line, the neutral and the earth."""

import pytest
from intake import printed
from jobs import house

from ampwright.rules.gb.overload import conductors_enough
from ampwright.working import Verdict

MET, NOT_MET, OPEN = Verdict.MET, Verdict.NOT_MET, Verdict.NOT_YET_KNOWN
IN, UNDER, UP = "route[0].cable", "route[1].cable", "route[2].cable"
THREE = {"charge_point.phases": 3, "supply.phases": 3}


def cable(**fields):
    """Changes that make the whole route of one cable."""
    return {f"{each}.{name}": value for each in (IN, UNDER, UP) for name, value in fields.items()}


def armoured(cores_count, cpc):
    return cable(kind="armoured_90c", cores_count=cores_count, cpc=cpc)


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [
        # flat twin and earth: line, neutral and a bare cpc; then two cores whose armour is the earth
        ({}, MET),
        # line and neutral leave no core for the earth; a third core does
        (armoured(2, "core"), NOT_MET),
        (armoured(2, "core and armour"), NOT_MET),
        (armoured(3, "core"), MET),
        (cable(kind="multicore_70c", cores_count=2, cpc="core"), NOT_MET),
        (cable(kind="multicore_70c", cores_count=3, cpc="core"), MET),
        # three lines and the neutral are four, and the earth the fifth
        ({**THREE, **armoured(2, "armour")}, NOT_MET),
        ({**THREE, **armoured(3, "armour")}, NOT_MET),
        ({**THREE, **armoured(4, "armour")}, MET),
        ({**THREE, **armoured(4, "core")}, NOT_MET),
        ({**THREE, **armoured(5, "core and armour")}, MET),
        ({**THREE, **cable(kind="flat_twin_and_earth", cpc="core")}, NOT_MET),
        ({**THREE, **cable(kind="singles_70c", cores_count=None, cpc="core")}, MET),
        # what the route is made of does not help a charge point that the supply cannot feed
        ({"charge_point.phases": 3, **armoured(5, "core")}, NOT_MET),
        ({"supply.phases": 3}, MET),
    ],
)
def test_turns_at_the_core_that_is_missing(changes, verdict):
    assert conductors_enough(house(changes)).verdict is verdict


def test_counts_by_hand():
    # 3 lines + neutral = 4, + earth = 5
    finding = conductors_enough(house({**THREE, **armoured(5, "core")}))

    assert [printed(finding, symbol) for symbol in ("nlive", "nwant_2", "nhas_2")] == [4, 5, 5]


def test_names_the_stretch_and_both_numbers():
    finding = conductors_enough(house({f"{UP}.cpc": "core"}))

    assert finding.says == ("The cable of one stretch (up the wall) has 2 cores; 3 are needed, for a line, the neutral "
                            "and the earth.")  # fmt: skip


def test_names_the_supply_that_has_too_few_lines():
    finding = conductors_enough(house({"charge_point.phases": 3}))

    assert finding.says == "The charge point is for 3 lines; the supply has 1."


@pytest.mark.parametrize(
    ("changes", "needs"),
    [
        ({f"{UNDER}.cores_count": None}, (f"{UNDER}.cores_count",)),
        ({f"{UNDER}.cpc": None}, (f"{UNDER}.cpc",)),
        ({f"{UP}.kind": None}, (f"{UP}.kind",)),
        ({"supply.phases": None}, ("supply.phases",)),
        ({"charge_point.phases": None}, ("charge_point.phases",)),
        ({"route": ()}, ("route",)),
        # no armour on it: what is the earth?
        ({f"{UP}.kind": "multicore_70c"}, (f"{UP}.cpc",)),
    ],
)
def test_asks_for_what_decides(changes, needs):
    finding = conductors_enough(house(changes))

    assert finding.verdict is OPEN
    assert finding.needs == needs


def test_too_few_cores_in_one_stretch_are_too_few_whatever_the_rest():
    assert conductors_enough(house({**THREE, f"{UP}.cpc": None, f"{UNDER}.cores_count": None})).verdict is NOT_MET


@pytest.mark.parametrize("name", ["cores_count", "cpc"])
def test_flat_cable_is_not_asked_for_cores(name):
    assert conductors_enough(house({f"{IN}.{name}": None})).verdict is MET


def test_singles_are_asked_for_their_earth_and_not_for_cores():
    singles = {f"{IN}.kind": "singles_70c"}
    assert conductors_enough(house({**singles, f"{IN}.cores_count": None})).verdict is MET
    for earth in (None, "armour", "core and armour"):
        assert conductors_enough(house({**singles, f"{IN}.cpc": earth})).needs == (f"{IN}.cpc",)
