"""What each field of the record asks of the surveyor, in words, and between which ends a number is sane."""

from __future__ import annotations

import csv
import dataclasses
import re
import types
import typing
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Any

from ampwright.job.paths import pattern_of
from ampwright.job.record import Job
from ampwright.reading import Reading


@dataclass(frozen=True, slots=True)
class Field:
    """One row of fields.csv. `low` and `high` are in the unit of the field's name; None where there is no number."""

    path: str
    asks: str
    how: str
    instrument: str
    low: float | None
    high: float | None


@lru_cache(maxsize=1)
def fields() -> dict[str, Field]:
    """Every leaf of the record by its path pattern, in the record's order."""
    text = resources.files("ampwright.job").joinpath("fields.csv").read_text(encoding="utf-8")
    found = {}
    for row in csv.DictReader(text.splitlines()):
        low, high = (float(row[end]) if row[end] else None for end in ("low", "high"))
        found[row["path"]] = Field(row["path"], row["asks"], row["how"], row["instrument"], low, high)
    return found


def field(path: str) -> Field:
    """The field at a path or pattern. Raises KeyError for a path that is no leaf of the record."""
    return fields()[pattern_of(path)]


def in_words(path: str, how: bool = False) -> str:
    """A path as the electrician would say it: "length of this stretch (route, no. 2)"; with `how`, how to find it out.

    A list or a group of fields that nobody has looked at yet is called by its own name.
    """
    known = fields().get(pattern_of(path))
    places = re.findall(r"(\w+)\[(\d+)\]", path)
    where = ", ".join(f"{name.replace('_', ' ')}, no. {int(index) + 1}" for name, index in places)
    if known is None:
        name = re.sub(r"\[\d+\]", "", path).replace("_", " ").replace(".", ", ")
        return f"{name} ({where})" if where else name
    words = f"{known.asks} ({where})" if where else known.asks
    return f"{words}: {known.how}" if how and known.how else words


@lru_cache(maxsize=1)
def leaves() -> dict[str, Any]:
    """Path pattern and declared type of every leaf of the record."""
    return dict(_leaves(Job, ""))


@lru_cache(maxsize=64)
def hints(group: type) -> dict[str, Any]:
    """The fields of one dataclass of the record and their declared types."""
    return typing.get_type_hints(group)


def bare(hint: Any) -> Any:
    """A declared type without its "or None"."""
    if isinstance(hint, types.UnionType) or typing.get_origin(hint) is typing.Union:
        return next(each for each in typing.get_args(hint) if each is not type(None))
    return hint


def item_of(hint: Any) -> Any:
    """What a list holds, or None for what is no list."""
    plain = bare(hint)
    return typing.get_args(plain)[0] if typing.get_origin(plain) is tuple else None


def is_group(hint: Any) -> bool:
    """Whether fields stand below this one."""
    return dataclasses.is_dataclass(bare(hint)) and bare(hint) is not Reading


def _leaves(group: Any, above: str) -> typing.Iterator[tuple[str, Any]]:
    for name, hint in hints(group).items():
        path = f"{above}.{name}" if above else name
        if is_group(hint):
            yield from _leaves(bare(hint), path)
        elif is_group(item_of(hint)):
            yield from _leaves(item_of(hint), f"{path}[]")
        else:
            yield path, hint
