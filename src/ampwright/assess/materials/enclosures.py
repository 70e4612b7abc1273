"""Conduit and trunking on the list: which size a stretch takes, or whether what is there still has room."""

from __future__ import annotations

from collections.abc import Iterator

from ampwright.assess.materials.allowances import allowances
from ampwright.assess.materials.cables import ENCLOSED
from ampwright.assess.materials.fill import (
    Room,
    Term,
    conduit_rooms,
    conduits_by_area,
    first_that_holds,
    is_bent,
    is_by_area,
    room_by_area,
    terms_of,
    told,
    too_thick,
    trunking_rooms,
)
from ampwright.assess.materials.gathering import Gathering, plus, scaled, whole
from ampwright.assess.materials.items import Fill, exactly
from ampwright.facts import NoRow
from ampwright.job.record import Job, Section
from ampwright.reading import Reading


def take_enclosures(job: Job, to: Gathering) -> None:
    """For each stretch in conduit or trunking, its size by the terms, or what must be known first."""
    for number, section in enumerate(job.route):
        if section.method in ENCLOSED or section.enclosure.kind is not None:
            path = f"route[{number}]"
            gaps = _gaps(job, section, path)
            if gaps:
                to.unknown(*gaps)
                if f"{path}.enclosure.holds" in gaps:
                    to.remark(f"{section.name}: look inside it, isolated; `holds: []` says that it is empty.")
                continue
            _take(job, section, path, to)


def _gaps(job: Job, section: Section, path: str) -> list[str]:
    inside, cable = section.enclosure, section.cable
    said: dict[str, object] = {f"{path}.enclosure.kind": inside.kind, f"{path}.enclosure.there": inside.there,
                               f"{path}.length_m": section.length_m, f"{path}.cable.kind": cable.kind,
                               f"{path}.cable.size_mm2": cable.size_mm2,
                               "charge_point.phases": job.charge_point.phases}  # fmt: skip
    if inside.kind == "conduit":
        said[f"{path}.enclosure.bends_count"] = inside.bends_count
    if inside.there:
        said |= {f"{path}.enclosure.width_mm": inside.width_mm, f"{path}.enclosure.holds": inside.holds}
        if inside.kind == "trunking":
            said[f"{path}.enclosure.tall_mm"] = inside.tall_mm
    if cable.kind == "multicore_70c":
        said[f"{path}.cable.sheath_mm"] = cable.sheath_mm
    return [each for each, value in said.items() if value is None]


def _take(job: Job, section: Section, path: str, to: Gathering) -> None:
    inside, length_m = section.enclosure, section.length_m
    assert length_m is not None
    assert job.charge_point.phases is not None
    bends_count = inside.bends_count or 0
    try:
        terms = terms_of(section, job.charge_point.phases, bent=is_bent(length_m.high, bends_count))
    except NoRow as end:
        to.remark(f"{section.name}: {end}.")
        return
    rooms = list(_rooms(section, length_m.high, bends_count))
    if is_by_area(section):
        to.remark(f"{section.name}: no source has terms for a sheathed cable in conduit, so area stands against the "
                  "space factor. That leaves out the pull: length and bends are yours to judge.")  # fmt: skip
    if not rooms:
        to.remark(f"{section.name}: no table has conduit over {length_m.high:g} m with {bends_count:g} bends: put in a "
                  "draw-in box, and type its two sides as two stretches.")  # fmt: skip
    elif inside.there:
        _judge(section, path, terms, rooms, to)
    else:
        _buy(section, path, terms, rooms, to)


def _rooms(section: Section, length_m: float, bends_count: float) -> Iterator[Room]:
    if is_by_area(section):
        return conduits_by_area()
    return conduit_rooms(length_m, bends_count) if section.enclosure.kind == "conduit" else trunking_rooms()


