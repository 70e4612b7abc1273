"""Conduit and trunking by the term method: the terms of what runs in it against the term of its size.

The terms of trunking are the area of a conductor with its insulation and 45 % of the room, both in mm2, so a sheathed
cable counts there with its own area: that of a circle, on the longer side where it is not round. No source gives terms
for a sheathed cable in conduit: there, and for sizes that no table has, area stands against the space factor.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from ampwright.assess.materials.allowances import allowances
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
    """One size of conduit or trunking and its term; `says` how it was come by where no table has it. Of conduit
    `across_mm` is the outside diameter; of trunking `inside_mm` is the lesser and the greater side within its walls."""

    name: str
    term_count: float
    fact: Fact
    says: str = ""
    across_mm: float = 0.0
    inside_mm: tuple[float, float] | None = None


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
        yield Room(f"{size_mm:g} mm conduit", fact.value, fact, across_mm=size_mm)


def trunking_rooms() -> Iterator[Room]:
    """The trunkings of the table, smallest first."""
    found = [look_up("gb/trunking_capacity", "term_count", width_mm=row["width_mm"], depth_mm=row["depth_mm"])
             for row in rows("gb/trunking_capacity")]  # fmt: skip
    for row, fact in sorted(zip(rows("gb/trunking_capacity"), found, strict=True), key=lambda each: each[1].value):
        yield Room(f"{row['width_mm']} x {row['depth_mm']} mm trunking", fact.value, fact,
                   inside_mm=_within(float(row["width_mm"]), float(row["depth_mm"])))  # fmt: skip


def is_by_area(section: Section) -> bool:
    """Whether no table has terms for it: a sheathed cable in conduit."""
    return section.enclosure.kind == "conduit" and section.cable.kind not in SINGLES


def conduits_by_area() -> Iterator[Room]:
    """The conduits of the table by the area inside them, smallest first."""
    for row in rows("gb/conduit_capacity"):
        yield room_by_area("conduit", float(row["conduit_mm"]), None)


def room_by_area(kind: str, width_mm: float, tall_mm: float | None) -> Room:
    """What a conduit or trunking of that size takes by the space factor, the least that a source allows, in mm2."""
    known = [row["percent"] for row in rows("gb/space_factor") if row["enclosure"] == kind]
    least, *more = (look_up("gb/space_factor", "percent", enclosure=kind, percent=each)
                    for each in sorted(known, key=float))  # fmt: skip
    wall_mm = 2 * allowances()[f"{kind}_wall"]
    inside_mm2 = (math.pi / 4 * (width_mm - wall_mm) ** 2 if tall_mm is None else
                  (width_mm - wall_mm) * (tall_mm - wall_mm))  # fmt: skip
    name = f"{width_mm:g} mm conduit" if tall_mm is None else f"{width_mm:g} x {tall_mm:g} mm trunking"
    others = "".join(f"; {each.where} allows {each.value:g} %" for each in more)
    says = (f"{least.value:g} % of the {inside_mm2:.0f} mm2 inside, its wall taken as {wall_mm / 2:g} mm: measure "
            f"it{others}")  # fmt: skip
    return Room(name, round(inside_mm2 * least.value / 100, 1), least, says, width_mm if tall_mm is None else 0.0,
                None if tall_mm is None else _within(width_mm, tall_mm))  # fmt: skip


def _within(width_mm: float, tall_mm: float) -> tuple[float, float]:
    wall_mm = 2 * allowances()["trunking_wall"]
    return round(min(width_mm, tall_mm) - wall_mm, 1), round(max(width_mm, tall_mm) - wall_mm, 1)


def too_thick(section: Section, room: Room) -> str:
    """Why a sheathed cable does not go into a trunking whose area would do: in words, empty where it does.

    A flat cable may lie flat: its thickness counts against the lesser side, and its width against the greater.
    """
    if room.inside_mm is None or section.cable.kind in SINGLES:
        return ""
    wide_mm, least_mm = _across_mm(section)[0], room.inside_mm[0]
    thick_mm = wide_mm
    if section.cable.kind == "flat_twin_and_earth" and section.cable.size_mm2 is not None:
        known = [row for row in rows("gb/flat_cable_dimensions") if float(row["size_mm2"]) == section.cable.size_mm2]
        thick_mm = float(known[0]["height_mm"]) if known else wide_mm
    if thick_mm <= least_mm and wide_mm <= room.inside_mm[1]:
        return ""
    size = f"{wide_mm:g} mm" if thick_mm == wide_mm else f"{wide_mm:g} x {thick_mm:g} mm"
    return (f"the cable is {size}, and the trunking is {least_mm:g} mm between its walls, which are taken as "
            f"{allowances()['trunking_wall']:g} mm: measure it")  # fmt: skip


def terms_of(section: Section, phases_count: int, *, bent: bool) -> tuple[Term, ...]:
    """The terms of the new cable and of what is inside already. Raises NoRow, in words, for what has no term."""
    cable, conduit = section.cable, section.enclosure.kind == "conduit" and not is_by_area(section)
    assert cable.size_mm2 is not None
    found = []
    if cable.kind in SINGLES:
        insulation = "90c" if cable.kind == "singles_90c" else "70c"
        found.append(_single(LIVE[phases_count], cable.size_mm2, insulation, conduit=conduit, bent=bent))
        if cable.cpc == "core" and cable.cpc_mm2 is not None:
            found.append(_single(1, cable.cpc_mm2, insulation, conduit=conduit, bent=bent))
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
    """A sheathed cable by its area: a circle on its diameter, of flat cable on its width."""
    across_mm, fact = _across_mm(section)
    flat = section.cable.kind == "flat_twin_and_earth"
    name = f"flat cable {across_mm:g} mm wide" if flat else f"cable of {across_mm:g} mm"
    return Term(name, 1, round(math.pi / 4 * across_mm**2, 1), fact)


def _across_mm(section: Section) -> tuple[float, Fact | None]:
    """The diameter, of flat cable the width: as measured, or by the table."""
    cable = section.cable
    assert cable.size_mm2 is not None
    flat, fact = cable.kind == "flat_twin_and_earth", None
    if cable.sheath_mm is None and flat:
        fact = look_up("gb/flat_cable_dimensions", "width_mm", size_mm2=cable.size_mm2)
    elif cable.sheath_mm is None:
        fact = look_up("gb/armoured_dimensions", "overall_mm", cores_count=cable.cores_count or 0,
                       size_mm2=cable.size_mm2)  # fmt: skip
    return (fact.value if fact else cable.sheath_mm.high if cable.sheath_mm else 0.0), fact


def first_that_holds(wanted_count: float, rooms: Iterator[Room]) -> Room | None:
    """The smallest with at least the terms wanted; None where none has."""
    return next((room for room in rooms if room.term_count >= wanted_count - 1e-9), None)


def told(terms: tuple[Term, ...], room: Room) -> str:
    """The sum as it is written: "6 x 58 + 1 x 43 = 391 of 460 (...)", with what is from memory named."""
    parts = " + ".join(f"{each.number_count:g} x {each.term_count:g} ({each.name})" for each in terms)
    facts = [fact for fact in (*(each.fact for each in terms), room.fact) if fact is not None]
    where = ", ".join(dict.fromkeys(fact.where for fact in facts))
    memory = "; from memory, look it up" if any(fact.trust is Trust.MEMORY for fact in facts) else ""
    total, how = sum(each.total_count for each in terms), f"{room.says}; " if room.says else ""
    return f"{parts} = {total:g} of {room.term_count:g} ({how}{where}{memory})"
