"""The few best ways from one place to another that differ in kind, each as its legs."""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby

import numpy as np

from ampwright.assess.route.edges import (
    BEND,
    CROSSING,
    GROUND,
    HOLE,
    INSIDE,
    OUTSIDE,
    RISE,
    START,
    TRUNKING,
    Numbers,
    Whole,
)
from ampwright.assess.route.graph import LEAST_MIN, Graph, Mask
from ampwright.assess.route.plan import the_room, where_words

XYZ = tuple[float, float, float]
MOST_COUNT, GATHERED_COUNT, SEARCHES_COUNT, DEARER_RATIO, FAVOUR_RATIO = 4, 8, 8, 2.0, 0.1
WIDER_RATIOS = (0.02, 0.1, DEARER_RATIO - 1)
NEAR_MIN = 1e-6
STRAIGHT_DEG = 1.0


@dataclass(frozen=True, slots=True)
class Leg:
    """One stretch of one kind. `about` is the number of the wall, trunking or room; `room` the room it runs in."""

    kind: int
    about: int
    room: str | None
    name: str
    points: tuple[XYZ, ...]
    length_mm: float
    effort_min: float

    @property
    def feature(self) -> tuple[int, object]:
        """What another route would avoid so as to differ from this."""
        return (self.kind, self.room if self.kind == INSIDE else 0 if self.kind == OUTSIDE else self.about)


@dataclass(frozen=True)
class Way:
    """A whole way: its legs in order and what it costs in minutes."""

    legs: tuple[Leg, ...]
    effort_min: float

    @property
    def kind(self) -> tuple[tuple[int, object], ...]:
        """Two ways are of one kind if they go by the same rooms, walls, ground and trunking in the same order."""
        return tuple(each.feature for each in self.legs)

    @property
    def length_mm(self) -> float:
        """The whole length."""
        return sum(each.length_mm for each in self.legs)

    @property
    def holes(self) -> tuple[Leg, ...]:
        """The legs that go through a wall."""
        return tuple(each for each in self.legs if each.kind == HOLE)

    @cached_property
    def points(self) -> tuple[XYZ, ...]:
        """Where it begins, turns and ends."""
        return straightened([p for each in self.legs for p in each.points])

    @property
    def bends_count(self) -> int:
        """How often the cable turns, into and out of holes included."""
        return max(len(self.points) - 2, 0)


Waiting = tuple[float, int, Way, frozenset[tuple[int, object]]]


def best_ways(graph: Graph, start: int, end: int, most_count: int = MOST_COUNT) -> tuple[Way, ...]:
    """The cheapest way, then the cheapest that avoids something of those before it, or goes by ground, trunking or a
    crossing that they pass by, and so on; none of a kind twice.

    None if the end is out of reach. What costs over twice the best is left out.
    """
    reach = _reach(graph, start, end)
    if reach is None:
        return ()
    first = reach.way()
    assert first is not None
    if most_count == 1:
        return (first,)
    waiting: list[Waiting] = [(first.effort_min, 0, first, frozenset())]
    for number, lighter in enumerate(_favours(graph), start=1):
        other = reach.favoured(lighter)
        if other is not None:
            heapq.heappush(waiting, (other.effort_min, -number, other, frozenset()))
    return _picked(_gathered(reach, waiting), most_count)


def _gathered(reach: Reach, waiting: list[Waiting]) -> list[Way]:
    """The ways that wait, cheapest first, and those that avoid something of each."""
    found: list[Way] = []
    tried: set[frozenset[tuple[int, object]]] = {frozenset()}
    cut_off: list[frozenset[tuple[int, object]]] = []  # without these no way is left, so without more neither
    while waiting and len(found) < GATHERED_COUNT:
        effort_min, _, way, without = heapq.heappop(waiting)
        if found and effort_min > DEARER_RATIO * found[0].effort_min:
            break
        if way.kind not in [each.kind for each in found]:
            found.append(way)
        for feature in dict.fromkeys(way.kind):
            less = without | {feature}
            if less not in tried and len(tried) <= SEARCHES_COUNT:
                tried.add(less)
                other = None if any(each <= less for each in cut_off) else reach.way(_having(reach.graph, less))
                if other is None:
                    cut_off.append(less)
                else:
                    heapq.heappush(waiting, (other.effort_min, len(tried), other, less))
    return found


