"""The walls of a sketch as closed rings of face, as one would walk along them: round the outside, round each room."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from shapely.geometry import LineString, MultiPoint, Point, Polygon
from shapely.geometry.base import BaseGeometry

from ampwright.assess.route.effort import efforts
from ampwright.assess.route.strays import Stray, stray_of
from ampwright.job.sketch import Corner, Place, Room, Side, Sketch, Wall

XY = tuple[float, float]
OFF_FACE_MM = 30.0
CLOSE_MM = 1.0
STRAIGHT_DEG = 1.0
Candidate = tuple[float, Wall, Side | None]
ENCLOSED = "an enclosed space without a room"
OWN_ARTICLE = ("a ", "an ", "the ", "my ", "our ")


@dataclass(frozen=True, slots=True)
class Face:
    """A straight piece of one side of a wall. `from_mm` is where it begins on its ring; a is that end, b the other.

    `room` is None in the open air and `ENCLOSED` where walls enclose a space that no room is drawn for. `side` is None
    at the bare end of a wall. `corner` says that the ring turns where this piece begins.
    """

    ring: int
    from_mm: float
    a: XY
    b: XY
    wall: Wall
    side: Side | None
    along_a_mm: float
    along_b_mm: float
    room: str | None
    corner: bool

    @property
    def length_mm(self) -> float:
        """Its length."""
        return math.dist(self.a, self.b)

    @property
    def to_mm(self) -> float:
        """Where it ends on its ring."""
        return self.from_mm + self.length_mm

    def on_ring_mm(self, along_mm: float) -> float | None:
        """The place on the ring of a place along the wall, or None where this piece does not reach it."""
        low, high = sorted((self.along_a_mm, self.along_b_mm))
        if self.side is None or not low - 1e-6 <= along_mm <= high + 1e-6:
            return None
        return self.from_mm + abs(along_mm - self.along_a_mm)

    def along_at_mm(self, on_ring_mm: float) -> float:
        """The place along the wall of a place on the ring."""
        way = 1 if self.along_b_mm > self.along_a_mm else -1
        return self.along_a_mm + way * (on_ring_mm - self.from_mm)

    def at(self, on_ring_mm: float) -> XY:
        """The point on plan of a place on the ring."""
        share = (on_ring_mm - self.from_mm) / self.length_mm
        return (self.a[0] + share * (self.b[0] - self.a[0]), self.a[1] + share * (self.b[1] - self.a[1]))


@dataclass(frozen=True, slots=True)
class Plan:
    """All faces, ring by ring in order, and the solid of the walls on plan."""

    sketch: Sketch
    faces: tuple[Face, ...]
    solid: BaseGeometry

    @property
    def rings_count(self) -> int:
        """How many rings there are."""
        return 1 + max((each.ring for each in self.faces), default=-1)

    def ring(self, number: int) -> tuple[Face, ...]:
        """The faces of one ring, in order."""
        return tuple(each for each in self.faces if each.ring == number)

    def face_of(self, place: Place) -> tuple[Face, float] | None:
        """The face that a place on a wall lies on, and where on its ring; None where no face is free there."""
        for each in self.faces:
            if place.along_mm is not None and each.wall.name == place.wall and each.side == place.side:
                on_ring_mm = each.on_ring_mm(place.along_mm)
                if on_ring_mm is not None:
                    return each, on_ring_mm
        return None


def thickness_mm(wall: Wall) -> float:
    """The middle of what the survey allows."""
    assert wall.thickness_mm is not None
    return (wall.thickness_mm.low + wall.thickness_mm.high) / 2


def length_mm(wall: Wall) -> float:
    """The length of the wall's middle line."""
    return math.dist(xy(wall.start), xy(wall.end))


def xy(corner: Corner) -> XY:
    """A corner as a pair."""
    return (corner.x_mm, corner.y_mm)


@lru_cache(maxsize=1024)
def polygon(corners: tuple[Corner, ...]) -> Polygon:
    """The area within the corners."""
    return Polygon([xy(each) for each in corners])


def plan_of(sketch: Sketch) -> Plan:
    """The plan of a sketch that `faults` found nothing wrong with."""
    outlines = [*map(_footprint_of(sketch), sketch.walls), *_joints(sketch)]
    solid = shapely.set_precision(shapely.union_all(outlines), 0.01)
    solid = shapely.orient_polygons(solid)
    marks = MultiPoint([each for wall in sketch.walls for each in _corners(wall)])
    faces: list[Face] = []
    ring = 0
    for part in shapely.get_parts(solid):
        for number, line in enumerate((part.exterior, *part.interiors)):
            faces += _ring_faces(sketch, ring, line, marks, enclosed=number > 0)
            ring += 1
    return Plan(sketch, tuple(faces), solid)


