"""Every printed equation balances in dimensions, by pint.

A bare number takes the dimension of what it is added to or compared with, and has none where it multiplies.
"""

import ast
from typing import Any

import pint
import pytest

from ampwright.deliver.demo import demo_files
from ampwright.job.files import parse
from ampwright.rules.gb.book import GB
from ampwright.working import symbol_for

UNITS: Any = pint.UnitRegistry()
SPELT = {
    "": "", "ratio": "", "count": "", "percent": "", "°C": "kelvin", "ohm/km": "ohm/kilometer", "1/K": "1/kelvin",
    "mV/A/m": "millivolt/ampere/meter", "mm2": "millimeter**2", "A2.s": "ampere**2*second", "ohm.m": "ohm*meter",
    "A.s^0.5/mm2": "ampere*second**0.5/millimeter**2", "K.m/W": "kelvin*meter/watt", "mA": "milliampere",
    "kVA": "kilovolt*ampere", "m3": "meter**3", "W/m2": "watt/meter**2",
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


def printed():
    """Every equation that the rules print on the demo jobs, with its symbols numbered alike."""
    seen = set()
    for text in (text for name, text in demo_files().items() if name.endswith(".yaml")):
        for check in GB.judge(parse(text)):
            seen |= {(step.symbol, step.formula) for step in check.working if step.formula and step.symbol}
    return sorted(seen)


@pytest.mark.parametrize(("symbol", "formula"), printed())
def test_both_sides_have_one_dimension(symbol, formula):
    found = of(ast.parse(formula, mode="eval").body)
    assert found is None or found == dimension(symbol), f"{symbol} = {formula}: {found}"


@pytest.mark.parametrize("wrong", ["R1 * Ib * Ib", "R1 + Ib", "sqrt(Ib)", "ln(Ib)", "max(R1, Ib)"])
def test_the_audit_can_fail(wrong):
    with pytest.raises(AssertionError):
        assert of(ast.parse(wrong, mode="eval").body) == dimension("Vd")
