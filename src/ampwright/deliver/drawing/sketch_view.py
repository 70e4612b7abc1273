"""The sketch as far as it is drawn, on plan: for the one who is typing it, faults and all."""

from __future__ import annotations

import math
from collections.abc import Iterator
from xml.sax.saxutils import escape

import shapely

from ampwright.assess.route.plan import length_mm, xy
from ampwright.deliver.drawing.pen import XY, Box, Pen
from ampwright.deliver.drawing.plan_view import DASHES, things_of
from ampwright.deliver.drawing.view import View
from ampwright.job.sketch import Corner, Sketch, Wall

WIDE_MM, EDGE_MM, THIN_MM = 105.0, 9.0, 100.0
SIDES = (("left", 0), ("left", 1), ("right", 1), ("right", 0))


def sketch_svg(sketch: Sketch) -> str:
    """The plan of a sketch as SVG text, to scale, for a screen; nothing of it need be right or complete."""
    points = list(_points(sketch))
    xs, ys = ([p[axis] for p in points] or [0.0, 1000.0] for axis in (0, 1))
    across, up = max(max(xs) - min(xs), 1000.0), max(max(ys) - min(ys), 1000.0)
    scale = math.ceil(across / (WIDE_MM - 2 * EDGE_MM))
    tall = up / scale + 2 * EDGE_MM
    view, pen, frame = View(min(xs), min(ys), EDGE_MM, tall - EDGE_MM, scale), Pen(), (0.0, 0.0, WIDE_MM, tall)
    _areas(pen, view, sketch)
    _walls(pen, view, sketch)
    _area_names(pen, view, sketch, frame)
    _services(pen, view, sketch, frame)
    for name, at in _placed(sketch):
        x, y = view.at(*at)
        pen.box((x - 1.1, y - 1.1), (x + 1.1, y + 1.1), title=name)
        pen.label((x, y), name, frame)
    pen.dimension((EDGE_MM, tall - 3), (EDGE_MM + across / scale, tall - 3), f"{across / 1000:.2f} m")
    marks = "\n".join(pen.marks)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE_MM:.0f} {tall:.0f}" role="img" lang="en-GB" '
        'aria-labelledby="title words" font-family="Arial, Helvetica, sans-serif">\n'
        f'<title id="title">Plan of the sketch, to scale</title><desc id="words">{escape(_words(sketch))}</desc>\n'
        f'<rect width="{WIDE_MM:.0f}" height="{tall:.0f}" fill="white"/>\n{marks}\n</svg>\n'
    )


def on_wall(wall: Wall, side: str | None, along_mm: float) -> XY:
    """A point of a wall's face on plan, `along_mm` from its start. Without a side it is on the middle line."""
    (x, y), (xx, yy) = xy(wall.start), xy(wall.end)
    long_mm = length_mm(wall) or 1.0
    ahead = ((xx - x) / long_mm, (yy - y) / long_mm)
    out_mm = {"left": 0.5, "right": -0.5}.get(side or "", 0.0) * _thick_mm(wall)
    return x + ahead[0] * along_mm - ahead[1] * out_mm, y + ahead[1] * along_mm + ahead[0] * out_mm


def _thick_mm(wall: Wall) -> float:
    return wall.thickness_mm.high if wall.thickness_mm is not None else THIN_MM


def _ring(wall: Wall) -> list[XY]:
    long_mm = length_mm(wall)
    return [on_wall(wall, "left", 0.0), on_wall(wall, "left", long_mm), on_wall(wall, "right", long_mm),
            on_wall(wall, "right", 0.0)]  # fmt: skip


def _points(sketch: Sketch) -> Iterator[XY]:
    """Every point that is drawn."""
    for wall in sketch.walls:
        yield from _ring(wall)
    for _, corners in _named(sketch):
        yield from map(xy, corners)
    for service in sketch.services:
        yield from ((each.x_mm, each.y_mm) for each in service.points)
    yield from (at for _, at in _placed(sketch))