def _along(wall: Wall) -> XY:
    long_mm = length_mm(wall)
    return ((wall.end.x_mm - wall.start.x_mm) / long_mm, (wall.end.y_mm - wall.start.y_mm) / long_mm)


def _corners(wall: Wall, before_mm: float = 0.0, after_mm: float = 0.0) -> list[XY]:
    (ux, uy), half_mm = _along(wall), thickness_mm(wall) / 2
    ends = ((wall.start, -before_mm), (wall.end, after_mm))
    (p, q) = [(each.x_mm + far * ux, each.y_mm + far * uy) for each, far in ends]
    left, right = (-uy * half_mm, ux * half_mm), (uy * half_mm, -ux * half_mm)
    return [(p[0] + right[0], p[1] + right[1]), (q[0] + right[0], q[1] + right[1]),
            (q[0] + left[0], q[1] + left[1]), (p[0] + left[0], p[1] + left[1])]  # fmt: skip


def _footprint_of(sketch: Sketch):  # type: ignore[no-untyped-def]
    """A wall's outline; where it meets another square at an end, drawn on to fill the corner."""

    def footprint(wall: Wall) -> Polygon:
        longer = [max((thickness_mm(other) / 2 for other in _meeting(sketch, wall, end) if _square(wall, other)),
                      default=0.0) for end in (wall.start, wall.end)]  # fmt: skip
        return Polygon(_corners(wall, *longer))

    return footprint


def _joints(sketch: Sketch) -> Iterator[BaseGeometry]:
    """Fillings for corners that are not square: the hull of both ends."""
    for number, wall in enumerate(sketch.walls):
        for end in (wall.start, wall.end):
            for other in _meeting(sketch, wall, end):
                if not _square(wall, other) and sketch.walls.index(other) > number:
                    near = [p for each in (wall, other) for p in _corners(each)
                            if math.dist(p, xy(end)) <= thickness_mm(each) / 2 + CLOSE_MM]  # fmt: skip
                    yield MultiPoint(near).convex_hull


def _meeting(sketch: Sketch, wall: Wall, end: Corner) -> list[Wall]:
    return [other for other in sketch.walls if other is not wall
            and min(math.dist(xy(end), xy(each)) for each in (other.start, other.end)) <= CLOSE_MM]  # fmt: skip


def _square(one: Wall, two: Wall) -> bool:
    (ax, ay), (bx, by) = _along(one), _along(two)
    return abs(ax * bx + ay * by) < 1e-6


def _ring_faces(sketch: Sketch, ring: int, line: LineString, marks: MultiPoint, *, enclosed: bool) -> list[Face]:
    points = _pieces(line, marks)
    found: list[tuple[XY, XY, Wall, Side | None]] = []
    for a, b in itertools.pairwise(points):
        wall, side = _wall_at(sketch, a, b)
        last = found[-1] if found else None
        same = last and last[2] is wall and last[3] == side and side is not None
        if last and same and _turn_deg(last[0], a, b) < STRAIGHT_DEG:
            found[-1] = (last[0], b, wall, side)
        else:
            found.append((a, b, wall, side))
    faces, from_mm = [], 0.0
    for number, (a, b, wall, side) in enumerate(found):
        corner = _turn_deg(found[number - 1][0], a, b) >= STRAIGHT_DEG
        faces.append(Face(ring, from_mm, a, b, wall, side, _along_mm(wall, a), _along_mm(wall, b),
                          _room_at(sketch, a, b, enclosed), corner))  # fmt: skip
        from_mm += math.dist(a, b)
    return faces


def _pieces(line: LineString, marks: MultiPoint) -> list[XY]:
    """The corners of a ring, with every corner of a wall that lies on it, beginning where it turns."""
    on = [p for p in marks.geoms if line.distance(p) < CLOSE_MM / 2]
    stops = {round(line.project(Point(p)), 3) for p in (*line.coords[:-1], *((q.x, q.y) for q in on))}
    ordered = [each for each in sorted(stops) if each < line.length - CLOSE_MM / 2]
    kept = [each for number, each in enumerate(ordered) if number == 0 or each - ordered[number - 1] > CLOSE_MM / 2]
    points = [(p.x, p.y) for p in map(line.interpolate, kept)]
    first = next(n for n, p in enumerate(points)
                 if _turn_deg(points[n - 1], p, points[(n + 1) % len(points)]) >= STRAIGHT_DEG)  # fmt: skip
    turned = points[first:] + points[:first]
    return [*turned, turned[0]]


