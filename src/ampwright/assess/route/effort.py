"""What a route costs, in minutes of work, and how far things are kept apart: effort.csv beside this file, or your own.

One row a figure, by its name; `unit` is that of the file shipped. A file of your own has every row.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from difflib import get_close_matches
from functools import lru_cache
from pathlib import Path

from ampwright.assess.user_csv import Sort
from ampwright.facts import look_up, rows
from ampwright.job.faults import Fault, shortened
from ampwright.job.sketch import Service

CLEARANCE = "gb/service_clearance"
SORT = Sort("list of efforts", "route/effort.csv", ("name", "value", "unit", "note"))
NUMBER = re.compile(r"[0-9]{1,6}(\.[0-9]{1,4})?")
BOUNDS = {"min/m": (0.0, 10_000.0), "min": (0.0, 10_000.0), "mm": (0.0, 20_000.0), "ratio": (1.0, 100.0),
          "deg": (0.0, 30.0)}  # fmt: skip
ABOVE_NOTHING = ("depth",)
Efforts = Mapping[str, float]
_OWN: ContextVar[Efforts | None] = ContextVar("efforts of the user's own", default=None)


def efforts() -> Efforts:
    """Every value by its name; those in use, else those of effort.csv."""
    return _OWN.get() or _shipped()


@contextmanager
def using_efforts(own: Efforts | None) -> Iterator[None]:
    """Routes sought within go by these efforts; with None by those shipped."""
    before = _OWN.set(own)
    try:
        yield
    finally:
        _OWN.reset(before)


def read_efforts(source: str | Path | None = None) -> Efforts:
    """The efforts in a text or in a file, or those shipped. Raises BadTable with every fault at once."""
    units = _units()
    with SORT.reading(source) as found:
        for line, row in found.rows:
            found.faults.extend(_faults_of(line, row, units))
        found.judge_doubles(("name",), lambda row, before: Fault(None, "name", f"'{shortened(row['name'])}' stands "
                                                                 f"already on line {before}"))  # fmt: skip
        if found.whole:
            names = {row["name"] for _, row in found.rows}
            found.faults.extend(Fault(None, "", f"there is no row named {name}") for name in units
                                if name not in names)  # fmt: skip
    return {row["name"]: float(row["value"]) for _, row in found.rows}


def _faults_of(line: int, row: dict[str, str], units: Mapping[str, str]) -> Iterator[Fault]:
    name, value = row["name"], row["value"]
    if name not in units:
        close = get_close_matches(name, units, n=1)
        hint = f"; did you mean {close[0]}?" if close else ""
        yield Fault(line, "name", f"'{shortened(name)}' is no effort that is known{hint}")
        return
    unit = units[name]
    if row["unit"] != unit:
        yield Fault(line, "unit", f"'{shortened(row['unit'])}' will not do: {name} is in {unit}")
    low, high = BOUNDS[unit]
    if not NUMBER.fullmatch(value) or not low <= float(value) <= high or (name in ABOVE_NOTHING and not float(value)):
        more = ", above 0" if name in ABOVE_NOTHING else ""
        yield Fault(line, "value", f"'{shortened(value)}' will not do for {name}; write a number from {low:g} to "
                    f"{high:g} {unit}{more}")  # fmt: skip


@lru_cache(maxsize=1)
def _units() -> dict[str, str]:
    with SORT.reading(None) as found:
        return {row["name"]: row["unit"] for _, row in found.rows}


@lru_cache(maxsize=1)
def _shipped() -> Efforts:
    return read_efforts()


def clearance_mm(service: Service, laid: str) -> float:
    """How far a cable keeps from the outside of a service, on the surface or buried.

    From gas on the surface, the largest figure that any source gives for a pipe of that size.
    """
    if service.kind == "gas" and laid == "surface":
        large = service.diameter_mm > 35
        wanted = ("cable", "cable_beside_pipe_over_35_mm") if large else ("cable",)
        return max(float(row["distance_mm"]) for row in rows("gb/gas_separation") if row["equipment"] in wanted)
    return look_up(CLEARANCE, "distance_mm", service=service.kind, laid=laid).value


def equipment_mm() -> float:
    """How far gas keeps from a board or a charge point: the largest figure that any source gives for what switches."""
    wanted = ("meter_cutout_consumer_unit_isolator", "switch_or_socket")
    return max(float(row["distance_mm"]) for row in rows("gb/gas_separation") if row["equipment"] in wanted)


def crossing_mm(service: Service) -> float | None:
    """How far in height a trench keeps from a buried service that it crosses; None where no row allows less than beside
    it, as of gas."""
    if not any(row["service"] == service.kind and row["laid"] == "crossing" for row in rows(CLEARANCE)):
        return None
    return look_up(CLEARANCE, "distance_mm", service=service.kind, laid="crossing").value
