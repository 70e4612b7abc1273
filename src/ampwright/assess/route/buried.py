"""Services in the ground that a trench keeps off, and where it may cross them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from shapely.geometry import LineString, MultiPoint
from shapely.geometry.base import BaseGeometry

from ampwright.assess.route.effort import clearance_mm, crossing_mm, efforts
from ampwright.assess.route.plan import XY, polygon
from ampwright.job.sketch import GroundArea, Service

SQUARE_DEG = 45.0  # a flatter way across is one beside; common practice, no source
SHRUNK_MM = 0.5


@dataclass(frozen=True, slots=True)
class Barred:
    """Ground that no trench enters, by the name of what is there. Across `over`, a straight length of a service, a
    trench may lead all the same, from outside to outside."""

    name: str
    area: BaseGeometry
    over: tuple[XY, XY] | None = None

    def bars(self, lines: Any) -> Any:
        """Which of these straight trenches it does not let through, as an array of true and false."""
        inner = self.area.buffer(-SHRUNK_MM, join_style="mitre")
        shapely.prepare(inner)
        hit = shapely.intersects(inner, lines)
        if self.over is None or not hit.any():
            return hit
        ends = [shapely.get_point(lines, n) for n in (0, -1)]
        run = np.subtract(*(np.column_stack([shapely.get_x(each), shapely.get_y(each)]) for each in ends))
        (ax, ay), (bx, by) = self.over
        turned = np.abs(run[:, 0] * (by - ay) - run[:, 1] * (bx - ax))
        square = turned >= math.sin(math.radians(SQUARE_DEG)) * np.hypot(*run.T) * math.dist(*self.over)
        outside = ~shapely.intersects(inner, ends[0]) & ~shapely.intersects(inner, ends[1])
        through = shapely.intersects(LineString(self.over), lines)
        return hit & ~(square & outside & through)


def barred_by(ground: tuple[GroundArea, ...], service: Service) -> Iterator[Barred]:
    """The ground in which a trench would come too near to each straight length of a service; none where it lies clear
    of all."""
    apart_mm = clearance_mm(service, "buried") + service.diameter_mm / 2
    deep = [each.depth_mm or efforts()["depth"] for each in ground]
    for p, q in itertools.pairwise(service.points):
        low, high = sorted((p.height_mm, q.height_mm))
        if low < 0 and high > -max(deep) - apart_mm and low < -min(deep) + apart_mm:
            ends = ((p.x_mm, p.y_mm), (q.x_mm, q.y_mm))
            line = LineString(ends) if ends[0] != ends[1] else MultiPoint(ends[:1])
            area = line.buffer(apart_mm, quad_segs=2)
            may = ends[0] != ends[1] and _may_cross(ground, service, area, (low, high))
            yield Barred(service.name, area, ends if may else None)


def _may_cross(ground: tuple[GroundArea, ...], service: Service, area: BaseGeometry, heights: XY) -> bool:
    """Whether every trench near it lies far enough above or below; never where nobody gave the depth."""
    wanted_mm = crossing_mm(service)
    here = [each.depth_mm for each in ground if polygon(each.corners).intersects(area)]
    deep = [each for each in here if each is not None]
    if wanted_mm is None or not here or len(deep) < len(here):
        return False
    return all(between_mm(depth_mm, heights, service) >= wanted_mm for depth_mm in deep)


def between_mm(depth_mm: float, heights: XY, service: Service) -> float:
    """How far in height a cable so deep lies from the outside of a service between two heights."""
    return max(heights[0] + depth_mm, -depth_mm - heights[1], 0.0) - service.diameter_mm / 2


def crossed(service: Service, line: Any) -> Iterator[tuple[XY, XY]]:
    """Where, on plan, a line crosses a service that lies below ground, and between which heights it is there."""
    for p, q in itertools.pairwise(service.points):
        piece = LineString([(p.x_mm, p.y_mm), (q.x_mm, q.y_mm)])
        at = piece.intersection(line)
        low, high = sorted((p.height_mm, q.height_mm))
        if low < 0 and not at.is_empty:
            yield (at.representative_point().x, at.representative_point().y), (low, high)


def depth_at(ground: tuple[GroundArea, ...], x_mm: float, y_mm: float) -> float:
    """The depth of a trench in the ground nearest to a place."""
    near = min(ground, key=lambda each: polygon(each.corners).distance(shapely.Point(x_mm, y_mm)))
    return near.depth_mm or efforts()["depth"]
