"""A sketch as a graph: every point where a cable may turn, every way between two, and the shortest way through."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array, csr_array
from scipy.sparse.csgraph import dijkstra

from ampwright.assess.route.bores import drill
from ampwright.assess.route.crossings import Layer, Wanted, crossing_layer, ground_layer
from ampwright.assess.route.edges import START, Edges, Numbers, Table, Whole
from ampwright.assess.route.plan import XY, Face, Plan, plan_of
from ampwright.assess.route.strips import Lines, Strip, lay, strips_of
from ampwright.job.sketch import Place, Sketch

Mask = NDArray[np.bool_]
Spot = float
OnFace = tuple[Face, Spot]
LEAST_MIN, FAR_MIN = 1e-9, 1e12


@dataclass(frozen=True, slots=True)
class Net:
    """The ways by the point that they leave, each in both directions: a sparse matrix; `row` is that of the table."""

    leaves: Whole
    reaches: NDArray[np.int32]
    starts: NDArray[np.int32]
    row: Whole


@dataclass(frozen=True)
class Graph:
    """Points by number, with their places in space, and the ways between them. `ends` are the points of the places."""

    plan: Plan
    table: Table
    xyz_mm: Numbers
    ends: tuple[int, ...]

    @cached_property
    def net(self) -> Net:
        """The ways as a matrix, made once: a search only puts other weights on it."""
        rows, count = np.arange(1, len(self.table.one) + 1), len(self.xyz_mm)
        one, two = self.table.one, self.table.two
        both = (np.concatenate([one, two]), np.concatenate([two, one]))
        matrix = coo_array((np.concatenate([rows, rows]), both), shape=(count, count)).tocsr()
        leaves = np.repeat(np.arange(count), np.diff(matrix.indptr))
        return Net(leaves, matrix.indices, matrix.indptr, matrix.data - 1)

    def weights(self, allowed: Mask, effort_min: Numbers) -> Numbers:
        """The efforts on the net; without end where a way is not allowed."""
        return np.where(allowed, np.maximum(effort_min, LEAST_MIN), np.inf)[self.net.row]

    def searched(self, start: int, weights: Numbers, most_min: float = FAR_MIN) -> tuple[Numbers, Whole]:
        """Effort to every point from one, and the point before each. What lies further than `most_min` is left."""
        count = len(self.xyz_mm)
        matrix = csr_array((weights, self.net.reaches, self.net.starts), shape=(count, count))
        found = dijkstra(matrix, indices=start, return_predecessors=True, limit=most_min)
        return found[0], found[1]

    def ways(self, before: Whole, end: int) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """The points from the start to one end, and the number in the table of the way between each two."""
        points = [end]
        while before[points[-1]] >= 0:
            points.append(int(before[points[-1]]))
        points.reverse()
        return tuple(points), tuple(self._row(p, q) for p, q in itertools.pairwise(points))

    def _row(self, one: int, two: int) -> int:
        first, last = self.net.starts[one], self.net.starts[one + 1]
        return int(self.net.row[first + np.flatnonzero(self.net.reaches[first:last] == two)[0]])


def graph_of(sketch: Sketch, places: tuple[Place, ...]) -> Graph:
    """The graph of a sketch without faults, with a point for each of these places.

    Raises LookupError, naming its number, for a place on a wall where no face is free.
    """
    plan = plan_of(sketch)
    faces = [plan.face_of(each) if each.wall is not None else None for each in places]
    for number, (place, face) in enumerate(zip(places, faces, strict=True)):
        if place.wall is not None and face is None:
            raise LookupError(number)
    lines = _lines(plan, places, [each[1] if each else None for each in faces],
                   [each[0] if each else None for each in faces])  # fmt: skip
    strips = strips_of(plan, lines)
    edges = Edges()
    for strip in strips:
        lay(plan, strip, edges)
    drill(plan, strips, edges)
    first = sum(each.count for each in strips)
    wanted = _wanted(plan, strips, lines)
    free = tuple((each.x_mm or 0.0, each.y_mm or 0.0) for each in places if each.wall is None)
    layers: list[Layer] = []
    ground = ground_layer(plan, strips, wanted, first, edges, free)
    layers += [ground] if ground else []
    for number in range(len(sketch.rooms)):
        above = sum(len(each.xy_mm) for each in layers)
        layer = crossing_layer(plan, number, strips, wanted, first + above, edges)
        layers += [layer] if layer else []
    total = first + sum(len(each.xy_mm) for each in layers)
    ends = _ends(places, faces, strips, first, bool(ground), total, edges)
    xyz_mm = np.concatenate([*map(_space, strips), *map(_space_of_layer, layers), _space_of_ends(places, faces)])
    return Graph(plan, edges.done(), xyz_mm, ends)


def _lines(plan: Plan, places: tuple[Place, ...], on_ring: list[Spot | None], on: list[Face | None]) -> Lines:
    """Lines through each place: on its own face, and where it lies square before any other."""
    points = [face.at(s) if face and s is not None else (place.x_mm or 0.0, place.y_mm or 0.0)
              for place, face, s in zip(places, on, on_ring, strict=True)]  # fmt: skip
    wanted: dict[int, list[float]] = {}
    for number, face in enumerate(plan.faces):
        own = [s for each, s in zip(on, on_ring, strict=True) if each is face and s is not None]
        square = [s for each in points if (s := _foot(face, each)) is not None]
        wanted[number] = own + square
    heights = tuple(each.height_mm for each in places if each.wall is not None and each.height_mm is not None)
    return Lines(wanted, heights)


def _foot(face: Face, point: XY) -> float | None:
    """Where on its ring a face lies square before a point, if it does."""
    along = sum((p - a) * (b - a) for p, a, b in zip(point, face.a, face.b, strict=True)) / face.length_mm
    return face.from_mm + along if 0 < along < face.length_mm else None


def _wanted(plan: Plan, strips: tuple[Strip, ...], lines: Lines) -> Wanted:
    """Where a cable might leave a wall: near the ends of each face, at the lines of the places, beside openings and at
    the foot of the square from the ends of every other ring in the same open space."""
    found: dict[int, tuple[float, ...]] = {}
    numbered = list(enumerate(plan.faces))
    for strip in strips:
        here: list[Spot] = []
        for number, face in ((n, each) for n, each in numbered if each.ring == strip.number):
            near = [*lines.on_face.get(number, ()), face.from_mm + 50.0, face.to_mm - 50.0]
            near += [s for n, other in numbered if other.ring != face.ring and other.room == face.room and other.corner
                     and (s := _foot(face, other.a)) is not None]  # fmt: skip
            here += [s for s in near if face.from_mm < s < face.to_mm]
        columns = sorted({strip.column(each) for each in here})
        found[strip.number] = tuple(float(strip.s_mm[each]) for each in columns)
    return Wanted(found)


def _ends(places: tuple[Place, ...], faces: list[OnFace | None], strips: tuple[Strip, ...], first: int,
          ground: bool, total: int, edges: Edges) -> tuple[int, ...]:  # fmt: skip
    ends, free = [], 0
    for number, (place, face) in enumerate(zip(places, faces, strict=True)):
        end = total + number
        ends.append(end)
        if face is None:
            if ground:
                edges.add(end, first + free, 0.0, max(place.height_mm or 0.0, 0.0), START, 0)
            free += 1
            continue
        strip = strips[face[0].ring]
        column, row = strip.column(face[1]), strip.row(place.height_mm or 0.0)
        for upright in (0, 1):
            edges.add(end, strip.points(upright)[column, row], 0.0, 0.0, START, 0)
    return tuple(ends)


def _space(strip: Strip) -> Numbers:
    plan = np.array([strip.faces[face].at(s) for s, face in zip(strip.s_mm, strip.face_at, strict=True)])
    across = np.repeat(plan, 2 * len(strip.z_mm), axis=0)
    up = np.tile(np.repeat(strip.z_mm, 2), len(strip.s_mm))
    return np.column_stack([across, up])


def _space_of_layer(layer: Layer) -> Numbers:
    return np.column_stack([layer.xy_mm, np.full(len(layer.xy_mm), layer.height_mm)])


def _space_of_ends(places: tuple[Place, ...], faces: list[OnFace | None]) -> Numbers:
    found = []
    for place, face in zip(places, faces, strict=True):
        x_mm, y_mm = face[0].at(face[1]) if face else (place.x_mm or 0.0, place.y_mm or 0.0)
        found.append((x_mm, y_mm, place.height_mm or 0.0))
    return np.array(found, dtype=float).reshape(-1, 3)
