"""The gas that a sketch draws, and how near it comes to the board and the charge point: plain geometry."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

from ampwright.job.sketch import Place, Sketch, Wall

DEEP_MM = 150.0  # how far a board or charge point stands out, for no sketch has it; common practice, no source
STEPS_COUNT, THIRD = 48, 1 / 3
XY = tuple[float, float]
XYZ = tuple[float, float, float]
Box = tuple[XY, ...]


@dataclass(frozen=True, slots=True)
class Beside:
    """A gas pipe or meter beside a board or charge point: from its outside to the nearest edge, by the sketch."""

    gas: str
    equipment: str
    gap_mm: float


@dataclass(frozen=True, slots=True)
class Frame:
    """A face to measure from: along it, off it and up. `out_ratio` is 1 where it looks to the
    left and -1 to the right, `off_mm` where it lies off the line through its start."""

    start: XY
    ahead: XY
    out_ratio: float
    off_mm: float

    def seen(self, point: XYZ) -> XYZ:
        """A point of the sketch along, off and up this face."""
        dx, dy = point[0] - self.start[0], point[1] - self.start[1]
        left_mm = dy * self.ahead[0] - dx * self.ahead[1]
        return dx * self.ahead[0] + dy * self.ahead[1], left_mm * self.out_ratio - self.off_mm, point[2]

    def placed(self, along_mm: float, up_mm: float) -> XYZ:
        """The point of the sketch on this face."""
        (ux, uy), off_mm = self.ahead, self.off_mm * self.out_ratio
        return self.start[0] + along_mm * ux - off_mm * uy, self.start[1] + along_mm * uy + off_mm * ux, up_mm


def gas_drawn(sketch: Sketch) -> tuple[str, ...]:
    """The names of the gas pipes and of the gas meter that a sketch draws."""
    pipes = tuple(each.name for each in sketch.services if each.kind == "gas")
    if not sketch.walls:
        return pipes
    meter = sketch.gas_meter
    return pipes if meter.wall is None and meter.x_mm is None else (*pipes, "gas meter")


def gas_beside(sketch: Sketch) -> tuple[Beside, ...]:
    """Each gas pipe and the gas meter against the board and the charge point, as far as both are drawn."""
    if not gas_drawn(sketch):
        return ()
    found = []
    for equipment, place in (("board", sketch.board), ("charge point", sketch.charge_point)):
        spot = _spot(sketch, place)
        if spot is None:
            continue
        frame, box = spot
        (left, right), _, (low, high) = box
        for name, pieces, half_mm in _gas(sketch, frame.placed((left + right) / 2, (low + high) / 2)):
            gaps = [_gap_mm(box, frame.seen(p), frame.seen(q)) - half_mm for p, q in pieces]
            if gaps:
                found.append(Beside(name, equipment, max(min(gaps), 0.0)))
    return tuple(found)


def _gas(sketch: Sketch, middle: XYZ) -> Iterator[tuple[str, list[tuple[XYZ, XYZ]], float]]:
    """Name, straight pieces and half the width of everything that holds gas; of the meter its outline on the
    wall, and the point of it that is nearest to the middle of what is looked at."""
    for each in sketch.services:
        if each.kind == "gas":
            points = [(p.x_mm, p.y_mm, p.height_mm) for p in each.points]
            yield each.name, list(itertools.pairwise(points)), each.diameter_mm / 2
    meter = _spot(sketch, sketch.gas_meter)
    if meter is not None:
        frame, ((left, right), _, (low, high)) = meter
        corners = [(left, low), (right, low), (right, high), (left, high), (left, low)]
        along_mm, _, up_mm = frame.seen(middle)
        nearest = frame.placed(min(max(along_mm, left), right), min(max(up_mm, low), high))
        outline = itertools.pairwise(frame.placed(*each) for each in corners)
        yield "gas meter", [*outline, (nearest, nearest)], 0.0


def _spot(sketch: Sketch, place: Place) -> tuple[Frame, Box] | None:
    """The face that a thing hangs on and the box that it fills there, along, off and up; None where it is not drawn."""
    half_mm, up_mm, height_mm = (place.width_mm or 0.0) / 2, (place.tall_mm or 0.0) / 2, place.height_mm or 0.0
    heights = (height_mm - up_mm, height_mm + up_mm)
    if place.wall is None:
        if place.x_mm is None or place.y_mm is None:
            return None
        around = (-half_mm, half_mm)
        return Frame((place.x_mm, place.y_mm), (1.0, 0.0), 1.0, 0.0), (around, around, heights)
    wall = next((each for each in sketch.walls if each.name == place.wall), None)
    if wall is None or place.side is None or place.along_mm is None or place.height_mm is None or not _long_mm(wall):
        return None
    ahead = ((wall.end.x_mm - wall.start.x_mm) / _long_mm(wall), (wall.end.y_mm - wall.start.y_mm) / _long_mm(wall))
    thick_mm = 0.0 if wall.thickness_mm is None else (wall.thickness_mm.low + wall.thickness_mm.high) / 2
    frame = Frame((wall.start.x_mm, wall.start.y_mm), ahead, 1.0 if place.side == "left" else -1.0, thick_mm / 2)
    return frame, ((place.along_mm - half_mm, place.along_mm + half_mm), (0.0, DEEP_MM), heights)


def _long_mm(wall: Wall) -> float:
    return math.hypot(wall.end.x_mm - wall.start.x_mm, wall.end.y_mm - wall.start.y_mm)


def _gap_mm(box: Box, p: XYZ, q: XYZ) -> float:
    """The least distance between a box and a straight piece: along the piece it falls and then rises."""

    def off_mm(share_ratio: float) -> float:
        point = [a + share_ratio * (b - a) for a, b in zip(p, q, strict=True)]
        return math.hypot(*(max(low - at, at - high, 0.0) for at, (low, high) in zip(point, box, strict=True)))

    low, high = 0.0, 1.0
    for _ in range(STEPS_COUNT):
        third = (high - low) * THIRD
        if off_mm(low + third) <= off_mm(high - third):
            high -= third
        else:
            low += third
    return off_mm((low + high) / 2)
