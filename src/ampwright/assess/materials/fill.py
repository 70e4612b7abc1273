"""Conduit and trunking by the term method: the terms of what runs in it against the term of its size.

The terms of trunking are the area of a conductor with its insulation and 45 % of the room, both in mm2, so a sheathed
cable counts there with its own area. For conduit no term is held for a sheathed cable.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from ampwright.assess.materials.cables import LIVE, SINGLES
from ampwright.facts import NoRow, look_up, look_up_at_least, rows
from ampwright.job.record import Section
from ampwright.working import Fact, Trust

STRAIGHT_TO_M = 3.0
STRAIGHT, BENT = "straight_to_3_m", "longer_or_bent"


@dataclass(frozen=True, slots=True)
class Term:
    """So many of one thing, each with its term, and the row of the table (or why there is none)."""

    name: str
    number_count: float
    term_count: float
    fact: Fact | None

    @property
    def total_count(self) -> float:
        """The terms of all of them."""
        return self.number_count * self.term_count


@dataclass(frozen=True, slots=True)
class Room:
    """One size of conduit or trunking and its term."""

    name: str
    term_count: float
    fact: Fact


def is_bent(length_m: float, bends_count: float) -> bool:
    """Whether the tables for long or bent conduit hold: over 3 m, or with any bend."""
    return bends_count > 0 or length_m > STRAIGHT_TO_M


def conduit_term(size_mm2: float, *, bent: bool) -> Fact:
    """The larger of the terms for solid and for stranded conductors. Raises NoRow where the table ends."""
    run = BENT if bent else STRAIGHT
    builds = [row["build"] for row in rows("gb/conduit_terms")
              if row["run"] == run and float(row["size_mm2"]) == size_mm2]  # fmt: skip
    if not builds:
        raise NoRow(f"no conduit term is held for a {size_mm2:g} mm2 conductor on such a run")
    found = [look_up("gb/conduit_terms", "term_count", run=run, build=build, size_mm2=size_mm2) for build in builds]
    return max(found, key=lambda each: each.value)


def conduit_rooms(length_m: float, bends_count: float) -> Iterator[Room]:
    """The conduits for a run, smallest first; none where the table ends (put in a draw-in box)."""
    for row in rows("gb/conduit_capacity"):
        size_mm = float(row["conduit_mm"])
        if is_bent(length_m, bends_count):
            try:
                fact = look_up_at_least("gb/conduit_capacity_bent", "term_count", "length_to_m", length_m,
                                        bends_count=bends_count, conduit_mm=size_mm)  # fmt: skip
            except NoRow:
                return
        else:
            fact = look_up("gb/conduit_capacity", "term_count", run=STRAIGHT, conduit_mm=size_mm)
        yield Room(f"{size_mm:g} mm conduit", fact.value, fact)


def trunking_rooms() -> Iterator[Room]:
    """The trunkings of the table, smallest first."""
    found = [look_up("gb/trunking_capacity", "term_count", width_mm=row["width_mm"], depth_mm=row["depth_mm"])
             for row in rows("gb/trunking_capacity")]  # fmt: skip
    names = [f"{row['width_mm']} x {row['depth_mm']} mm trunking" for row in rows("gb/trunking_capacity")]
    for name, fact in sorted(zip(names, found, strict=True), key=lambda each: each[1].value):
        yield Room(name, fact.value, fact)


def terms_of(section: Section, phases_count: int, *, bent: bool) -> tuple[Term, ...]:
    """The terms of the new cable and of what is inside already. Raises NoRow, in words, for what has no term."""
    cable, conduit = section.cable, section.enclosure.kind == "conduit"
    assert cable.size_mm2 is not None
    found = []
    if cable.kind in SINGLES:
        insulation = "90c" if cable.kind == "singles_90c" else "70c"
        found.append(_single(LIVE[phases_count], cable.size_mm2, insulation, conduit=conduit, bent=bent))
        if cable.cpc == "core" and cable.cpc_mm2 is not None:
            found.append(_single(1, cable.cpc_mm2, insulation, conduit=conduit, bent=bent))
    elif conduit:
        raise NoRow("no conduit term is held for a sheathed cable: choose the conduit by its maker's figures")
    else:
        found.append(_sheathed(section))
    found += [_single(held.conductors_count, held.size_mm2, held.insulation, conduit=conduit, bent=bent, there=True)
              for held in section.enclosure.holds or ()]  # fmt: skip
    return tuple(found)


def _single(count: float, size_mm2: float, insulation: str, *, conduit: bool, bent: bool, there: bool = False) -> Term:
    name = f"{size_mm2:g} mm2 single{' already inside' if there else ''}"
    if conduit:
        fact = conduit_term(size_mm2, bent=bent)
    else:
        fact = look_up("gb/trunking_terms", "term_count", insulation=insulation, size_mm2=size_mm2)
    return Term(name, count, fact.value, fact)


def _sheathed(section: Section) -> Term:
    """A sheathed cable in trunking, by its area: flat cable as a rectangle, any other by its measured diameter."""
    cable = section.cable
    assert cable.size_mm2 is not None
    if cable.kind == "flat_twin_and_earth":
        wide, high = (look_up("gb/flat_cable_dimensions", column, size_mm2=cable.size_mm2)
                      for column in ("width_mm", "height_mm"))  # fmt: skip
        return Term(f"{cable.size_mm2:g} mm2 flat cable, {wide.value:g} x {high.value:g} mm", 1,
                    wide.value * high.value, wide)  # fmt: skip
    if cable.sheath_mm is not None:
        across_mm = cable.sheath_mm.high
        return Term(f"cable of {across_mm:g} mm", 1, round(math.pi / 4 * across_mm**2, 1), None)
    fact = look_up("gb/armoured_dimensions", "overall_mm", cores_count=cable.cores_count or 0, size_mm2=cable.size_mm2)
    return Term(f"cable of {fact.value:g} mm", 1, round(math.pi / 4 * fact.value**2, 1), fact)


def first_that_holds(wanted_count: float, rooms: Iterator[Room]) -> Room | None:
    """The smallest with at least the terms wanted; None where none has."""
    return next((room for room in rooms if room.term_count >= wanted_count - 1e-9), None)


def told(terms: tuple[Term, ...], room: Room) -> str:
    """The sum as it is written: "6 x 58 + 1 x 43 = 391 of 460 (...)", with what is from memory named."""
    parts = " + ".join(f"{each.number_count:g} x {each.term_count:g} ({each.name})" for each in terms)
    facts = [fact for fact in (*(each.fact for each in terms), room.fact) if fact is not None]
    where = ", ".join(dict.fromkeys(fact.where for fact in facts))
    memory = "; from memory, look it up" if any(fact.trust is Trust.MEMORY for fact in facts) else ""
    total = sum(each.total_count for each in terms)
    return f"{parts} = {total:g} of {room.term_count:g} ({where}{memory})"
