"""Every printed equation balances in dimensions, by pint.

A bare number takes the dimension of what it is added to or compared with, and has none where it multiplies.
"""

import ast
from dataclasses import replace
from typing import Any

import pint
import pytest
from jobs import house

from ampwright.assess.load_cap.report import report
from ampwright.assess.sensors.placement import place
from ampwright.deliver.demo import demo_files
from ampwright.job.files import parse
from ampwright.job.record import HalfHourly, Job, Rcd, Sensor
from ampwright.reading import measured
from ampwright.rules.gb.book import GB
from ampwright.working import symbol_for

UNITS: Any = pint.UnitRegistry()
SPELT = {
    "": "", "ratio": "", "count": "", "percent": "", "°C": "kelvin", "ohm/km": "ohm/kilometer", "1/K": "1/kelvin",
    "mV/A/m": "millivolt/ampere/meter", "mm2": "millimeter**2", "A2.s": "ampere**2*second", "ohm.m": "ohm*meter",
    "A.s^0.5/mm2": "ampere*second**0.5/millimeter**2", "K.m/W": "kelvin*meter/watt", "mA": "milliampere",
    "kVA": "kilovolt*ampere", "m3": "meter**3", "W/m2": "watt/meter**2",
    "J/K/mm3": "joule/kelvin/millimeter**3",
}  # fmt: skip


def dimension(symbol):
    unit = symbol_for(symbol).unit
    return UNITS.Quantity(1, SPELT.get(unit, unit)).dimensionality


def of(node):
    """The dimension of an expression; None for a bare number, which fits anything it is added to."""
    match node:
        case ast.Constant():
            return None
        case ast.Name():
            return None if node.id == "pi" else dimension(node.id)
        case ast.UnaryOp():
            return of(node.operand)
        case ast.Call(func=ast.Name(id=name)):
            return of_call(name, [of(each) for each in node.args])
        case ast.BinOp(op=ast.Add() | ast.Sub()):
            return same([of(node.left), of(node.right)], node)
        case ast.BinOp(op=ast.Mult()):
            return plain(of(node.left)) * plain(of(node.right))
        case ast.BinOp(op=ast.Div()):
            return plain(of(node.left)) / plain(of(node.right))
        case ast.BinOp(op=ast.Pow()):
            return plain(of(node.left)) ** power(node.right)
    raise AssertionError(ast.dump(node))


def power(node):
    if isinstance(node, ast.UnaryOp):
        return -power(node.operand)
    return node.value if isinstance(node, ast.Constant) else 1


def of_call(name, arguments):
    if name in ("min", "max", "ceil", "floor"):
        return same(arguments, name)
    if name in ("sqrt", "hypot"):
        return plain(arguments[0]) ** 0.5 if name == "sqrt" else same(arguments, name)
    assert all(plain(each) == plain(None) for each in arguments), f"{name} of something with a dimension"
    return plain(None)


def plain(found):
    return UNITS.Quantity(1).dimensionality if found is None else found


def same(found, where):
    known = [each for each in found if each is not None]
    assert all(each == known[0] for each in known), where
    return known[0] if known else None


UNWATCHED: dict[str, Any] = {
    "charge_point.open_pen": "none", "electrode.fitted": True, "electrode.measured_ohm": measured(2)
}  # fmt: skip
VARIANTS: list[dict[str, Any]] = [
    {"circuit.device.kind": "bs88_3", "circuit.device.rating_a": 32.0},
    {"circuit.device.kind": "bs3036", "circuit.device.rating_a": 30.0},
    {"circuit.device.curve": "D", "supply.ze_ohm": measured(0.8), "tests.zs_ohm": measured(0.9)},
    UNWATCHED,
    {**UNWATCHED, "electrode.fitted": False},
    {"supply.phases": 3, "charge_point.open_pen": "voltage window"},
    {"circuit.earthed_by": "own electrode", "electrode.fitted": True, "electrode.rods_count": 3,
     "electrode.rod_length_m": measured(2.4), "electrode.rod_diameter_mm": 14.2, "electrode.spacing_m": measured(2.4),
     "electrode.soil_ohm_m": measured(100)},
    {"installation.upstream_rcd": Rcd(fitted=True, type="A", idn_ma=300, poles=2, delayed=True)},
    {"route[1].depth_m": measured(1.2), "route[1].cable.cpc": "core and armour", "route[1].cable.cores_count": 3},
    {"charge_point.mounting": "post", "charge_point.post_height_m": measured(1.2)},
    {"installation.half_hourly": HalfHourly(highest_kwh=4.6, days_count=365, missing_count=0,
                                            months=tuple(range(1, 13)))},
]  # fmt: skip


LEAD = Sensor(name="grid sensor", watches="grid", lead_m=measured(10), lead_mm2=0.5, burden_ohm=70.0,
              beside_car_cable_m=measured(5), beside_car_cable_mm=measured(20))  # fmt: skip
SENSED = [Job(sensors=(LEAD, replace(LEAD, lead_mm2=1.0, lead_kind="twisted")))]


def printed():
    """Every equation that the rules print on the demo jobs and on a house changed in each of these ways, and those of
    sensors' leads.
    """
    jobs = [parse(text) for name, text in demo_files().items() if name.endswith(".yaml")]
    jobs += [house(each) for each in VARIANTS]
    steps = [step for job in jobs for check in GB.judge(job) for step in check.working]
    steps += [step for job in jobs for check in report(job, attacked=False).checks for step in check.working]
    steps += [step for job in SENSED for each in place(job).placements for step in each.lead.working]
    return sorted({(step.symbol, step.formula) for step in steps if step.formula and step.symbol})


@pytest.mark.parametrize(("symbol", "formula"), printed())
def test_both_sides_have_one_dimension(symbol, formula):
    found = of(ast.parse(formula, mode="eval").body)
    assert found is None or found == dimension(symbol), f"{symbol} = {formula}: {found}"


@pytest.mark.parametrize("wrong", ["R1 * Ib * Ib", "R1 + Ib", "sqrt(Ib)", "ln(Ib)", "max(R1, Ib)"])
def test_the_audit_can_fail(wrong):
    with pytest.raises(AssertionError):
        assert of(ast.parse(wrong, mode="eval").body) == dimension("Vd")