def _judge(section: Section, path: str, terms: tuple[Term, ...], rooms: list[Room], to: Gathering) -> None:
    """Whether the new cable still goes into what is there."""
    inside = section.enclosure
    name = (f"{inside.width_mm:g} mm conduit" if inside.kind == "conduit" else
            f"{inside.width_mm:g} x {inside.tall_mm:g} mm trunking")  # fmt: skip
    wanted_count = sum(each.total_count for each in terms)
    room = next((each for each in rooms if each.name == name), None)
    if room is None and (inside.kind == "trunking" or is_by_area(section)):
        assert inside.kind is not None
        assert inside.width_mm is not None
        room = room_by_area(inside.kind, inside.width_mm, inside.tall_mm if inside.kind == "trunking" else None)
    if room is None:
        to.remark(f"{section.name}: no term is held for {name}; what would run in it comes to {wanted_count:g}. Ask "
                  "its maker how much it takes.")  # fmt: skip
        return
    by_count, narrow = wanted_count <= room.term_count + 1e-9, too_thick(section, room)
    to.fill(_fill(section, path, terms, room, by_count and not narrow))
    larger = first_that_holds(wanted_count, (each for each in rooms if not too_thick(section, each)))
    if narrow:
        instead = f"The smallest listed that takes it is {larger.name}" if larger else "No size listed takes it"
        to.remark(f"{section.name}: the cable does not go into the {name} that is there: {narrow}. {instead}: lay the "
                  "cable another way, or fit more.")  # fmt: skip
    elif not by_count:
        instead = f"The smallest that holds all of it is {larger.name}" if larger else "No size listed holds all of it"
        to.remark(f"{section.name}: the {name} that is there is too full for this cable: {told(terms, room)}. "
                  f"{instead}: lay the cable another way, or fit more.")  # fmt: skip


def _buy(section: Section, path: str, terms: tuple[Term, ...], rooms: list[Room], to: Gathering) -> None:
    wanted_count, figures = sum(each.total_count for each in terms), allowances()
    room = first_that_holds(wanted_count, (each for each in rooms if not too_thick(section, each)))
    if room is None:
        to.remark(f"{section.name}: no size listed holds it: {told(terms, rooms[-1])}. Split it over two, or put in a "
                  "draw-in box.")  # fmt: skip
        return
    to.fill(_fill(section, path, terms, room, holds=True))
    assert section.length_m is not None
    sold_m = figures["conduit_length"]
    need_m = scaled(whole(scaled(section.length_m, 1 / sold_m)), sold_m)
    to.item(room.name, room.name, need_m, f"in lengths of {sold_m:g} m; {told(terms, room)}", f"{path}.length_m")
    if section.enclosure.kind == "conduit":
        saddles = _by_spacing(section.length_m, figures["conduit_saddles"], figures["end_fixing"])
        to.item("conduit saddle", f"saddle for {room.name}", saddles, f"every {figures['conduit_saddles']:g} m", path)
        to.item("wall plug and screw", "wall plug and screw", scaled(saddles, 2), "two for each saddle", path)
    else:
        screws = _by_spacing(section.length_m, figures["trunking_screws"], figures["end_fixing"])
        to.item("wall plug and screw", "wall plug and screw", screws,
                f"trunking, every {figures['trunking_screws']:g} m", path)  # fmt: skip


def _by_spacing(length_m: Reading, every_m: float, ends_count: float) -> Reading:
    return plus(whole(scaled(length_m, 1 / every_m)), exactly(ends_count))


def _fill(section: Section, path: str, terms: tuple[Term, ...], room: Room, holds: bool) -> Fill:
    narrow = too_thick(section, room)
    says = f"{told(terms, room)}{f'; but {narrow}' if narrow else ''}"
    return Fill(section.name, room.name, sum(each.total_count for each in terms), room.term_count, holds, says,
                path)  # fmt: skip


def conduit_mm(job: Job, section: Section) -> float | None:
    """The outside diameter of the conduit that a stretch is in: what is there, else what the list takes; None where
    there is none, or where its size is not known yet."""
    inside, length_m, phases_count = section.enclosure, section.length_m, job.charge_point.phases
    if inside.kind != "conduit" or inside.there:
        return inside.width_mm if inside.kind == "conduit" else None
    if _gaps(job, section, "route[0]") or length_m is None or phases_count is None:
        return None
    bends_count = inside.bends_count or 0
    try:
        terms = terms_of(section, phases_count, bent=is_bent(length_m.high, bends_count))
    except NoRow:
        return None
    room = first_that_holds(sum(each.total_count for each in terms), _rooms(section, length_m.high, bends_count))
    return room.across_mm if room else None
