"""What stands in one cell of a catalogue: a price, the fields that a choice sets, the conditions that offer it."""

from __future__ import annotations

import re
import typing
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any, Literal

from ampwright.job.faults import shortened
from ampwright.job.fields import bare, fields, item_of, leaves
from ampwright.job.words import NUMBER, misfit, not_a_number, out_of_bounds
from ampwright.reading import Reading

MAY_SET = ("charge_point.", "circuit.", "electrode.", "supply.tails.", "installation.board", "installation.busbar_a",
           "installation.main_", "installation.spare_way", "installation.surge_protection",
           "installation.upstream_rcd.", "route[].cable.", "route[].method", "sensors[].link")  # fmt: skip
OF_SENSORS = "sensors[]."
MAY_ONLY_CLEAR = ("electrode.soil_ohm_m", "electrode.measured_ohm", "charge_point.other_earth_within_m",
                  "supply.tails.length_m")  # fmt: skip
SET_NOTHING = ("labour", "always", "joint", "trench")
TRENCH_ASKS = ("trench", "route[].surface")
BASIS = "chosen from the catalogue"
DEAREST_DIGITS_COUNT = 9
Sign = Literal["=", "!=", "<", ">"]
Says = Callable[[str, str], None]


@dataclass(frozen=True, slots=True)
class Condition:
    """One thing that must hold, as far as anybody looked, for a choice to be offered."""

    path: str
    sign: Sign
    values: tuple[Any, ...]

    def holds(self, value: Any) -> bool:
        """Whether what the record has at the path satisfies it; a range does if any value in it would."""
        if value is None:
            return True
        low, high = (value.low, value.high) if isinstance(value, Reading) else (value, value)
        if self.sign == "<":
            return bool(low < self.values[0])
        if self.sign == ">":
            return bool(high > self.values[0])
        if self.sign == "=":
            return any(low <= each <= high for each in self.values)
        return bool(low != high or low not in self.values)


def price(text: str, column: str, says: Says) -> int:
    """A whole number of pence or minutes; an empty cell is none. Faults go to `says`."""
    unit = column.split("_")[0]
    if re.fullmatch(r"[0-9]*", text):
        if len(text) <= DEAREST_DIGITS_COUNT:
            return int(text or 0)
        fault = "is too large"
    elif re.fullmatch(NUMBER, text):
        fault = "is below nothing" if text.startswith("-") else f"is not a whole number of {unit}"
    else:
        fault = "is not a number; write digits alone"
    says(column, f"'{shortened(text)}' {fault}; {unit} are wanted" + (", net of VAT" if unit == "pence" else ""))
    return 0


def sets_in(axis: str, text: str, says: Says) -> Iterator[tuple[str, Any]]:
    """The fields that a choice sets and their values, readings exact. Faults go to `says`."""
    done = set()
    for part in filter(None, (each.strip() for each in text.split(";"))):
        path, sign, value = (each.strip() for each in part.partition("="))
        if not sign or not value:
            says("sets", f"'{shortened(part)}' is not understood; write path=value, with ; between two of them")
            continue
        try:
            _settable(axis, path, value)
            read = _value(path, value)
        except _Wrong as wrong:
            says("sets", str(wrong))
            continue
        if path in done:
            says("sets", f"{path} is set twice in this row")
        done.add(path)
        yield path, Reading(read, read, BASIS) if bare(leaves()[path]) is Reading and read is not None else read


def conditions_in(axis: str, text: str, says: Says) -> Iterator[Condition]:
    """The conditions under which a choice is offered. Faults go to `says`."""
    for part in filter(None, (each.strip() for each in text.split(";"))):
        found = re.fullmatch(r"([^=!<>\s]+)\s*(!=|=|<|>)\s*(.+)", part)
        if found is None:
            says("offered_where", f"'{shortened(part)}' is not understood; write path=value, or != < > in place of =")
            continue
        path, sign, asked = found.groups()
        try:
            if axis in SET_NOTHING and (axis, path) != TRENCH_ASKS:
                raise _Wrong(f"a row of axis {axis} is had on every job; leave this empty")
            _known(axis, path)
            yield Condition(path, typing.cast(Sign, sign), _asked(path, sign, asked))
        except _Wrong as wrong:
            says("offered_where", str(wrong))


class _Wrong(Exception):
    """Why one path or value cannot stand, in the electrician's words."""


def _known(axis: str, path: str) -> None:
    if path not in leaves():
        close = get_close_matches(path, leaves(), n=1)
        hint = f"; did you mean {close[0]}?" if close else ""
        raise _Wrong(f"'{shortened(path)}' is not a field of the record{hint}")
    if path.startswith(OF_SENSORS) and axis == "load cap":
        return
    if item_of(leaves()[path]) is not None or ("[]" in path and not path.startswith("route[].")):
        raise _Wrong(f"{path} is a list or stands in one: a choice cannot speak of it")
    if "[]" in path and axis != "cable" and (axis, path) != TRENCH_ASKS:
        raise _Wrong(f"{path} is a stretch's own: only a row of axis cable may speak of it")


def _settable(axis: str, path: str, value: str) -> None:
    _known(axis, path)
    if axis in SET_NOTHING:
        raise _Wrong(f"a row of axis {axis} is a cost and fixes nothing in the record")
    if axis == "cable" and not path.startswith("route[]."):
        raise _Wrong(f"{path} is not the stretch's own: a cable may set only route[]. fields")
    if not path.startswith(MAY_SET) or (path in MAY_ONLY_CLEAR and value != "none"):
        raise _Wrong(f"{path} is found out on site and not chosen")


def _asked(path: str, sign: str, text: str) -> tuple[Any, ...]:
    values = tuple(_value(path, each.strip()) for each in text.split("|"))
    if None in values:
        raise _Wrong(f"{path}: what nobody looked at always counts as offered; ask for a value")
    if sign in "<>" and (len(values) > 1 or type(values[0]) not in (int, float)):
        raise _Wrong(f"{path}: < and > compare one number with another")
    return values


def _value(path: str, text: str) -> Any:
    """A value as the record declares it, a reading as its number. Raises _Wrong."""
    hint = leaves()[path]
    plain = bare(hint)
    words = {str(each): each for each in typing.get_args(plain)} if typing.get_origin(plain) is Literal else {}
    words = {"true": True, "false": False} if plain is bool else words
    if text in words:
        return words[text]
    if text == "none" and plain is not hint:
        return None
    if plain is str:
        return text
    if plain not in (float, int, Reading):
        raise _Wrong(f"{path}: {misfit(hint, text)}")
    if not re.fullmatch(NUMBER, text):
        raise _Wrong(f"{path}: {not_a_number(text)}")
    low, high = fields()[path].low, fields()[path].high
    if low is not None and high is not None and not low <= float(text) <= high:
        raise _Wrong(f"{path}: {out_of_bounds(path, float(text), low, high)}")
    return float(text)
