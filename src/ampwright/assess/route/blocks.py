"""What a cable may not run over on a face, and a hole may not come near: rectangles with the name of what is there."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

from ampwright.assess.route.effort import clearance_mm, efforts
from ampwright.assess.route.plan import Face, Plan, stray_in, thickness_mm
from ampwright.job.sketch import Place, Service, Sketch, Wall

PIECE_MM = 200.0
LEVEL_MM = 1.0
SLACK_MM = 0.1
GAS_METER = "the gas meter"


@dataclass(frozen=True, slots=True)
class Block:
    """From `from_mm` to `to_mm` along (a ring, or a wall), between two heights. The edges themselves are free."""

    name: str
    from_mm: float
    to_mm: float
    low_mm: float
    high_mm: float


def on_face(plan: Plan, face: Face) -> Iterator[Block]:
    """The blocks of one face, along its ring."""
    beside_mm = efforts()["beside_opening"]
    for name, along_mm, to_mm, low_mm, high_mm in _boxes(plan.sketch, face.wall, face.side):
        yield from _along_ring(face, Block(name, along_mm - beside_mm, to_mm + beside_mm, low_mm - beside_mm,
                                           high_mm + beside_mm))  # fmt: skip
    for service in plan.sketch.services:
        apart_mm = clearance_mm(service, "surface") + service.diameter_mm / 2
        yield from _from_service(face, service, apart_mm)


def in_wall(plan: Plan, wall: Wall) -> Iterator[Block]:
    """Where a wall may not be drilled, along its middle line, by the height of the entry: beside whatever is on either
    side or in it. Off gas and other services with the fall of the hole, its error and half its width besides."""
    stray, seen = stray_in(plan, wall), set()
    own_mm = stray.half_mm + stray.error_mm + SLACK_MM
    for side in ("left", "right"):
        for name, along_mm, to_mm, low_mm, high_mm in _not_drilled(plan.sketch, wall, side):
            gas = name == GAS_METER
            apart_mm = efforts()["hole_beside"] + (own_mm if gas else 0.0)
            seen.add(Block(name, along_mm - apart_mm, to_mm + apart_mm, low_mm - apart_mm,
                           high_mm + apart_mm + (stray.drop_mm if gas else 0.0)))  # fmt: skip
    yield from sorted(seen, key=lambda each: (each.from_mm, each.low_mm, each.name))
    for service in plan.sketch.services:
        wide_mm = efforts()["hole_beside_service"] + own_mm + service.diameter_mm / 2
        for along, off, height in _pieces(wall, service):
            if min(map(abs, off)) < thickness_mm(wall) / 2 + wide_mm or off[0] * off[1] < 0:
                yield Block(service.name, min(along) - wide_mm, max(along) + wide_mm, min(height) - wide_mm,
                            max(height) + wide_mm + stray.drop_mm)  # fmt: skip


def _boxes(sketch: Sketch, wall: Wall, side: str | None) -> Iterator[tuple[str, float, float, float, float]]:
    """Openings of the wall and boxes on that side of it: name, from, to, low, high."""
    for each in sketch.openings:
        if each.wall == wall.name and side is not None:
            yield each.name, each.along_mm, each.along_mm + each.width_mm, each.sill_mm, each.sill_mm + each.tall_mm
    boxes = [(each.name, each.place) for each in sketch.obstacles]
    boxes += [("the cut-out", sketch.cutout), ("the meter", sketch.meter), (GAS_METER, sketch.gas_meter)]
    for name, place in boxes:
        if place.wall == wall.name and place.side == side and place.width_mm and place.tall_mm:
            yield (name, *_span(place))


def _not_drilled(sketch: Sketch, wall: Wall, side: str) -> Iterator[tuple[str, float, float, float, float]]:
    """What no hole comes through at: openings, boxes, and the board, for nobody drills blindly into a live board."""
    yield from _boxes(sketch, wall, side)
    board = sketch.board
    if board.wall == wall.name and board.side == side and board.width_mm and board.tall_mm:
        yield ("the board", *_span(board))


def _span(place: Place) -> tuple[float, float, float, float]:
    assert place.along_mm is not None
    assert place.height_mm is not None
    wide_mm, tall_mm = (place.width_mm or 0) / 2, (place.tall_mm or 0) / 2
    return (place.along_mm - wide_mm, place.along_mm + wide_mm, place.height_mm - tall_mm, place.height_mm + tall_mm)


def _along_ring(face: Face, block: Block) -> Iterator[Block]:
    """A block of a wall as far as this face of it reaches, along the ring."""
    low, high = sorted((face.along_a_mm, face.along_b_mm))
    from_mm, to_mm = max(block.from_mm, low), min(block.to_mm, high)
    if from_mm < to_mm:
        low, high = sorted(face.from_mm + abs(each - face.along_a_mm) for each in (from_mm, to_mm))
        yield Block(block.name, low, high, block.low_mm, block.high_mm)


def _from_service(face: Face, service: Service, apart_mm: float) -> Iterator[Block]:
    """Where a cable on this face would come nearer to a service than it may."""
    ux, uy = ((q - p) / face.length_mm for p, q in zip(face.a, face.b, strict=True))
    for p, q in _short(service):
        along = [(each[0] - face.a[0]) * ux + (each[1] - face.a[1]) * uy for each in (p, q)]
        off = [(each[0] - face.a[0]) * uy - (each[1] - face.a[1]) * ux for each in (p, q)]
        near_mm = 0.0 if off[0] * off[1] <= 0 else min(map(abs, off))
        if near_mm >= apart_mm:
            continue
        reach_mm = math.sqrt(apart_mm**2 - near_mm**2)
        from_mm, to_mm = max(min(along) - reach_mm, 0.0), min(max(along) + reach_mm, face.length_mm)
        if from_mm < to_mm:
            heights = sorted((p[2], q[2]))
            yield Block(service.name, face.from_mm + from_mm, face.from_mm + to_mm, heights[0] - reach_mm,
                        heights[1] + reach_mm)  # fmt: skip


def _pieces(wall: Wall, service: Service) -> Iterator[tuple[list[float], list[float], list[float]]]:
    """Along, off and height of both ends of each short piece of a service, seen from a wall's start."""
    long_mm = math.hypot(wall.end.x_mm - wall.start.x_mm, wall.end.y_mm - wall.start.y_mm)
    ux, uy = (wall.end.x_mm - wall.start.x_mm) / long_mm, (wall.end.y_mm - wall.start.y_mm) / long_mm
    for ends in _short(service):
        dx = [(each[0] - wall.start.x_mm, each[1] - wall.start.y_mm) for each in ends]
        yield ([x * ux + y * uy for x, y in dx], [y * ux - x * uy for x, y in dx], [each[2] for each in ends])


def _short(service: Service) -> Iterator[tuple[tuple[float, float, float], tuple[float, float, float]]]:
    """Straight pieces of a service; what runs aslant is cut short, so that its rectangles follow it."""
    points = [(each.x_mm, each.y_mm, each.height_mm) for each in service.points]
    for p, q in itertools.pairwise(points):
        aslant = sum(abs(b - a) > LEVEL_MM for a, b in zip(p, q, strict=True)) > 1
        cuts_count = max(1, math.ceil(math.dist(p, q) / PIECE_MM)) if aslant else 1
        step = [(b - a) / cuts_count for a, b in zip(p, q, strict=True)]
        stops = [(p[0] + n * step[0], p[1] + n * step[1], p[2] + n * step[2]) for n in range(cuts_count + 1)]
        yield from itertools.pairwise(stops)
