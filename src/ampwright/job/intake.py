"""Walk over a job file before the record is built: readings take their one shape, numbers their bounds.

Everything that the walk finds fault with is taken out, so that no one value is complained of twice.
"""

from __future__ import annotations

import datetime
import math
import typing
import unicodedata
from dataclasses import MISSING
from dataclasses import fields as fields_of
from typing import Any

from ampwright.job.faults import Path, pattern
from ampwright.job.fields import bare, fields, hints, is_group, item_of
from ampwright.job.tree import Tree
from ampwright.job.words import misfit, not_a_number, out_of_bounds, unknown_field
from ampwright.reading import Reading

UNPRINTED = ("Cc", "Cf")
EXACT = ("value", "with", "when", "because")
RANGE = ("low", "high", "because", "with", "when")
_INNER = {"with": "with_what"}


def settle(tree: Tree, group: type) -> Any:
    """The tree's values in the shape of the record; faults go into the tree."""
    return _group(tree, (), group, tree.value)


def _group(tree: Tree, path: Path, group: type, value: Any) -> Any:
    if not isinstance(value, dict):
        return value
    known = hints(group)
    optional = {each.name for each in fields_of(group)
                if each.default is not MISSING or each.default_factory is not MISSING}  # fmt: skip
    settled = {}
    for name, inner in value.items():
        if name not in known:
            tree.fault((*path, name), unknown_field(name, known))
        elif inner is not None or name not in optional:
            settled[name] = _any(tree, (*path, name), known[name], inner)
        elif type(None) in typing.get_args(known[name]):
            settled[name] = None
    return settled


def _any(tree: Tree, path: Path, hint: Any, value: Any) -> Any:
    plain = bare(hint)
    if is_group(plain):
        return _group(tree, path, plain, value)
    if (item := item_of(plain)) is not None and isinstance(value, list):
        return [_any(tree, (*path, number), item, each) for number, each in enumerate(value)]
    if plain is Reading:
        return _reading(tree, path, value)
    if plain in (float, int):
        return _number(tree, path, value, plain)
    if type(value) is int and str(value) in typing.get_args(plain):
        return str(value)  # method 100, a name made of digits: no quotes are asked for
    if isinstance(value, float) and not math.isfinite(value):
        tree.fault(path, misfit(hint, value))
        return None
    if isinstance(value, str) and any(unicodedata.category(sign) in UNPRINTED for sign in value):
        tree.fault(path, "this holds a sign that cannot be printed; write it in plain letters on one line")
        return None
    if pattern(path) == "site.mpan" and isinstance(value, int | float):
        tree.fault(path, "put the MPAN in quotes, for it is a name made of digits and not a number")
        return None
    return value


def _number(tree: Tree, path: Path, value: Any, kind: type = float) -> Any:
    """A finite number within the bounds of its field, or None and a fault."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        tree.fault(path, not_a_number(value))
        return None
    if kind is int and isinstance(value, float):
        tree.fault(path, not_a_number(value))
        return None
    names = [part for part in path if isinstance(part, str) and part not in (*EXACT, *RANGE)]
    field = fields().get(pattern(path)) or fields()[pattern(path[:-1])]
    if field.low is not None and field.high is not None and not field.low <= value <= field.high:
        tree.fault(path, out_of_bounds(names[-1], value, field.low, field.high))
        return None
    return value


def _reading(tree: Tree, path: Path, value: Any) -> Any:
    if value is None:
        return None
    if not isinstance(value, dict):
        number = _number(tree, path, value)
        return None if number is None else {"low": number, "high": number}
    before = len(tree.faults)
    shape = EXACT if "value" in value else RANGE
    for name, inner in value.items():
        if name not in shape:
            tree.fault((*path, name), _stranger(name, inner, shape))
    wanted = ("value",) if shape is EXACT else ("low", "high")
    missing = [name for name in wanted if value.get(name) is None]
    if missing:
        tree.fault(path, f"{' and '.join(missing)} not given; write a number, or {{value: 0.21, with: loop tester}}, "
                         "or {low: 30, high: 60, because: your reason}")  # fmt: skip
    ends = [_number(tree, (*path, name), value[name]) for name in wanted if name not in missing]
    notes = {_INNER.get(name, name): _note(tree, (*path, name), value[name])
             for name in ("because", "with", "when") if value.get(name) is not None}  # fmt: skip
    if shape is RANGE and not missing and not notes.get("because") and len(tree.faults) == before:
        tree.fault(path, "a range must say why it is one; add because: and your reason")
    if len(tree.faults) == before and ends[0] > ends[-1]:
        tree.fault(path, f"low ({ends[0]:g}) is above high ({ends[-1]:g}); write them the other way round")
    return {"low": ends[0], "high": ends[-1], **notes} if len(tree.faults) == before else None


def _stranger(name: str, value: Any, shape: tuple[str, ...]) -> str:
    if shape is EXACT and name in RANGE:
        return "a reading has either value, or low and high with because; not both"
    if value is None and not name.isdecimal():
        return "a comma ends the words before it; put words that have a comma in them in quotes"
    return unknown_field(name, shape)


def _note(tree: Tree, path: Path, value: Any) -> Any:
    """Who says so and when: text, or a date for `when`."""
    if path[-1] != "when":
        if not isinstance(value, str):
            tree.fault(path, misfit(str, value))
        return value
    try:
        return datetime.date.fromisoformat(value).isoformat()
    except (TypeError, ValueError):
        tree.fault(path, misfit(datetime.date, value))
        return None