def _wall_at(sketch: Sketch, a: XY, b: XY) -> tuple[Wall, Side | None]:
    """Whose side a piece of ring is; the wall at whose end it lies, if it is no side."""
    middle, long_mm = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), math.dist(a, b)
    best: Candidate | None = None
    for wall in sketch.walls:
        (ux, uy), half_mm = _along(wall), thickness_mm(wall) / 2
        dx, dy = middle[0] - wall.start.x_mm, middle[1] - wall.start.y_mm
        along_mm, off_mm = dx * ux + dy * uy, dy * ux - dx * uy
        beyond_mm = max(0.0, -along_mm, along_mm - length_mm(wall))
        parallel = abs((b[0] - a[0]) * uy - (b[1] - a[1]) * ux) < 1e-2 * long_mm
        side: Side | None = None
        if parallel and abs(abs(off_mm) - half_mm) < CLOSE_MM:
            side = "left" if off_mm > 0 else "right"
        far_mm = beyond_mm + max(0.0, abs(off_mm) - half_mm) + (0 if side else 1e6)
        if best is None or far_mm < best[0]:
            best = (far_mm, wall, side)
    assert best is not None
    return best[1], best[2]


def _along_mm(wall: Wall, point: XY) -> float:
    ux, uy = _along(wall)
    return (point[0] - wall.start.x_mm) * ux + (point[1] - wall.start.y_mm) * uy


def _room_at(sketch: Sketch, a: XY, b: XY, enclosed: bool) -> str | None:
    """The room just off a face: the solid lies to the left of the way from a to b."""
    long_mm = math.dist(a, b)
    off = Point((a[0] + b[0]) / 2 + OFF_FACE_MM * (b[1] - a[1]) / long_mm,
                (a[1] + b[1]) / 2 - OFF_FACE_MM * (b[0] - a[0]) / long_mm)  # fmt: skip
    room = next((each.name for each in sketch.rooms if polygon(each.corners).contains(off)), None)
    return room or (ENCLOSED if enclosed else None)


def _turn_deg(a: XY, b: XY, c: XY) -> float:
    one, two = np.arctan2(b[1] - a[1], b[0] - a[0]), np.arctan2(c[1] - b[1], c[0] - b[0])
    return abs(float(np.degrees((two - one + np.pi) % (2 * np.pi) - np.pi)))


def drillable_mm(plan: Plan, face: Face) -> XY:
    """Between which heights a hole may be entered by this face: off the wall's foot and head, the floor and the
    ceiling, and so high that what breaks out in the open air lies above the damp-proof course, fall and error too."""
    beside_mm, room = efforts()["hole_beside"], room_named(plan.sketch, face.room)
    low, high = face.wall.base_mm + beside_mm, face.wall.top_mm - beside_mm
    if room is not None:
        return max(low, room.floor_mm + beside_mm), min(high, room.ceiling_mm - beside_mm)
    stray = stray_in(plan, face.wall)
    lowest_mm = efforts()["hole_above_ground"] + stray.drop_mm + stray.error_mm
    return (max(low, lowest_mm) if face.room is None else low), high


def stray_in(plan: Plan, wall: Wall) -> Stray:
    """How far a hole through a wall may stray; it falls where one side is open to the air and the other is not."""
    open_air = {each.room is None for each in plan.faces if each.wall is wall and each.side is not None}
    return stray_of(wall, falls=len(open_air) > 1)


def room_named(sketch: Sketch, name: str | None) -> Room | None:
    """The room of that name."""
    return next((each for each in sketch.rooms if each.name == name), None)


def the_room(name: str) -> str:
    """A room as it is spoken of: the kitchen, but Ann's room, room 2, an enclosed space."""
    given = not name[:1].islower() or name.startswith(OWN_ARTICLE) or any(each.isdigit() for each in name)
    return name if given else f"the {name}"


def where_words(room: str | None) -> str:
    """In the kitchen, or outdoors."""
    return "outdoors" if room is None else f"in {the_room(room)}"
