"""One thing asked of every job: a field of the record by its path or in plain words, and a value or a range."""

from __future__ import annotations

import datetime
import math
import re
import typing
from collections.abc import Callable
from dataclasses import dataclass
from difflib import get_close_matches
from enum import IntEnum
from typing import Any

from ampwright.job.fields import bare, fields, item_of, leaves
from ampwright.reading import Reading

SIGNS = (">=", "<=", "!=", "=", ">", "<", "~")
MOST_FIELDS_COUNT = 12
YES, NO = ("yes", "true"), ("no", "false")
_RANGE = re.compile(r"(.+?)\s+to\s+(.+)")


class Holds(IntEnum):
    """Whether a job holds what was asked; the weaker word is the smaller."""

    NO = 0
    NOT_LOOKED = 1
    MAY = 2
    YES = 3


class BadCondition(ValueError):
    """What was asked cannot be understood; as text it says why and what to write."""


Test = Callable[[Any], Holds]


@dataclass(frozen=True)
class Condition:
    """What was asked, as typed, and the test that a value of each of its fields is put to.

    `of_what_is_said` asks of what somebody put there alone: a field that nobody looked at does not leave it open.
    """

    text: str
    tests: dict[str, Test]
    of_what_is_said: bool = False


def condition(text: str) -> Condition:
    """Read `set_a >= 20`, `kind of cable = armoured_70c`, `length of this stretch = 10 to 20`, or a field alone, which
    asks whether anything is said there. Raises BadCondition.
    """
    found = re.search("|".join(re.escape(sign) for sign in SIGNS), text)
    name, sign, value = (text, "", "") if found is None else (text[: found.start()], found[0], text[found.end() :])
    name, value = name.strip(), value.strip()
    if not name or (sign and not value):
        raise BadCondition(f"'{text}' wants a field, a sign ({' '.join(SIGNS)}) and a value, as in: set_a >= 20")
    patterns = _patterns(name)
    tests, why = {}, ""
    for pattern in patterns:
        try:
            tests[pattern] = _said if not sign else _test(leaves()[pattern], sign, value)
        except ValueError as wrong:
            why = str(wrong)
    if not tests:
        raise BadCondition(f"'{text}': {why}")
    return Condition(text, tests, of_what_is_said=not sign)


def says(text: str) -> Condition:
    """Whether any field of words holds this."""
    worded = [pattern for pattern, hint in leaves().items() if _is_worded(hint)]
    return Condition(f"says {text}", {pattern: _worded("~", text) for pattern in worded}, of_what_is_said=True)


def _patterns(name: str) -> tuple[str, ...]:
    """The fields that a path, the end of one, or words of their labels stand for."""
    path = re.sub(r"\[\d*\]", "", name)
    plain = {pattern: pattern.replace("[]", "") for pattern in leaves()}
    found = [pattern for pattern, each in plain.items() if each == path]
    found = found or [pattern for pattern, each in plain.items() if each.endswith(f".{path}")]
    found = found or [pattern for pattern in leaves() if fields()[pattern].asks.lower() == name.lower()]
    words = re.findall(r"\w+", name.lower())
    found = found or [pattern for pattern in leaves() if all(_spoken(pattern, word) for word in words)]
    if not found:
        labels = [each.asks for each in fields().values()]
        close = get_close_matches(name, [*labels, *plain.values()], n=3, cutoff=0.4)
        hint = f" Did you mean: {'; '.join(close)}?" if close else ""
        raise BadCondition(f"the record has no field '{name}'.{hint}")
    if len(found) > MOST_FIELDS_COUNT:
        some = "; ".join(f"{fields()[each].asks} ({each})" for each in found[:MOST_FIELDS_COUNT])
        raise BadCondition(f"'{name}' may be any of {len(found)} fields; say more. The first are: {some}")
    return tuple(found)


def _spoken(pattern: str, word: str) -> bool:
    spoken = re.findall(r"[a-z0-9]+", f"{fields()[pattern].asks} {pattern.replace('_', ' ')}".lower())
    return any(each.startswith(word) for each in spoken)


def _is_worded(hint: Any) -> bool:
    inner = bare(item_of(hint) or hint)
    if typing.get_origin(inner) is typing.Literal:
        return isinstance(typing.get_args(inner)[0], str)
    return inner is str


def _test(hint: Any, sign: str, value: str) -> Test:
    """Raises ValueError where no value of this kind is written like that."""
    inner = bare(item_of(hint) or hint)
    if inner is bool:
        return _yes_or_no(sign, value)
    if _is_worded(hint):
        return _worded(sign, value)
    if sign == "~":
        raise ValueError("~ looks inside words, and this field holds none; write = or a range")
    return _measured(sign, *_ends(inner, value))


def _ends(inner: Any, value: str) -> tuple[Any, Any]:
    found = _RANGE.fullmatch(value)
    low, high = found.groups() if found else (value, value)
    read: Callable[[str], Any] = datetime.date.fromisoformat if inner is datetime.date else float
    try:
        ends = read(low), read(high)
    except ValueError as wrong:
        wanted = "a day, as 2026-11-20, or two, as 2026-01-01 to 2026-06-30"
        wanted = wanted if inner is datetime.date else "a number, or a range, as 10 to 20"
        raise ValueError(f"'{value}' is not {wanted}") from wrong
    if ends[0] > ends[1] or any(isinstance(each, float) and not math.isfinite(each) for each in ends):
        raise ValueError(f"'{value}' is no range; write the smaller end first")
    return ends


def _said(_: Any) -> Holds:
    return Holds.YES


def _yes_or_no(sign: str, value: str) -> Test:
    if sign not in ("=", "!=") or value.lower() not in (*YES, *NO):
        raise ValueError(f"'{sign} {value}' is not understood of this field; write = yes or = no")
    wanted = (value.lower() in YES) is (sign == "=")
    return lambda has: Holds.YES if has is wanted else Holds.NO


def _worded(sign: str, value: str) -> Test:
    if sign not in ("=", "!=", "~"):
        raise ValueError(f"this field holds words; write =, != or ~ and not {sign}")
    wanted = _folded(value)

    def test(has: Any) -> Holds:
        texts = [_folded(str(each)) for each in (has if isinstance(has, tuple) else (has,))]
        there = any(wanted in each if sign == "~" else wanted == each for each in texts)
        return Holds.YES if there is not (sign == "!=") else Holds.NO

    return test


def _folded(text: str) -> str:
    return " ".join(text.replace("_", " ").casefold().split())


def _measured(sign: str, low: Any, high: Any) -> Test:
    """A range of a survey holds it for certain only if both its ends do."""
    compare: dict[str, Callable[[Any], bool]] = {
        "=": lambda each: low <= each <= high,
        "!=": lambda each: low <= each <= high,
        ">": lambda each: each > high, ">=": lambda each: each >= low,
        "<": lambda each: each < low, "<=": lambda each: each <= high,
    }  # fmt: skip

    def test(has: Any) -> Holds:
        ends = (has.low, has.high) if isinstance(has, Reading) else (min(has), max(has)) if isinstance(
            has, tuple) else (has, has)  # fmt: skip
        inside = [compare[sign](each) for each in ends]
        around = sign in ("=", "!=") and ends[0] < low and high < ends[1]
        found = Holds.YES if all(inside) else Holds.MAY if any(inside) or around else Holds.NO
        return found if sign != "!=" or found is Holds.MAY else Holds.NO if found is Holds.YES else Holds.YES

    return test