def _named(sketch: Sketch) -> list[tuple[str, tuple[Corner, ...]]]:
    """Name and corners of ground, then what is kept out of, then rooms."""
    return [*((each.name, each.corners) for each in sketch.ground),
            *((each.name, each.corners) for each in sketch.keep_outs),
            *((each.name, each.corners) for each in sketch.rooms)]  # fmt: skip


def _areas(pen: Pen, view: View, sketch: Sketch) -> None:
    looks = [("0.8 0.8", "none")] * len(sketch.ground) + [("2 1", "#eeeeee")] * len(sketch.keep_outs)
    looks += [("0.3 1.2", "none")] * len(sketch.rooms)
    for (name, corners), (dash, fill) in zip(_named(sketch), looks, strict=True):
        if len(corners) > 1:
            pen.line([view.at(*xy(corner)) for corner in corners], 0.2, dash, closed=True, fill=fill, title=name)


def _area_names(pen: Pen, view: View, sketch: Sketch, frame: Box) -> None:
    for name, corners in reversed(_named(sketch)):
        area = shapely.Polygon([view.at(*xy(corner)) for corner in corners]) if len(corners) > 2 else None
        if area is not None and area.is_valid:
            pen.within(area, name, frame)


def _walls(pen: Pen, view: View, sketch: Sketch) -> None:
    for wall in sketch.walls:
        ring = [view.at(*point) for point in _ring(wall)]
        pen.line(ring, 0.3, closed=True, fill="#cfcfcf", title=wall.name)
    for each in sketch.openings:
        for wall in _called(sketch, each.wall):
            edges = (each.along_mm, each.along_mm + each.width_mm)
            ring = [on_wall(wall, side, edges[end]) for side, end in SIDES]
            pen.line([view.at(*point) for point in ring], 0.2, closed=True, fill="white",
                     title=f"{each.kind}: {each.name}")  # fmt: skip
    for count, wall in enumerate(sketch.walls, start=1):
        (x, y), (xx, yy) = (view.at(*xy(end)) for end in (wall.start, wall.end))
        pen.dot(((x + xx) / 2, (y + yy) / 2), 1.9, str(count), title=f"wall {count}: {wall.name}")


def _services(pen: Pen, view: View, sketch: Sketch, frame: Box) -> None:
    for each in sketch.services:
        points = [view.at(point.x_mm, point.y_mm) for point in each.points]
        if len(points) > 1:
            pen.line(points, 0.3, DASHES[each.kind], title=f"{each.kind}: {each.name}")
            pen.label(points[len(points) // 2], each.name, frame)


def _placed(sketch: Sketch) -> Iterator[tuple[str, XY]]:
    """Name and point of whatever stands somewhere: on a wall that the sketch has, or free."""
    for name, place in things_of(sketch):
        if place.wall is not None and place.along_mm is not None:
            yield from ((name, on_wall(wall, place.side, place.along_mm)) for wall in _called(sketch, place.wall))
        elif place.x_mm is not None and place.y_mm is not None:
            yield name, (place.x_mm, place.y_mm)


def _called(sketch: Sketch, name: str) -> tuple[Wall, ...]:
    return tuple(wall for wall in sketch.walls if wall.name == name)[:1]


def _words(sketch: Sketch) -> str:
    lists: dict[str, list[str]] = {
        "Walls": [each.name for each in sketch.walls], "Areas": [name for name, _ in _named(sketch)],
        "Windows and doors": [each.name for each in sketch.openings],
        "Pipes and cables": [each.name for each in sketch.services],
        "Trunking": [each.name for each in sketch.trunking]}  # fmt: skip
    said = [f"{what}: {', '.join(names)}." for what, names in lists.items() if names]
    placed = [name for name, _ in _placed(sketch)]
    return " ".join([*said, *([f"Placed: {', '.join(placed)}."] if placed else [])]) or "Nothing is drawn yet."
