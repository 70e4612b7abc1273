"""Find a field of the record by its path: `supply.ze_ohm`, `route[1].length_m`, or `route[].length_m` for all."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from ampwright.job.record import Job
from ampwright.reading import Reading

_PART = re.compile(r"(\w+)(\[(\d*)\])?")


def spread(job: Job, pattern: str) -> tuple[str, ...]:
    """The concrete paths that `pattern` stands for in this job.

    A list that is empty or not looked at stands for itself: `route[].length_m` is then `route`.
    """
    paths = [""]
    for name, brackets, index in _parts(pattern):
        grown: list[str] = []
        for path in paths:
            here = f"{path}.{name}" if path else name
            if not brackets or index:
                grown.append(here + brackets)
                continue
            items = at(job, here)
            if not items:
                return (here,)
            grown += [f"{here}[{number}]" for number in range(len(items))]
        paths = grown
    return tuple(paths)


def at(job: Job, path: str) -> Any:
    """What stands at a concrete path. Raises AttributeError or IndexError for a path the record has not."""
    here: Any = job
    for name, brackets, index in _parts(path):
        here = getattr(here, name)
        if brackets:
            here = here[int(index)]
    return here


def replaced(job: Job, path: str, value: Any) -> Job:
    """The same job with another value at a concrete path."""
    return _replaced(job, list(_parts(path)), value)  # type: ignore[no-any-return]


def changed(job: Job, changes: Mapping[str, Any]) -> Job:
    """The same job with other values at these concrete paths."""
    for path, value in changes.items():
        job = replaced(job, path, value)
    return job


def unseen(job: Job, patterns: tuple[str, ...]) -> tuple[str, ...]:
    """The paths, of those asked for, that nobody has looked at."""
    return tuple(path for pattern in patterns for path in spread(job, pattern) if at(job, path) in (None, ()))


def loose(job: Job, patterns: tuple[str, ...]) -> tuple[str, ...]:
    """The paths, of those asked for, whose reading is a range."""
    wide = []
    for pattern in patterns:
        for path in spread(job, pattern):
            value = at(job, path)
            if isinstance(value, Reading) and not value.exact:
                wide.append(path)
    return tuple(wide)


def pattern_of(path: str) -> str:
    """`route[1].length_m` -> `route[].length_m`."""
    return re.sub(r"\[\d+\]", "[]", path)


@lru_cache(maxsize=4096)
def _parts(path: str) -> tuple[tuple[str, str, str], ...]:
    return tuple((found[1], found[2] or "", found[3] or "") for found in map(_whole, path.split(".")))


def _whole(part: str) -> re.Match[str]:
    found = _PART.fullmatch(part)
    if found is None:
        raise AttributeError(f"{part!r} is not part of a path")
    return found


def _replaced(here: Any, parts: list[tuple[str, str, str]], value: Any) -> Any:
    if not parts:
        return value
    (name, brackets, index), rest = parts[0], parts[1:]
    inner = getattr(here, name)
    if brackets:
        items = list(inner)
        items[int(index)] = _replaced(items[int(index)], rest, value)
        return dataclasses.replace(here, **{name: tuple(items)})
    return dataclasses.replace(here, **{name: _replaced(inner, rest, value)})
