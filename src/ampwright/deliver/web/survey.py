"""The survey of one part: its questions in sections, and the changes that a filled-in form makes."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ampwright.assess.assessment import Assessment
from ampwright.deliver.store.values import Values, lists, value_at
from ampwright.deliver.web.controls import NOTES, Control, control, kind_of, value_of
from ampwright.deliver.web.parts import Part, part_of, paths_of
from ampwright.job.fields import bare, hints, item_of
from ampwright.job.files import Fault
from ampwright.job.paths import at, pattern_of, spread
from ampwright.job.record import Job
from ampwright.working import capital

ITEMS = {"route": "a stretch of the route", "installation.loads": "a load", "installation.points": "a split or board",
         "sensors": "a sensor", "vehicles": "a vehicle", "vehicles[].trips": "a trip", "generation.arrays": "an array",
         "people": "a person", "tests.instruments": "an instrument", "tests.pilot": "a pilot state",
         "route[].enclosure.holds": "a size of conductor"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Section:
    """Questions that belong together. `item` is the path of the list entry that they are of, if they are of one."""

    heading: str
    item: str
    last: bool
    controls: tuple[Control, ...]


@dataclass(frozen=True, slots=True)
class Addition:
    """A list that may grow: the place of its next entry, what one is called, in which entry it lies, what is asked."""

    place: str
    item: str
    within: str
    controls: tuple[Control, ...]

    @property
    def path(self) -> str:
        """The list that grows."""
        return self.place.rpartition("[")[0]

    @property
    def open(self) -> bool:
        """Whether somebody typed here, or must put something right."""
        return any(each.faults or "".join(each.typed.values()).replace("unseen", "") for each in self.controls)


def sections(values: Values, assessment: Assessment, part: Part, typed: Mapping[str, str] | None = None,
             faults: tuple[Fault, ...] = ()) -> tuple[Section, ...]:  # fmt: skip
    """Every question of a part, filled in with what stands there, or with what was typed."""
    asked = {unknown.path for unknown in assessment.to_find_out}
    grouped: dict[str, list[Control]] = {}
    for path in paths_of(assessment.job, part):
        mine = tuple(each.says for each in faults if each.path == path or each.path.startswith(f"{path}."))
        own = None if typed is None else boxes_typed(typed, path)
        grouped.setdefault(_group(path), []).append(control(values, path, asked=path in asked, typed=own or None,
                                                            faults=mine))  # fmt: skip
    return tuple(Section(_heading(assessment.job, group), *_item(assessment.job, group), tuple(found))
                 for group, found in grouped.items())  # fmt: skip


def additions(job: Job, part: Part, typed: Mapping[str, str] | None = None,
              faults: tuple[Fault, ...] = ()) -> tuple[Addition, ...]:  # fmt: skip
    """The lists of a part that may grow, each with what an entry cannot do without."""
    found = []
    for pattern, item in ITEMS.items():
        if pattern in lists() and part_of(pattern) is part:
            for path in spread(job, pattern):
                if pattern_of(path) == pattern:
                    place = f"{path}[{len(at(job, path) or ())}]"
                    within = _heading(job, path.rpartition(".")[0]) if "[" in path else ""
                    found.append(Addition(place, item, within, _asked_first(pattern, place, typed, faults)))
    return tuple(found)


def changes(values: Values, paths: list[str], typed: Mapping[str, str]) -> dict[str, Any]:
    """What a form says that differs from what stood there when it was shown."""
    new = {}
    for path in paths:
        boxes = boxes_typed(typed, path)
        before = value_at(values, path)
        if boxes:
            value = value_of(kind_of(path), boxes, before)
            if value != before and not (value is None and before in ([], "")):
                new[path] = value
    return new


def entry(added: Addition, typed: Mapping[str, str]) -> dict[str, Any]:
    """The new entry that a form describes: what it cannot do without."""
    return {each.path.rsplit(".", 1)[-1]: value_of(each.kind, boxes_typed(typed, each.path), None)
            for each in added.controls}  # fmt: skip


def boxes_typed(typed: Mapping[str, str], path: str) -> dict[str, str]:
    """The boxes of one question in a posted form: `supply.ze_ohm~low` is the box `low`."""
    names = {"": path, **{name: f"{path}~{name}" for name in ("kind", *NOTES)}}
    return {box: typed[name].replace("\r\n", "\n") for box, name in names.items() if name in typed}


def _asked_first(pattern: str, place: str, typed: Mapping[str, str] | None,
                 faults: tuple[Fault, ...]) -> tuple[Control, ...]:  # fmt: skip
    group = _group_class(pattern)
    wanted = [each.name for each in dataclasses.fields(group)
              if each.default is dataclasses.MISSING and each.default_factory is dataclasses.MISSING]  # fmt: skip
    named = [each.name for each in dataclasses.fields(group) if each.name == "name" and each.name not in wanted]
    found = []
    for name in named + wanted:
        path = f"{place}.{name}"
        mine = tuple(each.says for each in faults if each.path == path)
        own = boxes_typed(typed, path) if typed else None
        found.append(control({}, path, asked=False, typed=own or None, faults=mine))
    return tuple(found)


def _group_class(pattern: str) -> Any:
    here: Any = Job
    for name in pattern.replace("[]", "").split("."):
        hint = hints(here)[name]
        here = item_of(hint) or bare(hint)
    return here


def _group(path: str) -> str:
    return path.rsplit(".", 1)[0] if "." in path else ""


def _item(job: Job, group: str) -> tuple[str, bool]:
    found = re.fullmatch(r"(.+)\[(\d+)\]", group)
    return (group, int(found[2]) == len(at(job, found[1])) - 1) if found else ("", False)


def _heading(job: Job, group: str) -> str:
    """`route[0].cable` -> "Route, no. 1 (front wall): cable"."""
    words = []
    here = ""
    for name in group.split(".") if group else ["job"]:
        here = f"{here}.{name}" if here else name
        found = re.fullmatch(r"(\w+)\[(\d+)\]", name)
        if found:
            called = getattr(at(job, here), "name", None)
            words.append(f"{found[1]}, no. {int(found[2]) + 1}" + (f" ({called})" if called else ""))
        else:
            words.append(name)
    text = ": ".join(words).replace("_", " ").replace("rcd", "RCD").replace("cutout", "cut-out")
    return capital(text)
