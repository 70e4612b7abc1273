"""Why a value cannot stand where it stands, and what to write instead, in the electrician's words."""

from __future__ import annotations

import datetime
import math
import re
import typing
from difflib import get_close_matches
from typing import Any

from ampwright.job.faults import shortened
from ampwright.job.fields import bare, hints, is_group, item_of, leaves
from ampwright.reading import Reading

NUMBER = r"[-+]?[0-9]+(?:\.[0-9]+)?"
_COMMA = re.compile(r"([-+]?[0-9]+),([0-9]+)")
_UNIT = re.compile(rf"({NUMBER})\s*([a-zA-Z%°Ωµ][\w%°Ω²³µ/]*)")
_RANGE = re.compile(rf"({NUMBER})\s*(?:-|–|to|\.\.)\s*({NUMBER})")
_BRITISH_DATE = re.compile(r"([0-9]{1,2})[/.-]([0-9]{1,2})[/.-]([0-9]{4})")
_YES = {"yes": "true", "y": "true", "on": "true", "no": "false", "n": "false", "off": "false"}
_NOUNS = (
    ("resistance", ("ohm", "megohm", "mohm")),
    ("current", ("a", "ma", "ka")),
    ("length", ("m", "mm", "km")),
    ("size", ("mm2", "m3")),
    ("power", ("w", "kw")),
    ("energy", ("kwh",)),
    ("count", ("count",)),
    ("time", ("ms", "s", "min", "h")),
)


def misfit(hint: Any, value: Any) -> str:
    """What is wrong with a value where the record declares `hint`."""
    plain = bare(hint)
    if is_group(plain):
        return f"{_shown(value)} stands where fields are wanted; below this come {', '.join(hints(plain))}"
    if item_of(plain) is not None:
        return f"{_shown(value)} is not a list; write each entry on a line of its own that begins with '- '"
    if isinstance(value, dict | list) and plain is not Reading:
        return f"{_shown(value)} stands where one value is wanted"
    if typing.get_origin(plain) is typing.Literal:
        return _not_listed(typing.get_args(plain), value)
    if plain is bool:
        return _not_true_or_false(value)
    if plain is datetime.date:
        return _not_a_date(value)
    return _not_text(value) if plain is str else not_a_number(value)


def not_a_number(value: Any) -> str:
    """What is wrong with a value where a number is wanted."""
    shown = _shown(value)
    if isinstance(value, str):
        text = value.strip()
        if found := _COMMA.fullmatch(text):
            return f"{shown} is not a number; write {found[1]}.{found[2]}"
        if found := _RANGE.fullmatch(text):
            return f"{shown} is a range; write {{low: {found[1]}, high: {found[2]}, because: your reason}}"
        if found := _UNIT.fullmatch(text):
            return f"{shown} has its unit typed in; write {found[1]}"
        if re.fullmatch(NUMBER, text):
            return f"{shown} stands in quotes; write {text}"
    if isinstance(value, float) and not math.isfinite(value):
        return "this is not a number that can be reckoned with; leave the field out if it was not looked at"
    if isinstance(value, float) and value == round(value):
        return f"a whole number is wanted; write {value:.0f}"
    return f"{shown} is not a number; write digits, or leave the field out if it was not looked at"


def out_of_bounds(name: str, value: float, low: float, high: float) -> str:
    """What is wrong with a number outside the ends that fields.csv gives."""
    if value < 0 <= low:
        unit = name.rsplit("_", 1)[-1]
        noun = next((each for each, units in _NOUNS if unit in units), "")
        return f"{value:g} cannot be: {f'a {noun} is' if noun else 'it is'} never negative"
    size = "large" if value > high else "small"
    return f"{value:g} is too {size}; it lies between {low:g} and {high:g}: check the figure and its unit"


def unknown_field(name: str, known: typing.Iterable[str]) -> str:
    """What to do about a name that the record has not."""
    shown = f"'{shortened(name)}' is not a field here"
    if re.fullmatch(r"[0-9]+", name):
        return f"{shown}; a decimal comma divides a number in two, so write 18.5 and not 18,5"
    names = list(known)
    if close := get_close_matches(name.lower(), names, n=1, cutoff=0.6):
        return f"{shown}; did you mean {close[0]}?"
    elsewhere = [path for path in leaves() if path.rsplit(".", 1)[-1] == name]
    if len(elsewhere) == 1:
        return f"{shown}; it belongs at {elsewhere[0]}"
    return f"{shown}; the fields here are {', '.join(names)}"


def _not_listed(listed: tuple[Any, ...], value: Any) -> str:
    says = f"{_shown(value)} is not one of {', '.join(str(each) for each in listed)}"
    keys = {_key(str(each)): str(each) for each in listed}
    close = get_close_matches(_key(str(value)), keys, n=1, cutoff=0.6)
    close = close or [each for each in (_key(word) for word in str(value).split()[-1:]) if each in keys]
    if not close:
        return says
    if isinstance(listed[0], int):
        return f"{says}; write {keys[close[0]]} without quotes"
    return f"{says}; did you mean {keys[close[0]]}?"


def _not_true_or_false(value: Any) -> str:
    meant = _YES.get(value.strip().lower()) if isinstance(value, str) else None
    if isinstance(value, str) and value.strip().lower() in ("true", "false"):
        meant = value.strip().lower()
    return f"{_shown(value)} is not understood here; write {meant or 'true or false'}"


def _not_a_date(value: Any) -> str:
    found = _BRITISH_DATE.fullmatch(value.strip()) if isinstance(value, str) else None
    if found:
        day, month, year = (int(part) for part in found.groups())
        try:
            return f"{_shown(value)} is not a date; write {datetime.date(year, month, day)}"
        except ValueError:
            return f"{_shown(value)} is a day that no calendar has; write year-month-day, as in 2026-11-20"
    return f"{_shown(value)} is not a date; write year-month-day, as in 2026-11-20"


def _not_text(value: Any) -> str:
    if value is None:
        return "this must be given; without it nothing else here has a name or a place"
    read = "true or false" if isinstance(value, bool) else "a number"
    return f"{_shown(value)} is read as {read}; put it in quotes, as you write it on paper"


def _shown(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict | list):
        return "a list" if isinstance(value, list) else "a group of fields"
    return f"'{shortened(value)}'" if isinstance(value, str) else f"{value:g}" if abs(value) < 1e300 else "this"


def _key(text: str) -> str:
    return re.sub(r"[\W_]", "", text.lower())
