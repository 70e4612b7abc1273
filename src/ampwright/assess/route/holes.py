"""Each hole of a way: where to set it out on both sides, how to drill it, and whether the cable bends at its ends."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

from ampwright.assess.route.bends import Bend, bends_at
from ampwright.assess.route.bits import bits_for, widest_mm
from ampwright.assess.route.cables import diameter_mm
from ampwright.assess.route.edges import HOLE
from ampwright.assess.route.effort import efforts
from ampwright.assess.route.plan import Face, Plan, room_named, where_words
from ampwright.assess.route.search import XYZ, Way
from ampwright.job.record import Cable
from ampwright.job.sketch import Sketch, Wall
from ampwright.physics.drilling import breakout_error_mm, drilled_mm, gap_mm, shift_mm
from ampwright.reading import Reading
from ampwright.working import Step, Working, capital

BY_THE_SKETCH, BY_PRACTICE = "the sketch", "common practice, no source"
SEAL = (
    "Sleeve it through the whole wall, seal the sleeve at both ends, and leave the cavity free: what "
    "bridges a cavity must shed water outward. Ask before a fire-resisting wall is pierced: the seal must restore it."
)

BEHIND_BOARD = (
    "the board: better move the hole beside it. If the cable must enter from behind, isolate the whole board, lock it "
    "off, prove it dead and open it before anything is drilled, drill from the board's own side, and bush and seal the "
    "entry as its maker says, so that it keeps its IP rating."
)
BEHIND_CHARGE_POINT = (
    "the charge point: set it out by the entry that the maker allows at the back, drill before the charge point hangs "
    "there (one that does is isolated and proved dead first), and gland and seal the entry, so that it keeps its IP "
    "rating."
)


@dataclass(frozen=True, slots=True)
class End:
    """One end of a hole: its room and side of the wall, how far along the wall and above the ground outside, and how to
    find it on the wall."""

    room: str | None
    side: str | None
    along_mm: float
    height_mm: float
    point: XYZ
    set_out: str


@dataclass(frozen=True, slots=True)
class Near:
    """A service near a hole: the clear gap at the worst of the error, and what is wanted."""

    name: str
    gap_mm: float
    wanted_mm: float

    @property
    def clear(self) -> bool:
        """Whether the hole keeps what is wanted."""
        return self.gap_mm >= self.wanted_mm

    @property
    def says(self) -> str:
        """One sentence with both numbers."""
        judged = "" if self.clear else ": too near, move the hole"
        return (f"{capital(self.name)} is {self.gap_mm:.0f} mm clear at the worst; {self.wanted_mm:.0f} mm is "
                f"wanted{judged}.")  # fmt: skip


@dataclass(frozen=True, slots=True)
class Hole:
    """One hole. Lengths are a range where the wall's thickness is one. `bit_*` and `sleeve_mm` are None where the
    cable is not known or no listed bit will do. `behind` warns of a board or charge point that an end lies behind."""

    name: str
    wall: str
    entry: End
    breakout: End
    fall_deg: float
    length_mm: Reading
    drop_mm: float
    error_mm: float
    cable_mm: float | None
    sleeve_mm: float | None
    bit_mm: float | None
    bit_usable_mm: float | None
    pilot_mm: float | None
    bends: tuple[Bend, ...]
    near: tuple[Near, ...]
    behind: tuple[str, ...]
    working: tuple[Step, ...]


def holes_of(plan: Plan, way: Way, cables: tuple[Cable, ...]) -> tuple[Hole, ...]:
    """The holes of a way in order. `cables` has the cable of each hole; an empty one where it is not chosen."""
    places = [n for n, each in enumerate(way.legs) if each.kind == HOLE]
    return tuple(_hole(plan, way, place, number, cable)
                 for number, (place, cable) in enumerate(zip(places, cables, strict=True), start=1))  # fmt: skip


def _hole(plan: Plan, way: Way, place: int, number: int, cable: Cable) -> Hole:
    leg = way.legs[place]
    wall = plan.sketch.walls[leg.about]
    assert wall.thickness_mm is not None
    first, last = leg.points[0], leg.points[-1]
    rooms = [_face_at(plan, wall, each).room for each in (first, last)]
    turned = rooms[0] is None and rooms[1] is not None
    inner, outer = (last, first) if turned else (first, last)
    falls = (rooms[0] is None) != (rooms[1] is None)
    fall_deg = efforts()["fall"] if falls else 0.0
    sheet = Working()
    length, drop_mm, error_mm = _drilled(sheet, wall, fall_deg)
    lower = (outer[0], outer[1], outer[2] - drop_mm)
    entry, breakout = (_end(plan, wall, each) for each in (inner, lower))
    across_mm = diameter_mm(cable)
    before = way.legs[place - 1].points[-2] if place and way.legs[place - 1].kind != HOLE else None
    on = way.legs[place + 1 : place + 2]
    after = on[0].points[1] if on and on[0].kind != HOLE else None
    runs = (after, before) if turned else (before, after)
    bends = bends_at(sheet, cable, across_mm, fall_deg, wall.thickness_mm.high, (inner, outer), runs,
                     (entry.room, breakout.room))  # fmt: skip
    drilling = bits_for(across_mm, length.high)
    sizes_mm = [each for each in (drilling.bit_mm, drilling.sleeve_mm, across_mm) if each is not None]
    wide_mm = max(sizes_mm, default=widest_mm()) / 2
    return Hole(f"hole {number}, through {wall.name}", wall.name, entry, breakout, fall_deg, length, drop_mm, error_mm,
                across_mm, drilling.sleeve_mm, drilling.bit_mm, drilling.usable_mm, drilling.pilot_mm, bends,
                _near(plan, inner, lower, wide_mm + error_mm),
                tuple(_behind(plan.sketch, wall, (entry, breakout))), sheet.steps)  # fmt: skip


def _drilled(sheet: Working, wall: Wall, fall_deg: float) -> tuple[Reading, float, float]:
    """Length of the hole as a range, how far it drops, and by how much the breakout may be out."""
    assert wall.thickness_mm is not None
    t_mm = sheet.given("twall", wall.thickness_mm.high, wall.thickness_mm.basis)
    fall = sheet.given("afall", fall_deg, BY_PRACTICE if fall_deg else "level, for both ends are alike")
    aim = sheet.given("aaim", efforts()["aim"], BY_PRACTICE)
    measuring = sheet.given("emeas", efforts()["measuring"], BY_PRACTICE)
    ends = [drilled_mm(thickness_mm=each, fall_deg=fall, skew_deg=0)
            for each in (wall.thickness_mm.low, wall.thickness_mm.high)]  # fmt: skip
    sheet.step("Lhole = twall * sqrt(1 + tan(afall)**2)", ends[1])
    drop_mm = sheet.step("hdrop = twall * tan(afall)", shift_mm(thickness_mm=t_mm, angle_deg=fall))
    error_mm = sheet.step("herr = twall * (tan(afall + aaim) - tan(afall)) + emeas",
                          breakout_error_mm(thickness_mm=t_mm, angle_deg=fall, aim_deg=aim,
                                            measuring_mm=measuring))  # fmt: skip
    return Reading(ends[0], ends[1], wall.thickness_mm.because), drop_mm, error_mm


def _face_at(plan: Plan, wall: Wall, point: XYZ) -> Face:
    """The face of the wall that a point lies on."""

    def off(face: Face) -> float:
        ux, uy = ((q - p) / face.length_mm for p, q in zip(face.a, face.b, strict=True))
        dx, dy = point[0] - face.a[0], point[1] - face.a[1]
        along = dx * ux + dy * uy
        return abs(dx * uy - dy * ux) + max(0.0, -along, along - face.length_mm)

    return min((each for each in plan.faces if each.wall.name == wall.name and each.side is not None), key=off)


def _end(plan: Plan, wall: Wall, point: XYZ) -> End:
    face = _face_at(plan, wall, point)
    along_mm = face.along_at_mm(face.from_mm + math.dist(face.a, point[:2]))
    ends = ((face.along_a_mm, "left"), (face.along_b_mm, "right"))
    marks = [(abs(along_mm - each), f"the {hand}-hand end of the wall as you face it") for each, hand in ends]
    marks += [(abs(along_mm - each), f"the edge of {opening.name}, which both sides show")
              for opening in plan.sketch.openings if opening.wall == wall.name
              for each in (opening.along_mm, opening.along_mm + opening.width_mm)]  # fmt: skip
    shared = [each for each in marks if "both sides" in each[1]] or marks
    far_mm, mark = min(shared)
    where = where_words(face.room)
    room = room_named(plan.sketch, face.room)
    above = f"{point[2]:.0f} mm above the ground outside"
    if room is not None and room.floor_mm:
        above = f"{point[2] - room.floor_mm:.0f} mm above the floor ({above})"
    return End(face.room, face.side, along_mm, point[2], point, f"{where}: {far_mm:.0f} mm from {mark}, {above}")


def _behind(sketch: Sketch, wall: Wall, ends: tuple[End, End]) -> Iterator[str]:
    """What to do where an end comes out behind the board or the charge point; as near as to a box where neither has a
    size."""
    for end in ends:
        for place, words in ((sketch.board, BEHIND_BOARD), (sketch.charge_point, BEHIND_CHARGE_POINT)):
            if (place.wall, place.side) != (wall.name, end.side) or place.along_mm is None or place.height_mm is None:
                continue
            beside_mm = efforts()["hole_beside"]
            across_mm, up_mm = ((each / 2 if each else beside_mm) for each in (place.width_mm, place.tall_mm))
            if abs(end.along_mm - place.along_mm) <= across_mm and abs(end.height_mm - place.height_mm) <= up_mm:
                yield f"{capital(where_words(end.room))} it comes out behind {words}"


def _near(plan: Plan, inner: XYZ, outer: XYZ, wide_mm: float) -> tuple[Near, ...]:
    """What services lie within twice the wanted distance of the hole, at the worst of its error."""
    wanted_mm = efforts()["hole_beside_service"]
    found = []
    for each in plan.sketch.services:
        points = [(p.x_mm, p.y_mm, p.height_mm) for p in each.points]
        clear_mm = min(gap_mm(first=(inner, outer), second=piece) for piece in itertools.pairwise(points))
        clear_mm -= each.diameter_mm / 2 + wide_mm
        if clear_mm < 2 * wanted_mm:
            found.append(Near(each.name, max(clear_mm, 0.0), wanted_mm))
    return tuple(found)


__all__ = ["SEAL", "End", "Hole", "Near", "holes_of"]
