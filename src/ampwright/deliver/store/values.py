"""Plain values of a job by their paths, as a change names them: a leaf, one item of a list, or a whole list."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise
from typing import Any

from ampwright.job.fields import bare, fields, hints, is_group, item_of
from ampwright.job.files import BadJobFile, Fault
from ampwright.job.paths import pattern_of
from ampwright.job.record import Job

Values = dict[str, Any]
_ABSENT: Any = object()
_STEP = re.compile(r"\.?([a-z]\w*)|\[(\d{1,4})\]")
_WHOLE = re.compile(r"[a-z]\w*(\[\d{1,4}\])?(\.[a-z]\w*(\[\d{1,4}\])?)*")


class NoSuchPlace(BadJobFile):
    """A change names a place that the record has not, or that is not there yet."""

    def __init__(self, path: str, says: str) -> None:
        super().__init__((Fault(None, path, says),))


@lru_cache(maxsize=1)
def lists() -> frozenset[str]:
    """The patterns of all lists whose items have fields: `route`, `vehicles`, `vehicles[].trips`."""
    return frozenset(path[: found.start()] for path in fields() for found in re.finditer(r"\[\]", path))


def is_place(path: str) -> bool:
    """Whether a change may name this path: a leaf of the record, an item of a list, or a list."""
    if not _WHOLE.fullmatch(path) or path == "version":
        return False
    pattern = pattern_of(path)
    return pattern in fields() or pattern.removesuffix("[]") in lists()


def overlap(one: str, other: str) -> bool:
    """Whether a change at one path touches what stands at the other: the same place, or one inside the other."""
    shorter, longer = sorted((steps(one), steps(other)), key=len)
    return longer[: len(shorter)] == shorter


def leaves_of(values: Values) -> Iterator[tuple[str, Any]]:
    """Path and value of every leaf, but for the version; an item that says nothing yet is a leaf itself."""
    for name, value in values.items():
        if name != "version":
            yield from _leaves(name, value)


def value_at(values: Values, path: str) -> Any:
    """What stands at a path; where nothing does, what the record takes for it (None unless it has a default)."""
    here: Any = values
    for step in steps(path):
        if isinstance(step, int):
            here = here[step] if isinstance(here, list) and step < len(here) else None
        else:
            here = here.get(step, _ABSENT) if isinstance(here, dict) else None
    return _defaults().get(pattern_of(path)) if here is _ABSENT else here


def put(values: Values, path: str, value: Any) -> None:
    """Set what stands at a path, in place. None at the last item of a list takes that item away.

    Raises NoSuchPlace for an item that is not there and is not the next one, and for one to be taken that is not last.
    """
    parts = steps(path)
    last = parts[-1]
    here: Any = values
    for step, following in pairwise(parts):
        _fits(here, step, path)
        empty: Any = [] if isinstance(following, int) else {}
        if isinstance(step, int):
            _in_reach(here, step, path)
            here = here[step] if step < len(here) else _appended(here, empty)
        else:
            here[step] = empty if here.get(step) is None else here[step]
            here = here[step]
    _fits(here, last, path)
    if not isinstance(last, int):
        here[last] = value
        return
    _in_reach(here, last, path)
    if value is None:
        if last != len(here) - 1:
            raise NoSuchPlace(path, "only the last of a list can be taken away alone; change the whole list instead")
        here.pop()
    else:
        here[last:last + 1] = [value]


def at_the_end(values: Values, wanted: list[tuple[str, Any]]) -> list[tuple[str, Any]]:
    """Changes with the place of each that is one more of a list: `route[]` -> `route[2]` where two are there."""
    found = []
    for path, value in wanted:
        place = path
        if path.endswith("[]"):
            items = value_at(values, path[:-2])
            place = f"{path[:-2]}[{len(items) if isinstance(items, list) else 0}]"
        found.append((place, value))
    return found


def plain(value: Any) -> Any:
    """One shape for what means the same: a reading with nothing but its value is that number, a blank is nothing."""
    if isinstance(value, dict) and set(value) == {"value"} and not isinstance(value["value"], dict):
        return value["value"]
    return None if value == "" else value


@lru_cache(maxsize=4096)
def steps(path: str) -> tuple[str | int, ...]:
    """`route[1].length_m` -> ("route", 1, "length_m")."""
    return tuple(found[1] if found[1] else int(found[2]) for found in _STEP.finditer(path))


@lru_cache(maxsize=1)
def _defaults() -> dict[str, Any]:
    """The leaves that mean something when nobody entered them: `supply.declared_v` is 230 V."""
    return dict(_of_group(Job, ""))


def _of_group(group: Any, above: str) -> Iterator[tuple[str, Any]]:
    for each in dataclasses.fields(group):
        path, hint = f"{above}{each.name}", hints(group)[each.name]
        if is_group(hint):
            yield from _of_group(bare(hint), f"{path}.")
        elif is_group(item_of(hint)):
            yield from _of_group(item_of(hint), f"{path}[].")
        elif isinstance(each.default, str | int | float):
            yield path, each.default


def _leaves(path: str, value: Any) -> Iterator[tuple[str, Any]]:
    if pattern_of(path) in fields() or value in ({}, []):
        yield path, value
    elif isinstance(value, dict):
        for name, inner in value.items():
            yield from _leaves(f"{path}.{name}", inner)
    else:
        for number, item in enumerate(value):
            yield from _leaves(f"{path}[{number}]", item)


def _fits(here: Any, step: str | int, path: str) -> None:
    if not isinstance(here, list if isinstance(step, int) else dict):
        raise NoSuchPlace(path, "something else stands above this; load the page again")


def _in_reach(items: Any, index: int, path: str) -> None:
    if index > len(items):
        raise NoSuchPlace(path, f"there are {len(items)} here, so no. {index + 1} is not the next one")


def _appended(items: list[Any], item: Any) -> Any:
    items.append(item)
    return item
