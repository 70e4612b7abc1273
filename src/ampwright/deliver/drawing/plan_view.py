"""The plan: walls, rooms, ground, services, what is fitted, the route with its lengths, and the holes."""

from __future__ import annotations

import itertools
import math

import numpy as np
import shapely

from ampwright.assess.route.edges import GROUND, HOLE
from ampwright.assess.route.plan import Plan, polygon
from ampwright.assess.route.routes import Route, SensorRun
from ampwright.deliver.drawing.pen import XY, Pen
from ampwright.deliver.drawing.view import View, scale_bar, scale_for
from ampwright.job.sketch import Place, Sketch

DASHES = {"gas": "3 0.8 0.4 0.8", "water": "1.6 0.8", "electricity": "0.4 0.8", "telecoms": "0.4 1.6", "drain": "5 1",
          "oil": "3 0.8 0.4 0.8 0.4 0.8"}  # fmt: skip
EDGE_MM, SHORT_MM = 12.0, 150.0
Frame = tuple[float, float, float, float]
Leads = tuple[SensorRun, ...]
LEAD_MM, LEAD_INK = 1.9, "#b8b8b8"


def draw_plan(pen: Pen, plan: Plan, route: Route, leads: Leads, limits: Frame, *, turned: bool = False) -> float:
    """The plan of a route at the top of a frame of the paper (left, top, right, bottom). Returns its foot.

    `turned` by a quarter it is as long as it must be.
    """
    view, foot_mm = _view(_extent(plan, route), limits, turned)
    frame = (*limits[:3], foot_mm)
    pen.begin("Plan")
    pen.text((frame[0], frame[1] + 2), "PLAN, a quarter turned to the right" if turned else "PLAN", 3.4, bold=True)
    _grounds(pen, view, plan.sketch, frame)
    _walls(pen, view, plan)
    _leads(pen, view, leads)
    _route(pen, view, route)
    _overall(pen, view, plan)
    _services(pen, view, plan.sketch, frame)
    for name, at in placed(plan):
        pen.box(*_around(view.at(*at), 1.1), fill="black" if name in ("board", "charge point") else "white", title=name)
    _names(pen, view, plan.sketch, frame)
    _lengths(pen, view, route, frame)
    for name, at in placed(plan):
        pen.label(view.at(*at), name, frame)
    scale_bar(pen, view, (frame[0] + EDGE_MM, frame[3] - 3))
    pen.end()
    return frame[3]


def _view(box: Frame, limits: Frame, turned: bool) -> tuple[View, float]:
    """The view of a part of the world in a frame at the largest scale that fits, and where it ends below."""
    wide, tall = limits[2] - limits[0] - 2 * EDGE_MM, limits[3] - limits[1] - 2 * EDGE_MM
    across, up = box[2] - box[0], box[3] - box[1]
    if turned:
        scale = scale_for(up, across, wide, tall)
        foot_mm = limits[1] + 2 * EDGE_MM + across / scale
        return View(box[0], box[1], limits[0] + EDGE_MM, limits[1] + EDGE_MM, scale, turned), foot_mm
    scale = scale_for(across, up, wide, tall)
    foot_mm = limits[1] + 2 * EDGE_MM + up / scale
    return View(box[0], box[1], limits[0] + EDGE_MM, foot_mm - EDGE_MM, scale), foot_mm


def placed(plan: Plan) -> list[tuple[str, XY]]:
    """The name and place on plan of whatever the sketch places."""
    return [(name, at) for name, place in things_of(plan.sketch) if (at := on_plan(plan, place)) is not None]


def things_of(sketch: Sketch) -> list[tuple[str, Place]]:
    """Name and place of everything that stands somewhere in a sketch, whether it is placed yet or not."""
    return [
        ("board", sketch.board), ("charge point", sketch.charge_point), ("meter", sketch.meter),
        ("cut-out", sketch.cutout), ("gas meter", sketch.gas_meter),
        *((each.name, each.place) for each in sketch.sensors),
        *((each.name, each.place) for each in sketch.obstacles)]  # fmt: skip


def on_plan(plan: Plan, place: Place) -> XY | None:
    """Where a place is on plan, or None where it is not drawn."""
    if place.wall is not None:
        found = plan.face_of(place)
        return found[0].at(found[1]) if found else None
    return (place.x_mm, place.y_mm) if place.x_mm is not None and place.y_mm is not None else None


def _extent(plan: Plan, route: Route) -> Frame:
    """Walls and route, and the ground, keep-outs and services only as far as a little beyond."""
    solid = plan.solid.bounds
    points = route.way.points
    low = (min(solid[0], *(p[0] for p in points)), min(solid[1], *(p[1] for p in points)))
    high = (max(solid[2], *(p[0] for p in points)), max(solid[3], *(p[1] for p in points)))
    return (*low, *high)


def _clipped(view: View, frame: Frame) -> shapely.Polygon:
    """The frame in the world."""
    (x, y), (xx, yy) = view.world(frame[0], frame[3] - 5), view.world(frame[2], frame[1] + 4)
    return shapely.box(min(x, xx), min(y, yy), max(x, xx), max(y, yy))


