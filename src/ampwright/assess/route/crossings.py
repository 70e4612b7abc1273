"""Straight across: trenches in the ground, and ways below a floor or above a ceiling, by what sees what on plan.

Points are the ports, where a cable comes down a wall, and the corners of what it must go round; any two that see each
other are joined (the visibility graph). Where ground of several kinds is crossed, each length counts at its own rate;
that a trench might bend where the ground changes is not sought.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from ampwright.assess.route.buried import Barred, barred_by, depth_at
from ampwright.assess.route.edges import CROSSING, GROUND, RISE, Edges, Numbers
from ampwright.assess.route.effort import efforts
from ampwright.assess.route.plan import XY, Plan, polygon
from ampwright.assess.route.strips import Strip
from ampwright.job.sketch import GroundArea, Room

UP_TO_WALL_MM = 300.0
OFF_WALL_MM = 5.0
AREA_ENDS_MM = 1.0
Rate = Callable[[Any, Numbers], Numbers]


@dataclass(frozen=True, slots=True)
class Port:
    """Where a strip meets the layer below or above it: the strip's point and its place on plan."""

    point: int
    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
class Layer:
    """The points of one layer: numbers from `first`, places on plan, height."""

    first: int
    kind: int
    about: int
    xy_mm: Numbers
    height_mm: float


def ground_layer(plan: Plan, strips: tuple[Strip, ...], wanted: Wanted, first: int, edges: Edges,
                 free: tuple[XY, ...] = ()) -> Layer | None:  # fmt: skip
    """Trenches through all ground that may be dug. `free` are places that stand free of a wall: their points first."""
    sketch = plan.sketch
    if not sketch.ground:
        return None
    areas = [polygon(each.corners) for each in sketch.ground]
    whole = shapely.union_all(areas).buffer(UP_TO_WALL_MM, join_style="mitre")
    diggable = whole.difference(plan.solid.buffer(-OFF_WALL_MM, join_style="mitre"))
    blocks = [Barred(each.name, polygon(each.corners)) for each in sketch.keep_outs]
    blocks += [each for service in sketch.services for each in barred_by(sketch.ground, service)]
    ports = [each for each in _ports(strips, wanted, room=None, z_mm=0.0)
             if diggable.distance(shapely.Point(each.x_mm, each.y_mm)) < OFF_WALL_MM]  # fmt: skip
    places = [*free, *((each.x_mm, each.y_mm) for each in ports)]
    layer = _joined(diggable, blocks, places, first, edges, GROUND, 0, -_depth_mm(sketch.ground),
                    _dig(sketch.ground, areas))  # fmt: skip
    for number, each in enumerate(ports, start=len(free)):
        depth_mm = depth_at(sketch.ground, each.x_mm, each.y_mm)
        edges.add(each.point, first + number, efforts()["trench_end"], depth_mm, RISE, 0)
    return layer


def crossing_layer(plan: Plan, number: int, strips: tuple[Strip, ...], wanted: Wanted, first: int,
                   edges: Edges) -> Layer | None:  # fmt: skip
    """Ways below the floor or above the ceiling of one room."""
    room = plan.sketch.rooms[number]
    if room.crossing is None:
        return None
    height_mm = room.floor_mm if room.crossing == "floor" else room.ceiling_mm
    ports = list(_ports(strips, wanted, room=room, z_mm=height_mm))
    inner = polygon(room.corners).difference(plan.solid.buffer(-OFF_WALL_MM, join_style="mitre"))
    blocks = [Barred(each.name, polygon(each.corners)) for each in plan.sketch.keep_outs]
    places = [(each.x_mm, each.y_mm) for each in ports]

    def rate(lines: Any, length_mm: Numbers) -> Numbers:
        return length_mm / 1000 * efforts()["crossing"]

    layer = _joined(inner.buffer(AREA_ENDS_MM), blocks, places, first, edges, CROSSING, number, height_mm, rate)
    for place, each in enumerate(ports):
        edges.add(each.point, first + place, efforts()["crossing_end"], 0.0, RISE, number + 1)
    return layer


@dataclass(frozen=True, slots=True)
class Wanted:
    """On each ring, the places where a cable might best leave the wall."""

    on_ring: dict[int, tuple[float, ...]]


def _ports(strips: tuple[Strip, ...], wanted: Wanted, room: Room | None, z_mm: float) -> list[Port]:
    found = []
    for strip in strips:
        rows = np.flatnonzero(np.abs(strip.z_mm - z_mm) < 0.02)
        if not len(rows):
            continue
        for s_mm in wanted.on_ring.get(strip.number, ()):
            column = strip.column(s_mm)
            face = strip.faces[strip.face_at[column]]
            if face.room == (room.name if room else None) and face.wall.base_mm <= z_mm <= face.wall.top_mm:
                found.append(Port(int(strip.points(1)[column, rows[0]]), *face.at(strip.s_mm[column])))
    return found


def _joined(inside: BaseGeometry, blocks: list[Barred], places: list[XY], first: int, edges: Edges,
            kind: int, about: int, height_mm: float, rate: Rate) -> Layer:  # fmt: skip
    """Join every two points that see each other within `inside`; what lies in a block is joined and marked with it."""
    blocks = [each for each in blocks if each.area.intersects(inside)]
    corners = [xy for part in (inside, *(each.area for each in blocks)) for xy in _corners(part)]
    corners = [xy for xy in dict.fromkeys(corners) if inside.distance(shapely.Point(xy)) < AREA_ENDS_MM]
    points = np.array([*places, *corners], dtype=float).reshape(-1, 2)
    layer = Layer(first, kind, about, points, height_mm)
    one, two = np.triu_indices(len(points), k=1)
    if not len(one):
        return layer
    lines = shapely.linestrings(np.stack([points[one], points[two]], axis=1))
    roomy = inside.buffer(AREA_ENDS_MM, join_style="mitre")
    shapely.prepare(roomy)
    seen = shapely.covers(roomy, lines) & (shapely.length(lines) > AREA_ENDS_MM)
    one, two, lines = one[seen], two[seen], lines[seen]
    marks = np.zeros(len(lines), dtype=np.int64)
    for each in blocks:
        marks[each.bars(lines)] = edges.named(each.name)
    length_mm = shapely.length(lines)
    bends = ((one >= len(places)).astype(float) + (two >= len(places))) / 2 * efforts()["bend"]
    edges.add(one + first, two + first, rate(lines, length_mm) + bends, length_mm, kind, about, marks)
    return layer


def _corners(area: BaseGeometry) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in shapely.get_coordinates(area)]


def _dig(ground: tuple[GroundArea, ...], areas: list[BaseGeometry]) -> Rate:
    """Minutes for lines of these lengths: each area at its rate, what lies in none at the dearest."""
    rates = [efforts()[each.surface or "concrete"] for each in ground]

    def rate(lines: Any, length_mm: Numbers) -> Numbers:
        total, within = np.zeros(len(lines)), np.zeros(len(lines))
        for area, each in zip(areas, rates, strict=True):
            shapely.prepare(area)
            part, whole = np.zeros(len(lines)), shapely.covers(area, lines)
            cut = ~whole & shapely.intersects(area, lines)
            part[whole] = length_mm[whole]
            part[cut] = shapely.length(shapely.intersection(lines[cut], area))
            total, within = total + part / 1000 * each, within + part
        return total + np.maximum(length_mm - within, 0) / 1000 * max(rates)

    return rate


def _depth_mm(ground: tuple[GroundArea, ...]) -> float:
    return max(each.depth_mm or efforts()["depth"] for each in ground)
