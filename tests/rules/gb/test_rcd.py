"""Residual current devices: how fine, of which type, how many poles, in what order, and in which direction."""

import pytest
from jobs import house

from ampwright.job.record import Rcd
from ampwright.rules.gb.rcd import (
    rcd_additional_protection,
    rcd_bidirectional,
    rcd_breaks_all_live,
    rcd_selectivity,
    rcd_type_fits,
)
from ampwright.working import Verdict

MET, NOT_MET, OPEN = Verdict.MET, Verdict.NOT_MET, Verdict.NOT_YET_KNOWN
NOT_ASKED = Verdict.DOES_NOT_APPLY
NO_RCD = {"circuit.rcd.fitted": False}


def rcd(where, **fields):
    return {f"{where}.{name}": value for name, value in {"fitted": True, **fields}.items()}


def upstream(**fields):
    return rcd("installation.upstream_rcd", **{"type": "A", "idn_ma": 100.0, "delayed": True, **fields})


@pytest.mark.parametrize(
    ("changes", "verdict", "needs"),
    # additional protection is 30 mA or less (415.1.1)
    [
        ({}, MET, ()),
        ({"circuit.rcd.idn_ma": 30.1}, NOT_MET, ()),
        (NO_RCD, NOT_MET, ()),
        ({**NO_RCD, **rcd("charge_point.rcd", idn_ma=30.0, delayed=False)}, MET, ()),
        ({**NO_RCD, **upstream(idn_ma=30.0)}, NOT_MET, ()),
        ({"circuit.rcd.idn_ma": None}, OPEN, ("circuit.rcd.idn_ma",)),
        ({**NO_RCD, "charge_point.rcd.fitted": None}, OPEN, ("charge_point.rcd.fitted",)),
        ({"circuit.rcd.fitted": None}, OPEN, ("circuit.rcd.fitted",)),
    ],
)
def test_additional_protection_wants_an_own_rcd_of_30_ma(changes, verdict, needs):
    finding = rcd_additional_protection(house(changes))
    assert (finding.verdict, finding.needs) == (verdict, needs)


def test_additional_protection_says_both_numbers():
    assert rcd_additional_protection(house()).says == "The RCD at the board acts at 30 mA; the limit is 30 mA."
    coarse = rcd_additional_protection(house({"circuit.rcd.idn_ma": 100.0}))
    assert coarse.says == "The RCD at the board acts at 100 mA; the limit is 30 mA."


@pytest.mark.parametrize(
    ("changes", "verdict", "needs"),
    # a type A bears 6 mA of smooth direct current, a type F 10 mA; the unit's own detector acts at 6 mA
    [
        ({}, MET, ()),
        ({"circuit.rcd.type": "F"}, MET, ()),
        ({"charge_point.dc_detection": False}, NOT_MET, ()),
        ({"charge_point.dc_detection": False, "circuit.rcd.type": "B"}, MET, ()),
        ({"circuit.rcd.type": "AC"}, NOT_MET, ()),
        ({**rcd("charge_point.rcd", type="AC", idn_ma=30.0)}, NOT_MET, ()),
        ({**rcd("charge_point.rcd", type="B", idn_ma=30.0), "charge_point.dc_detection": False}, NOT_MET, ()),
        ({"circuit.rcd.type": None}, OPEN, ("circuit.rcd.type",)),
        ({"charge_point.dc_detection": None}, OPEN, ("charge_point.dc_detection",)),
        ({"circuit.rcd.fitted": None}, OPEN, ("circuit.rcd.fitted",)),
        (NO_RCD, NOT_ASKED, ()),
    ],
)
def test_type_fits_a_cars_leakage(changes, verdict, needs):
    finding = rcd_type_fits(house(changes))
    assert (finding.verdict, finding.needs) == (verdict, needs)


def test_type_shows_what_it_bears_and_what_the_unit_does():
    finding = rcd_type_fits(house())
    assert {step.symbol: step.value for step in finding.working if step.symbol} == {"Idcmax": 6, "Idc": 6}
    assert "cuts off at 6 mA of direct current" in finding.says


@pytest.mark.parametrize(
    ("changes", "verdict", "needs"),
    # line and neutral: 2 poles; three lines and neutral: 4
    [
        ({}, MET, ()),
        ({"circuit.rcd.poles": 1}, NOT_MET, ()),
        ({"charge_point.phases": 3}, NOT_MET, ()),
        ({"charge_point.phases": 3, "circuit.rcd.poles": 4}, MET, ()),
        ({"circuit.rcd.poles": 1, **rcd("charge_point.rcd", idn_ma=30.0, poles=2)}, MET, ()),
        ({"circuit.rcd.poles": 1, **rcd("charge_point.rcd", idn_ma=100.0, poles=2)}, NOT_MET, ()),
        ({"circuit.rcd.poles": None}, OPEN, ("circuit.rcd.poles",)),
        ({"charge_point.phases": None}, OPEN, ("charge_point.phases",)),
        ({"circuit.rcd.idn_ma": 100.0}, NOT_ASKED, ()),
        (NO_RCD, NOT_ASKED, ()),
    ],
)
def test_every_live_conductor_is_broken(changes, verdict, needs):
    finding = rcd_breaks_all_live(house(changes))
    assert (finding.verdict, finding.needs) == (verdict, needs)


