"""How many boxes the entries of a record fill, and whose entries they are.

An entry is one leaf of the record that holds what somebody put there: a leaf that the record has by itself, such as the
declared voltage, is none. Each entry of a list counts, and so does each label of a row, such as a load's name.
"""

from __future__ import annotations

import csv
import dataclasses
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Any

from ampwright.assess.paperwork.boxes import Box
from ampwright.assess.paperwork.desk import stated
from ampwright.job.fields import bare, hints, is_group, item_of, leaves
from ampwright.job.paths import at, pattern_of, replaced
from ampwright.job.record import Job

THIS_JOB = "this job"


@dataclass(frozen=True, slots=True)
class Coverage:
    """The boxes of a job, the entries that the compulsory ones hang on by whose they are, and what is still empty."""

    boxes: tuple[Box, ...]
    entries: dict[str, tuple[str, ...]]

    @property
    def compulsory(self) -> tuple[Box, ...]:
        """The boxes that a paper cannot go out without."""
        return tuple(each for each in self.boxes if each.compulsory)

    @property
    def filled(self) -> tuple[Box, ...]:
        """The compulsory boxes that hold something."""
        return tuple(each for each in self.compulsory if each.value is not None)

    @property
    def empty(self) -> tuple[Box, ...]:
        """The compulsory boxes that hold nothing yet."""
        return tuple(each for each in self.compulsory if each.value is None)

    @property
    def entries_count(self) -> int:
        """All entries, whoever's they are."""
        return sum(len(each) for each in self.entries.values())


def coverage(job: Job, boxes: tuple[Box, ...]) -> Coverage:
    """Count the entries behind the compulsory boxes that are filled."""
    found: dict[str, dict[str, None]] = {}
    seen: set[str] = set()
    for box in boxes:
        if box.compulsory and box.value is not None:
            for path in box.paths:
                if path not in seen and is_entry(job, path):
                    found.setdefault(whose(job, path), {})[path] = None
                seen.add(path)
    return Coverage(boxes, {owner: tuple(paths) for owner, paths in found.items()})


def is_entry(job: Job, path: str) -> bool:
    """Whether a concrete path is a leaf that holds what somebody put there, and that no other leaf gives as well."""
    pattern = pattern_of(path)
    if pattern not in leaves() or not stated(job, path):
        return False
    return bool(at(replaced(job, path, by_itself()[pattern]), path) != at(job, path))


def whose(job: Job, path: str) -> str:
    """Whether an entry is this job's own, or the same on every job of the firm, or of the charge point's model, or one
    of the choices that `ampwright design` makes.
    """
    pattern = pattern_of(path)
    if pattern.startswith("people[]") and at(job, path.split(".")[0]).role == "installer":
        pattern = pattern.replace("[]", "[installer]")
    fits = [(len(prefix), owner) for prefix, owner in _owners().items()
            if pattern == prefix or pattern.startswith((f"{prefix}.", f"{prefix}[]"))]  # fmt: skip
    return max(fits)[1] if fits else THIS_JOB


@lru_cache(maxsize=1)
def by_itself() -> dict[str, Any]:
    """What each leaf of the record holds before anybody puts anything there."""
    return dict(_defaults(Job, ""))


@lru_cache(maxsize=1)
def _owners() -> dict[str, str]:
    text = resources.files("ampwright.assess.paperwork").joinpath("entries.csv").read_text(encoding="utf-8")
    return {row["prefix"]: row["whose"] for row in csv.DictReader(text.splitlines())}


def _defaults(group: Any, above: str) -> list[tuple[str, Any]]:
    found: list[tuple[str, Any]] = []
    for each in dataclasses.fields(group):
        hint, path = hints(group)[each.name], f"{above}{each.name}"
        if is_group(hint):
            found += _defaults(bare(hint), f"{path}.")
        elif is_group(item_of(hint)):
            found += _defaults(item_of(hint), f"{path}[].")
        else:
            found.append((path, None if each.default is dataclasses.MISSING else each.default))
    return found