@dataclass(frozen=True, slots=True)
class Reach:
    """The ways that a route may go which costs at most twice the best.

    Sound, for a route through a point costs at least the best from the start to it and from it to the end. `over_min`
    is, on the net, what each way costs over and above the best from its first point to the end (Hart, Nilsson and
    Raphael, A formal basis for the heuristic determination of minimum cost paths, 1968; from memory), so that a search
    need not look beyond what its answer costs over the best.
    """

    graph: Graph
    start: int
    end: int
    best_min: float
    allowed: Mask
    over_min: Numbers

    def way(self, without: Mask | None = None) -> Way | None:
        """The cheapest way, without some; looked for close to the best first, then further from it."""
        over_min = self.over_min if without is None else np.where(without[self.graph.net.row], np.inf, self.over_min)
        for dearer in WIDER_RATIOS:
            over, before = self.graph.searched(self.start, over_min, self.best_min * dearer + NEAR_MIN)
            if math.isfinite(over[self.end]):
                return _way(self.graph, before, self.end)
        return None

    def favoured(self, lighter_min: Numbers) -> Way | None:
        """The cheapest way by these efforts, none above the true ones, with what it costs in truth. By them it costs no
        more than the best does, so nothing further is looked at."""
        weights = self.graph.weights(self.allowed, lighter_min)
        effort, before = self.graph.searched(self.start, weights, self.best_min + NEAR_MIN)
        return _way(self.graph, before, self.end) if math.isfinite(effort[self.end]) else None


def _reach(graph: Graph, start: int, end: int) -> Reach | None:
    """What is within reach; None where the end is not."""
    table, net, free = graph.table, graph.net, graph.table.blocker == 0
    weights = graph.weights(free, table.effort_min)
    there, _ = graph.searched(start, weights)
    best_min = float(there[end])
    if not math.isfinite(best_min):
        return None
    most_min = DEARER_RATIO * best_min + NEAR_MIN
    left, _ = graph.searched(end, weights, most_min)
    near = there + left <= most_min
    left[~near] = 0.0
    inside = near[net.leaves] & near[net.reaches]
    over_min = np.maximum(np.where(inside, weights + left[net.reaches] - left[net.leaves], np.inf), LEAST_MIN)
    return Reach(graph, start, end, best_min, free & near[table.one] & near[table.two], over_min)


def _picked(found: list[Way], most_count: int) -> tuple[Way, ...]:
    """The cheapest of each mixture of surfaces, ground, crossings and trunking, then those that drill other walls."""
    mixtures = [frozenset(each for each in way.kind if each[0] != HOLE) for way in found]
    first = [way for n, way in enumerate(found) if mixtures[n] not in mixtures[:n]]
    rest = [way for way in found if way not in first]
    return tuple(sorted([*first, *rest][:most_count], key=lambda each: each.effort_min))


def _having(graph: Graph, features: frozenset[tuple[int, object]]) -> Mask:
    """The ways that have one of these features."""
    table, found = graph.table, np.zeros(len(graph.table.kind), dtype=bool)
    for kind, about in features:
        here = table.kind == kind
        if kind == INSIDE:
            of_room = np.array([each.room == about for each in graph.plan.faces])
            here[here] = of_room[table.about[here]]
        elif kind != OUTSIDE:
            here = here & (table.about == about)
        found |= here
    return found