def test_poles_are_counted_aloud():
    assert "breaks 1 of 2 live conductors" in rcd_breaks_all_live(house({"circuit.rcd.poles": 1})).says


@pytest.mark.parametrize(
    ("changes", "verdict", "needs"),
    # a delayed one of three times: 90 mA above 30 mA
    [
        ({}, NOT_ASKED, ()),
        (upstream(), MET, ()),
        (upstream(idn_ma=90.0), MET, ()),
        (upstream(idn_ma=89.9), NOT_MET, ()),
        (upstream(delayed=False), NOT_MET, ()),
        (upstream(type="AC"), NOT_MET, ()),
        ({**upstream(), "charge_point.dc_detection": False}, NOT_MET, ()),
        ({**upstream(type="B"), "charge_point.dc_detection": False}, MET, ()),
        ({**upstream(), **NO_RCD}, NOT_ASKED, ()),
        (upstream(delayed=None), OPEN, ("installation.upstream_rcd.delayed",)),
        (upstream(type=None), OPEN, ("installation.upstream_rcd.type",)),
        ({"installation.upstream_rcd.fitted": None}, OPEN, ("installation.upstream_rcd.fitted",)),
    ],
)
def test_the_rcd_further_up_waits_and_stays_sound(changes, verdict, needs):
    finding = rcd_selectivity(house(changes))
    assert (finding.verdict, finding.needs) == (verdict, needs)


def test_selectivity_says_both_numbers():
    # 100 / 30 = 3.33
    assert rcd_selectivity(house(upstream())).says.endswith("at 100 mA against 30 mA: 3.3 times; 3 are wanted.")
    assert "act together" in rcd_selectivity(house(upstream(idn_ma=30.0, delayed=False))).says


BACK = {"charge_point.sends_power_back": True}
ROOF = {"generation.on_charge_point_circuit": True}


@pytest.mark.parametrize(
    ("changes", "verdict", "needs"),
    [
        ({}, NOT_ASKED, ()),
        (BACK, MET, ()),
        (ROOF, MET, ()),
        ({**BACK, "circuit.rcd.bidirectional": False}, NOT_MET, ()),
        ({**ROOF, "circuit.rcd.bidirectional": False}, NOT_MET, ()),
        ({**BACK, **upstream(bidirectional=False)}, NOT_MET, ()),
        ({**BACK, "circuit.rcd.bidirectional": None}, OPEN, ("circuit.rcd.bidirectional",)),
        ({"generation.fitted": None}, OPEN, ("generation.fitted",)),
        ({"generation.on_charge_point_circuit": None}, OPEN, ("generation.on_charge_point_circuit",)),
        ({"charge_point.sends_power_back": None}, OPEN, ("charge_point.sends_power_back",)),
        ({**BACK, **NO_RCD}, NOT_ASKED, ()),
    ],
)
def test_current_may_flow_back_only_through_devices_made_for_it(changes, verdict, needs):
    finding = rcd_bidirectional(house(changes))
    assert (finding.verdict, finding.needs) == (verdict, needs)


def test_feeding_back_names_the_source_and_carries_its_caution():
    finding = rcd_bidirectional(house({**ROOF, "circuit.rcd.bidirectional": False}))
    assert "solar panels can feed back" in finding.says
    assert finding.cautions == ("two_supplies",)


def test_a_delayed_rcd_gives_no_additional_protection():
    # 415.1.1: an undelayed 30 mA device
    finding = rcd_additional_protection(house({"circuit.rcd.delayed": True}))
    assert finding.verdict is Verdict.NOT_MET
    assert "is time-delayed: that gives no additional protection" in finding.says
    assert rcd_additional_protection(house({"circuit.rcd.delayed": None})).needs == ("circuit.rcd.delayed",)


@pytest.mark.parametrize(
    ("both_ways", "verdict"), [(True, Verdict.MET), (False, Verdict.NOT_MET), (None, Verdict.NOT_YET_KNOWN)]
)
def test_solar_feeds_back_through_an_rcd_further_up(both_ways, verdict):
    upstream = Rcd(fitted=True, type="A", idn_ma=100.0, poles=2, delayed=True, bidirectional=both_ways)
    assert rcd_bidirectional(house({"installation.upstream_rcd": upstream})).verdict is verdict


@pytest.mark.parametrize(("phases", "poles", "hinted"), [(1, 1, True), (3, 2, False)])
def test_one_module_is_named_only_where_one_pole_is_broken(phases, poles, hinted):
    finding = rcd_breaks_all_live(house({"charge_point.phases": phases, "circuit.rcd.poles": poles}))
    assert finding.verdict is Verdict.NOT_MET
    assert ("one module" in finding.says) is hinted
