"""A sensor's lead: what is said, and the sheet behind it."""

from dataclasses import replace

import pytest
from sensing import GRID, home

from ampwright.assess.sensors.leads import judge_lead
from ampwright.reading import assumed, measured

LONG = replace(GRID, link="wired", lead_m=measured(10), lead_mm2=1.0, burden_ohm=70.0, output_mv_per_a=3.33,
               beside_car_cable_m=measured(10), beside_car_cable_mm=measured(100))  # fmt: skip


def said(**changes):
    return " ".join(judge_lead(home(), replace(LONG, **changes)).says)


def value(lead, symbol):
    return next(step.value for step in lead.working if step.symbol == symbol)


def test_the_sheet_by_hand():
    lead = judge_lead(home(), LONG)
    # 2 x 19.5 / 1000 x 10 = 0.39 ohm; 0.39 / 70 = 0.557 %
    assert value(lead, "Rlead") == pytest.approx(0.39)
    assert value(lead, "pburden") == pytest.approx(0.557, abs=0.001)
    # dipole: 2e-7 x 32 x 0.0045 / 0.1^2 x 0.002 x 10 x 314.16 = 18.1 uV; / 3.33 mV/A = 5.4 mA; x 230 = 1.25 W
    assert value(lead, "emf") == pytest.approx(18.1e-6, rel=0.01)
    assert lead.false_kw == pytest.approx(0.00125, rel=0.01)


def test_a_size_below_the_table_comes_from_resistivity():
    # 0.017241 ohm.mm2/m / 0.5 mm2 = 34.5 ohm/km; there and back over 10 m 0.69 ohm
    assert value(judge_lead(home(), replace(LONG, lead_mm2=0.5)), "Rlead") == pytest.approx(0.690, abs=0.001)


def test_touching_the_car_cable_matters_and_a_twist_removes_it():
    near = judge_lead(home(), replace(LONG, beside_car_cable_mm=measured(10)))
    twisted = judge_lead(home(), replace(LONG, beside_car_cable_mm=measured(10), lead_kind="twisted"))
    assert near.false_kw is not None
    assert twisted.false_kw is not None
    assert near.false_kw > 0.1  # the notes' prototype: about 0.125 kW
    assert twisted.false_kw == pytest.approx(near.false_kw * 0.025 / 10)  # half a 50 mm turn of 10 m
    assert "use a twisted pair" in said(beside_car_cable_mm=measured(10))
    assert "use a twisted pair" not in said(beside_car_cable_mm=measured(10), lead_kind="twisted")


def test_the_longest_and_the_nearest_that_the_survey_allows():
    wide = judge_lead(home(), replace(LONG, lead_m=assumed(5, 10, "why"), beside_car_cable_mm=assumed(100, 300, "why")))
    assert value(wide, "Rlead") == pytest.approx(0.39)
    assert wide.false_kw == pytest.approx(0.00125, rel=0.01)


def test_lengths():
    assert "as supplied" in said(lead_m=measured(3))
    assert "wants a twisted pair" in said(lead_m=measured(3.1))
    assert "will do" in said(lead_m=measured(15), lead_kind="twisted and screened")
    assert "ask the sensor's maker" in said(lead_m=measured(15.1))
    assert "Not yet known" in said(lead_m=None)
    assert "Not yet known" in said(beside_car_cable_mm=None)
    assert "no lead" in said(link="radio")
    assert "nowhere" in said(beside_car_cable_m=measured(0))
