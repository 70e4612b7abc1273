"""What a take-off is made of, and the closed list of codes: codes.csv beside this file.

A code is the plain word of the trade by which a price book or a labour time is found; the name on the list may say
more. A need is a range while the survey has ranges; what cannot be said yet is not an item but a path in `missing`.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Literal

from ampwright.reading import Reading

Unit = Literal["m", "each", "pair", "box"]
ITEM, TOOL = "item", "tool"


class UnknownCode(LookupError):
    """A code that codes.csv has not under that sort: a fault of ours."""


@dataclass(frozen=True, slots=True)
class Item:
    """Something to buy: so much of it, why, and from which paths of the record it came."""

    code: str
    name: str
    unit: Unit
    need: Reading
    why: str
    of: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Operation:
    """Work by the metre or by the piece, so much of it, and the minutes that one takes."""

    name: str
    unit: Unit
    need: Reading
    minutes_each: int


@dataclass(frozen=True, slots=True)
class Tool:
    """Something to have in the van that stays in the van."""

    code: str
    name: str
    why: str


@dataclass(frozen=True, slots=True)
class Cut:
    """One unbroken length of cable, with all that is allowed for; `allowed_m` says what, in metres of the high end."""

    code: str
    name: str
    length_m: Reading
    measured_m: Reading
    allowed_m: tuple[tuple[str, float], ...]
    of: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Fill:
    """How full a conduit or trunking is by the term method, and whether that may be; `sum` is the sum as written."""

    stretch: str
    name: str
    terms_count: float
    room_count: float
    holds: bool
    sum: str
    of: str


@dataclass(frozen=True, slots=True)
class TakeOff:
    """All that the job needs as far as its record goes, and the paths of what is still unknown."""

    items: tuple[Item, ...]
    missing: tuple[str, ...]
    cuts: tuple[Cut, ...] = ()
    tools: tuple[Tool, ...] = ()
    remarks: tuple[str, ...] = ()
    fills: tuple[Fill, ...] = ()
    operations: tuple[Operation, ...] = ()


@dataclass(frozen=True, slots=True)
class Code:
    """A row of codes.csv."""

    code: str
    sort: str
    unit: Unit
    group: str


@lru_cache(maxsize=1)
def codes() -> dict[str, Code]:
    """Every known code, in the order of the list."""
    text = resources.files("ampwright.assess.materials").joinpath("codes.csv").read_text(encoding="utf-8")
    return {row["code"]: Code(**row) for row in csv.DictReader(text.splitlines())}  # type: ignore[arg-type]


def item(code: str, name: str, need: Reading, why: str, *of: str) -> Item:
    """An item of a known code. Raises UnknownCode for any other."""
    return Item(code, name, _known(code, ITEM).unit, need, why, tuple(of))


def tool(code: str, why: str, name: str = "") -> Tool:
    """A tool of a known code, named by it where no name is given. Raises UnknownCode for any other."""
    _known(code, TOOL)
    return Tool(code, name or code, why)


def exactly(value: float) -> Reading:
    """A need that is known: a count, or a length."""
    return Reading(value, value)


def _known(code: str, sort: str) -> Code:
    found = codes().get(code)
    if found is None or found.sort != sort:
        raise UnknownCode(f"{code!r} is no {sort} of codes.csv")
    return found
