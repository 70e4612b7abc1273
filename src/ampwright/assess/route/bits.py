"""The drill bits and sleeves that are to hand: bits.csv beside this file, or your own.

Of a bit of kind `pilot` or `final` the diameter and the usable length stand, of a `sleeve` its diameter and its bore.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from ampwright.assess.route.effort import NUMBER, efforts
from ampwright.assess.user_csv import Sort
from ampwright.job.faults import Fault, shortened

SORT = Sort("list of bits", "route/bits.csv", ("kind", "diameter_mm", "usable_mm", "bore_mm", "note"))
OTHER = {"pilot": "usable_mm", "final": "usable_mm", "sleeve": "bore_mm"}
MOST_MM = {"diameter_mm": 200.0, "usable_mm": 3000.0, "bore_mm": 200.0}
_OWN: ContextVar[tuple[Bit, ...] | None] = ContextVar("bits of the user's own", default=None)


@dataclass(frozen=True, slots=True)
class Bit:
    """A bit or a sleeve: its diameter, and how deep it drills or how wide it is inside."""

    kind: str
    diameter_mm: float
    usable_mm: float
    bore_mm: float


@dataclass(frozen=True, slots=True)
class Drilling:
    """What one hole is drilled and lined with; None where no listed piece will do."""

    sleeve_mm: float | None
    bit_mm: float | None
    usable_mm: float | None
    pilot_mm: float | None
    pilot_usable_mm: float | None


@contextmanager
def using_bits(own: tuple[Bit, ...] | None) -> Iterator[None]:
    """Holes within are drilled with these; with None with those shipped."""
    before = _OWN.set(own)
    try:
        yield
    finally:
        _OWN.reset(before)


def bits_for(across_mm: float | None, deep_mm: float) -> Drilling:
    """Sleeve, final bit and pilot for a cable so wide and a wall so deep, the smallest that will do."""
    if across_mm is None:
        return Drilling(None, None, None, None, None)
    kinds = {kind: [each for each in _in_use() if each.kind == kind and each.usable_mm >= deep_mm] for kind in OTHER}
    sleeve = _least(each for each in kinds["sleeve"] if each.bore_mm >= across_mm + efforts()["sleeve_slack"])
    bit = _least(each for each in kinds["final"] if sleeve and each.diameter_mm >= sleeve.diameter_mm)
    pilot = _least(each for each in kinds["pilot"] if bit is None or each.diameter_mm < bit.diameter_mm)
    return Drilling(sleeve.diameter_mm if sleeve else None, *_size(bit), *_size(pilot))


def widest_mm() -> float:
    """The diameter of the widest final bit or sleeve to hand."""
    return max(each.diameter_mm for each in _in_use() if each.kind != "pilot")


def read_bits(source: str | Path | None = None) -> tuple[Bit, ...]:
    """The bits in a text or in a file, or those shipped. Raises BadTable with every fault at once."""
    with SORT.reading(source) as found:
        for line, row in found.rows:
            found.faults.extend(_faults_of(line, row))
        found.judge_doubles(SORT.columns[:-1], lambda _, before: Fault(None, "", f"the same stands already on line "
                                                                       f"{before}"))  # fmt: skip
        if found.whole:
            kinds = {row["kind"] for _, row in found.rows}
            found.faults.extend(Fault(None, "", f"there is no row of kind {kind}") for kind in OTHER
                                if kind not in kinds)  # fmt: skip
    return tuple(Bit(row["kind"], float(row["diameter_mm"]), float(row["usable_mm"] or math.inf),
                     float(row["bore_mm"] or 0)) for _, row in found.rows)  # fmt: skip


def _faults_of(line: int, row: dict[str, str]) -> Iterator[Fault]:
    if row["kind"] not in OTHER:
        yield Fault(line, "kind", f"'{shortened(row['kind'])}' is none of {', '.join(OTHER)}")
        return
    wanted = ("diameter_mm", OTHER[row["kind"]])
    for column, most_mm in MOST_MM.items():
        if column in wanted and not _is_size(row[column], most_mm):
            yield Fault(line, column, f"'{shortened(row[column])}' will not do; write millimetres above 0, at most "
                        f"{most_mm:g}")  # fmt: skip
        elif column not in wanted and row[column]:
            yield Fault(line, column, f"a {row['kind']} has none; leave this empty")
    sizes = [row[each] for each in ("bore_mm", "diameter_mm")]
    if row["kind"] == "sleeve" and all(map(NUMBER.fullmatch, sizes)) and float(sizes[0]) >= float(sizes[1]):
        yield Fault(line, "bore_mm", f"a sleeve of {sizes[1]} mm cannot be {sizes[0]} mm wide inside")


def _is_size(text: str, most_mm: float) -> bool:
    return bool(NUMBER.fullmatch(text)) and 0 < float(text) <= most_mm


def _size(bit: Bit | None) -> tuple[float | None, float | None]:
    return (bit.diameter_mm, bit.usable_mm) if bit else (None, None)


def _least(fit: Iterator[Bit]) -> Bit | None:
    return min(fit, key=lambda each: (each.diameter_mm, each.usable_mm), default=None)


def _in_use() -> tuple[Bit, ...]:
    return _OWN.get() or _shipped()


@lru_cache(maxsize=1)
def _shipped() -> tuple[Bit, ...]:
    return read_bits()