def _favours(graph: Graph) -> Iterator[Numbers]:
    """Efforts with one trunking, crossing or the ground made light, so that a way by it is seen where one less
    laborious hides it."""
    table = graph.table
    found = {(kind, int(about)) for kind in (TRUNKING, CROSSING, GROUND)
             for about in np.unique(table.about[table.kind == kind])}  # fmt: skip
    for kind, about in sorted(found):
        on = (table.kind == kind) & (table.about == about)
        if kind != TRUNKING:
            on |= (table.kind == RISE) & (table.about == (about + 1 if kind == CROSSING else 0))
        yield np.where(on, table.effort_min * FAVOUR_RATIO, table.effort_min)


def _way(graph: Graph, before: Whole, end: int) -> Way:
    """The way that a search found, with what it costs in truth."""
    points, ways = graph.ways(before, end)
    return Way(tuple(legs_of(graph, points, ways)), float(graph.table.effort_min[list(ways)].sum()))


def legs_of(graph: Graph, points: tuple[int, ...], ways: tuple[int, ...]) -> Iterator[Leg]:
    """The legs of a path: neighbours of one kind taken together; bends and ends go with the leg they stand in.

    None where both ends are one place.
    """
    keys = _keys(graph, ways)
    for key, part in groupby(range(len(keys)), key=lambda n: keys[n]):
        steps = list(part)
        kind, about, room = key
        rows = [ways[n] for n in steps]
        through = straightened([_at(graph, points[n]) for n in (*steps, steps[-1] + 1)])
        length_mm = float(graph.table.length_mm[rows].sum())
        if length_mm or kind == HOLE:
            effort_min = float(graph.table.effort_min[rows].sum())
            yield Leg(kind, about, room, _name(graph, key), through, length_mm, effort_min)


def _keys(graph: Graph, ways: tuple[int, ...]) -> list[tuple[int, int, str | None]]:
    """Kind, number and room of each way; a bend goes with the way before it, a start with the way after it."""
    table, found = graph.table, list[tuple[int, int, str | None] | None]()
    for row in ways:
        kind, about = int(table.kind[row]), int(table.about[row])
        if kind == RISE or (kind == START and table.length_mm[row]):
            found.append((CROSSING, about - 1, graph.plan.sketch.rooms[about - 1].name) if about else (GROUND, 0, None))
        elif kind in (INSIDE, OUTSIDE):
            found.append((kind, 0, graph.plan.faces[about].room))
        elif kind in (BEND, START):
            found.append(found[-1] if found else None)
        else:
            found.append((kind, about, graph.plan.sketch.rooms[about].name if kind == CROSSING else None))
    known = [each for each in found if each is not None]
    return [each if each is not None else known[0] for each in found] if known else []


def _name(graph: Graph, key: tuple[int, int, str | None]) -> str:
    kind, about, room = key
    sketch = graph.plan.sketch
    if kind == HOLE:
        return f"hole through {sketch.walls[about].name}"
    if kind == TRUNKING:
        return f"in {sketch.trunking[about].name}"
    if kind == CROSSING:
        below = sketch.rooms[about].crossing == "floor"
        return f"{'below the floor' if below else 'above the ceiling'} of {the_room(room or '')}"
    if kind == GROUND:
        return "in the ground"
    return f"on the wall {where_words(room)}"


def _at(graph: Graph, point: int) -> XYZ:
    x, y, z = (float(each) for each in graph.xyz_mm[point])
    return (x, y, z)


def straightened(points: list[XYZ]) -> tuple[XYZ, ...]:
    """The points without those that lie on the straight between their neighbours."""
    kept: list[XYZ] = []
    for each in points:
        if kept and math.dist(kept[-1], each) < 0.5:
            continue
        while len(kept) > 1 and turn_deg(kept[-2], kept[-1], each) < STRAIGHT_DEG:
            kept.pop()
        kept.append(each)
    return tuple(kept)


def turn_deg(a: XYZ, b: XYZ, c: XYZ) -> float:
    """How far a line from a by b to c turns at b."""
    one, two = np.subtract(b, a), np.subtract(c, b)
    cosine = float(one @ two) / float(np.linalg.norm(one) * np.linalg.norm(two))
    return math.degrees(math.acos(max(-1.0, min(1.0, cosine))))