def _grounds(pen: Pen, view: View, sketch: Sketch, frame: Frame) -> None:
    window = _clipped(view, frame)
    for each in sketch.ground:
        for part in shapely.get_parts(polygon(each.corners).intersection(window)):
            pen.line([view.at(*p) for p in part.exterior.coords[:-1]], 0.15, "0.8 0.8", closed=True, title=each.name)
    for out in sketch.keep_outs:
        for part in shapely.get_parts(polygon(out.corners).intersection(window)):
            corners = [view.at(*p) for p in part.exterior.coords[:-1]]
            pen.line(corners, 0.25, "2 1", closed=True, fill="#eeeeee", title=f"keep out: {out.name}")


def _walls(pen: Pen, view: View, plan: Plan) -> None:
    for part in shapely.get_parts(plan.solid):
        rings = [[view.at(*p) for p in ring.coords[:-1]] for ring in (part.exterior, *part.interiors)]
        pen.area(rings, "#cfcfcf")
    for each in plan.sketch.openings:
        faces = [face for face in plan.faces if face.wall.name == each.wall and face.side is not None]
        spans = [[face.at(s) for along in (each.along_mm, each.along_mm + each.width_mm)
                  if (s := face.on_ring_mm(along)) is not None] for face in faces]  # fmt: skip
        both = [span for span in spans if len(span) == 2]
        if len(both) == 2:
            (a, b), (c, d) = both
            ring = [a, b, c, d] if shapely.Polygon([a, b, c, d]).is_valid else [a, b, d, c]
            pen.line([view.at(*p) for p in ring], 0.2, closed=True, fill="white", title=f"{each.kind}: {each.name}")


def _services(pen: Pen, view: View, sketch: Sketch, frame: Frame) -> None:
    window = _clipped(view, frame)
    for each in sketch.services:
        first = (each.points[0].x_mm, each.points[0].y_mm)
        if window.contains(shapely.Point(first)) and all((p.x_mm, p.y_mm) == first for p in each.points):
            pen.dot(view.at(*first), 0.7, title=f"{each.kind}: {each.name}")
            pen.label(view.at(*first), each.name, frame)
        line = shapely.LineString([(p.x_mm, p.y_mm) for p in each.points]).intersection(window)
        for part in shapely.get_parts(line):
            if part.length:
                pen.line([view.at(*p) for p in part.coords], 0.3, DASHES[each.kind], title=f"{each.kind}: {each.name}")
                middle = part.interpolate(0.5, normalized=True)
                pen.label(view.at(middle.x, middle.y), each.name, frame)


def _overall(pen: Pen, view: View, plan: Plan) -> None:
    """The outside of each building, across and up."""
    for part in shapely.get_parts(plan.solid):
        x, y, xx, yy = part.bounds
        (left, right), (top, bottom) = (sorted(each) for each in zip(view.at(x, y), view.at(xx, yy), strict=True))
        across, up = (yy - y, xx - x) if view.turned else (xx - x, yy - y)
        pen.dimension((left, top - 3), (right, top - 3), f"{across:.0f}")
        pen.dimension((left - 3.5, top), (left - 3.5, bottom), f"{up:.0f}")


def _leads(pen: Pen, view: View, leads: Leads) -> None:
    """The leads of wired sensors, broad and grey, so that they show beneath a route that they go along with."""
    for each in leads:
        for leg in each.way.legs if each.way is not None else ():
            title = f"lead of the {each.name}, {leg.name}: {leg.length_mm:.0f} mm"
            pen.line([view.at(*p[:2]) for p in leg.points], LEAD_MM, title=title, ink=LEAD_INK)


def _route(pen: Pen, view: View, route: Route) -> None:
    for leg in route.way.legs:
        points = [view.at(*p[:2]) for p in leg.points]
        pen.line(points, 0.9, "2.4 1" if leg.kind == GROUND else "", title=f"route, {leg.name}: {leg.length_mm:.0f} mm")
    for number, leg in enumerate(route.way.holes, start=1):
        middle = [(a + b) / 2 for a, b in zip(leg.points[0], leg.points[-1], strict=True)]
        pen.dot(view.at(middle[0], middle[1]), 1.7, str(number), title=f"hole {number}: {leg.name}")


def _lengths(pen: Pen, view: View, route: Route, frame: Frame) -> None:
    """The length on plan of each straight run."""
    for leg in route.way.legs:
        for p, q in itertools.pairwise(leg.points):
            flat_mm = math.dist(p[:2], q[:2])
            if leg.kind != HOLE and flat_mm > SHORT_MM:
                (ax, ay), (bx, by) = view.at(*p[:2]), view.at(*q[:2])
                pen.label(((ax + bx) / 2, (ay + by) / 2), f"{flat_mm:.0f}", frame)


def _names(pen: Pen, view: View, sketch: Sketch, frame: Frame) -> None:
    """The name of each room, ground and keep-out, within it where it holds it."""
    window = _clipped(view, frame)
    out = shapely.union_all([polygon(each.corners) for each in sketch.keep_outs])
    areas = [(each.name, polygon(each.corners).difference(out)) for each in sketch.rooms]
    areas += [(each.name, polygon(each.corners).difference(out)) for each in sketch.ground]
    areas += [(each.name, polygon(each.corners)) for each in sketch.keep_outs]
    for name, area in areas:
        seen = area.intersection(window)
        if not seen.is_empty and seen.area > window.area / 1000:
            on_paper = shapely.transform(seen, lambda points: np.array([view.at(*each) for each in points]))
            pen.within(on_paper, name, frame)


def _around(at: XY, half_mm: float) -> tuple[XY, XY]:
    return (at[0] - half_mm, at[1] - half_mm), (at[0] + half_mm, at[1] + half_mm)
