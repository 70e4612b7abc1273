"""One thing of the sketch as a form: a box for each figure, and rows of figures as lines of one box."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NoReturn

from ampwright.deliver.store.store import tried
from ampwright.deliver.store.values import Values, at_the_end, put, value_at
from ampwright.deliver.web.controls import Control, kind_of, number, text_of, value_of
from ampwright.deliver.web.screens.forms import Faults, controls
from ampwright.deliver.web.survey import boxes_typed
from ampwright.job.fields import leaves
from ampwright.job.files import BadJobFile, Fault
from ampwright.job.paths import pattern_of

PLACES = {"board": "Board", "charge_point": "Charge point", "cutout": "Cut-out", "meter": "Meter",
          "gas_meter": "Gas meter"}  # fmt: skip
KINDS = {"walls": ("Walls", "wall"), "openings": ("Windows and doors", "window or door"), "rooms": ("Rooms", "room"),
         "ground": ("Ground that may be dug", "area of ground"), "services": ("Pipes and cables", "pipe or cable"),
         "trunking": ("Trunking that is there", "trunking"), "obstacles": ("In the way", "thing in the way"),
         "keep_outs": ("Kept out of", "area to keep out of"), "sensors": ("Sensors", "place of a sensor")}  # fmt: skip
ROWS = {"corners": ("Corners in turn, one a line: from the left, away from you, in mm", "0, 0"),
        "points": ("Points of its middle line, one a line: from the left, away from you, height, in mm", "0, 0, 300"),
        "make_up": ("Layers from the wall's left side, one a line: material, thickness in mm", "brick, 102.5"),
        "holds": ("Conductors in it, one a line: insulation (70c or 90c), mm², count", "70c, 2.5, 3")}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Rows:
    """A list of figures as a box asks for it: what to write, an example of a line, and what stands there."""

    path: str
    asks: str
    example: str
    text: str
    faults: tuple[str, ...]


def questions(place: str) -> tuple[list[str], dict[str, tuple[str, ...]]]:
    """The paths of one thing's single figures, and those of its rows with the names of their columns."""
    single, rows = [], dict[str, tuple[str, ...]]()
    pattern = pattern_of(place)
    for each in leaves():
        if each.startswith(f"{pattern}."):
            name, _, column = each.removeprefix(f"{pattern}.").partition("[].")
            if column:
                rows[f"{place}.{name}"] = (*rows.get(f"{place}.{name}", ()), column)
            else:
                single.append(f"{place}.{name}")
    return single, rows


def asked(values: Values, place: str, typed: Mapping[str, str] | None,
          faults: Faults) -> tuple[list[Control], list[Rows]]:  # fmt: skip
    """The questions of one thing, filled in with what stands there or with what was typed."""
    single, rows = questions(place)
    boxes = list(controls(values, single, typed, faults).values())
    found = []
    for path, columns in rows.items():
        text = typed.get(path, "") if typed is not None else _text(value_at(values, path) or [], columns)
        mine = tuple(each.says for each in faults if f"{each.path}.".startswith((f"{path}.", f"{path}[")))
        found.append(Rows(path, *ROWS[path.rsplit(".", 1)[-1]], text, mine))
    return boxes, found


def told(values: Values, place: str, typed: Mapping[str, str]) -> dict[str, Any]:
    """What a form says otherwise than what stood there, by paths; a new thing as one more. {} if nothing is new.

    Raises BadJobFile where a line of rows cannot be read, with everything else that cannot stand.
    """
    single, rows = questions(place)
    said: dict[str, Any] = {}
    for path in single:
        before = value_at(values, path)
        boxes = boxes_typed(typed, path)
        value = value_of(kind_of(path), boxes, before) if boxes else before
        said |= {path: value} if value != before else {}
    faults: list[Fault] = []
    for path, columns in rows.items():
        before = value_at(values, path) or []
        value, wrong = _rows(path, typed.get(path, _text(before, columns)), columns)
        faults += wrong
        said |= {path: value or None} if value != before and not wrong else {}
    new = place.endswith("]") and value_at(values, place) is None
    change = _whole(place, said) if new else said
    if faults:
        _refuse(values, change, faults)
    return change if said else {}


def _refuse(values: Values, change: dict[str, Any], faults: list[Fault]) -> NoReturn:
    """Raises BadJobFile with these faults, and with what else keeps the job from standing."""
    try:
        tried(values, at_the_end(values, list(change.items())))
    except BadJobFile as bad:
        raise BadJobFile((*faults, *bad.faults)) from bad
    raise BadJobFile(tuple(faults))


def _whole(place: str, said: dict[str, Any]) -> dict[str, Any]:
    """A new thing of a list is one change: one more, whatever else was drawn meanwhile."""
    thing: dict[str, Any] = {}
    for path, value in said.items():
        if value is not None:
            put(thing, path.removeprefix(f"{place}."), value)
    return {f"{place.partition('[')[0]}[]": thing}


def _text(rows: list[dict[str, Any]], columns: tuple[str, ...]) -> str:
    return "\n".join(", ".join(text_of(row.get(column)) for column in columns) for row in rows)


def _rows(path: str, text: str, columns: tuple[str, ...]) -> tuple[list[dict[str, Any]], list[Fault]]:
    rows, faults = [], []
    for count, line in enumerate(text.splitlines(), start=1):
        cells = re.split(r"[,;\s]+", line.strip(" ,;\t"))
        if cells == [""]:
            continue
        if len(cells) != len(columns):
            example = ROWS[path.rsplit(".", 1)[-1]][1]
            says = f"line {count}, “{line.strip()}”: write {len(columns)} entries, as {example}"
            faults.append(Fault(None, path, says))
        else:
            rows.append({column: cell if column in ("material", "insulation") else number(cell)
                         for column, cell in zip(columns, cells, strict=True)})  # fmt: skip
    return rows, faults
