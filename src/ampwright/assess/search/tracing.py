"""A job that notes which of its fields are read.

Two jobs that agree in every field that a rule read get the same answer from it, so an answer needs to be worked
out only once for each set of values read. Which fields those are is observed, not declared: a new rule needs no entry.
"""

from __future__ import annotations

import dataclasses
from functools import lru_cache
from typing import Any

from ampwright.job.fields import hints, is_group, item_of
from ampwright.job.record import Job


class Trace:
    """A copy of a job whose decision fields may be set anew, and the paths of it that were read since `forget`."""

    def __init__(self, job: Job) -> None:
        self.read: set[str] = set()
        self._groups: dict[str, Any] = {}
        self.job: Job = self._copied(job, "")

    def forget(self) -> None:
        """Start noting afresh."""
        self.read.clear()

    def put(self, path: str, value: Any) -> None:
        """Set the field at a concrete path of this copy. Raises KeyError for a path that the job has not."""
        group, _, name = path.rpartition(".")
        object.__setattr__(self._groups[group], name, value)

    def _copied(self, group: Any, path: str) -> Any:
        kind: type = type(group)
        copy: Any = object.__new__(_noting(kind))
        object.__setattr__(copy, "_noted", self.read)
        object.__setattr__(copy, "_paths", {name: f"{path}.{name}" if path else name for name in hints(kind)})
        for name in hints(kind):
            value, here = getattr(group, name), f"{path}.{name}" if path else name
            if dataclasses.is_dataclass(value) and name in _inner(kind):
                value = self._copied(value, here)
            elif name in _inner(kind) and value is not None:
                value = tuple(self._copied(each, f"{here}[{number}]") for number, each in enumerate(value))
            object.__setattr__(copy, name, value)
        self._groups[path] = copy
        return copy


@lru_cache(maxsize=64)
def _inner(group: type) -> frozenset[str]:
    """The names of a group's fields under which more fields stand."""
    return frozenset(name for name, hint in hints(group).items() if is_group(hint) or is_group(item_of(hint)))


@lru_cache(maxsize=64)
def _noting(group: type) -> type:
    """A subclass of a record group that notes the paths of the leaves read from it."""
    leaves, base_read = frozenset(hints(group)) - _inner(group), object.__getattribute__

    def read(self: Any, name: str) -> Any:
        if name in leaves:
            try:
                base_read(self, "_noted").add(base_read(self, "_paths")[name])
            except AttributeError:  # a copy made by a rule has no paths: what it holds was noted when it was copied
                return base_read(self, name)
        return base_read(self, name)

    return type(f"Noting{group.__name__}", (group,), {"__slots__": ("_noted", "_paths"), "__getattribute__": read})
