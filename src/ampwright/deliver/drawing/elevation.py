"""Elevations: each face that the route runs on, as one stands before it, with heights, holes and what is there."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ampwright.assess.route.blocks import Block
from ampwright.assess.route.edges import GROUND, HOLE
from ampwright.assess.route.holes import End, Hole
from ampwright.assess.route.plan import Face, Plan, where_words
from ampwright.assess.route.routes import Route
from ampwright.assess.route.search import XYZ, Way
from ampwright.deliver.drawing.pen import XY, Pen, width_mm
from ampwright.deliver.drawing.plan_view import DASHES
from ampwright.deliver.drawing.view import SCALES, View, scale_bar
from ampwright.job.sketch import Place

ON_FACE_MM, HEADROOM_MM, GAP_MM, HEAD_MM, FOOT_MM = 2.0, 500.0, 22.0, 8.0, 10.0
SHORT_MM = 100.0
BOLD_RATIO = 1.1
MOST_COUNT = 8
Frame = tuple[float, float, float, float]
Run = tuple[XY, XY]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A face to draw: its number, the route on it, and between which heights."""

    number: int
    face: Face
    runs: list[Run]
    low_mm: float
    top_mm: float

    @property
    def name(self) -> str:
        """The wall, and from where it is seen."""
        return f"{self.face.wall.name}, {where_words(self.face.room)}"

    @property
    def title(self) -> str:
        """What stands above it."""
        return f"{self.number}  {self.name}"

    def column_mm(self, scale: int, most_mm: float) -> float:
        """How wide its column is on paper: the face or its title, whichever is wider, and the gap; a title is given no
        more than `most_mm`."""
        face_mm = self.face.length_mm / scale + GAP_MM
        return max(face_mm, min(width_mm(self.title) * BOLD_RATIO + GAP_MM / 2, most_mm))

    @property
    def tall_mm(self) -> float:
        """The height drawn, from the ground or lower."""
        return self.top_mm - min(self.low_mm, 0.0)


def draw_elevations(pen: Pen, plan: Plan, route: Route, frame: Frame) -> tuple[int, float]:
    """The faces that a route runs on, side by side at one scale within a frame. Returns how many are left out, and the
    foot."""
    shown = [(face, runs_on(face, route)) for face in plan.faces if runs_on(face, route) or _ends_on(face, route)]
    drawn = sorted(shown, key=lambda each: _order(route.way, each[0]))[:MOST_COUNT]
    if not drawn:
        return 0, frame[1]
    drawings = [Drawing(n, face, runs, min([face.wall.base_mm, *(p[1] for run in runs for p in run)]),
                        _top(plan, route, face, runs)) for n, (face, runs) in enumerate(drawn, start=1)]  # fmt: skip
    fitting = (each for each in SCALES if _rows_tall(drawings, each, frame) <= frame[3] - frame[1] - 5)
    scale, foot = next(fitting, SCALES[-1]), frame[1]
    for row in _rows(drawings, scale, frame):
        tall_mm = max(each.tall_mm for each in row) / scale
        foot, left = foot + HEAD_MM + tall_mm + FOOT_MM, frame[0] + GAP_MM / 2
        for each in row:
            view = View(0.0, min(each.low_mm, 0.0), left, foot - FOOT_MM, scale)
            column_mm = each.column_mm(scale, frame[2] - frame[0])
            edge = (left - 6, foot - FOOT_MM - tall_mm - HEAD_MM, left + column_mm - 6, foot)
            _draw(pen, plan, route, each, view, edge)
            left += column_mm
    scale_bar(pen, View(0, 0, 0, 0, scale), (frame[0] + GAP_MM / 2, foot + 2))
    return len(shown) - len(drawn), foot + 5


def _rows(drawings: list[Drawing], scale: int, frame: Frame) -> list[list[Drawing]]:
    """The faces in rows no wider than the frame."""
    rows: list[list[Drawing]] = []
    room_mm = 0.0
    for each in drawings:
        wide_mm = each.column_mm(scale, frame[2] - frame[0])
        if not rows or wide_mm > room_mm:
            rows.append([])
            room_mm = frame[2] - frame[0]
        rows[-1].append(each)
        room_mm -= wide_mm
    return rows


def _rows_tall(drawings: list[Drawing], scale: int, frame: Frame) -> float:
    """How tall the rows are on paper; without end where a face is too wide."""
    if any(each.face.length_mm / scale + GAP_MM > frame[2] - frame[0] for each in drawings):
        return math.inf
    return sum(HEAD_MM + FOOT_MM + max(each.tall_mm for each in row) / scale
               for row in _rows(drawings, scale, frame))  # fmt: skip


def runs_on(face: Face, route: Route) -> list[Run]:
    """The stretches of a route that lie on a face, along it from its left end and up; upright ones to where a hole
    truly ends, below where a level one would."""
    found: list[Run] = []
    holes = {(round(at[0]), round(hole.entry.height_mm)): at for hole, _, at in _ends_on(face, route)}
    for leg in route.way.legs:
        for p, q in zip(leg.points, leg.points[1:], strict=False):
            ends = [_on(face, each) for each in (p, q)]
            if leg.kind not in (HOLE, GROUND) and ends[0] is not None and ends[1] is not None and ends[0] != ends[1]:
                upright = abs(ends[0][0] - ends[1][0]) < 1
                lower = [holes.get((round(x), round(z)), (x, z)) if upright else (x, z) for x, z in (ends[0], ends[1])]
                found.append((lower[0], lower[1]))
    return found


def _ends_on(face: Face, route: Route) -> list[tuple[Hole, End, XY]]:
    """The ends of holes on a face: the hole, its end, and where."""
    return [(hole, end, at) for hole in route.holes for end in (hole.entry, hole.breakout)
            if (at := _on(face, end.point)) is not None]  # fmt: skip


def _on(face: Face, point: XYZ) -> XY | None:
    """A point by its place along a face and its height; None where it is not on the face."""
    ux, uy = ((q - p) / face.length_mm for p, q in zip(face.a, face.b, strict=True))
    dx, dy = point[0] - face.a[0], point[1] - face.a[1]
    along, off = dx * ux + dy * uy, dx * uy - dy * ux
    if abs(off) > ON_FACE_MM or not -ON_FACE_MM <= along <= face.length_mm + ON_FACE_MM:
        return None
    return (along, point[2])


def _order(way: Way, face: Face) -> int:
    return next((n for n, each in enumerate(way.points) if _on(face, each) is not None), len(way.points))


def _top(plan: Plan, route: Route, face: Face, runs: list[Run]) -> float:
    """As high as the route and what is fitted there, and a little more; never above the wall."""
    heights = [p[1] for run in runs for p in run] + [at[1] for _, _, at in _ends_on(face, route)]
    heights += [block.high_mm for block in things_on(plan, face)]
    return min(face.wall.top_mm, max(heights) + HEADROOM_MM)


def things_on(plan: Plan, face: Face) -> list[Block]:
    """Openings and boxes of a face, along it from its left end."""
    sketch, found = plan.sketch, []
    for each in sketch.openings:
        ends = [each.along_mm, each.along_mm + each.width_mm]
        if each.wall == face.wall.name and face.side is not None:
            found.append((each.name, ends, each.sill_mm, each.sill_mm + each.tall_mm))
    places: list[tuple[str, Place]] = [
        ("board", sketch.board), ("charge point", sketch.charge_point), ("meter", sketch.meter),
        ("cut-out", sketch.cutout), ("gas meter", sketch.gas_meter)]  # fmt: skip
    places += [(each.name, each.place) for each in sketch.obstacles]
    places += [(each.name, each.place) for each in sketch.sensors]
    for name, place in places:
        if place.wall == face.wall.name and place.side == face.side and place.along_mm is not None:
            wide, tall = (place.width_mm or 60) / 2, (place.tall_mm or 60) / 2
            height = place.height_mm or 0.0
            found.append((name, [place.along_mm - wide, place.along_mm + wide], height - tall, height + tall))
    low, high = sorted((face.along_a_mm, face.along_b_mm))
    seen = [(name, [min(max(p, low), high) for p in ends], bottom, top) for name, ends, bottom, top in found]
    near = [(name, sorted(abs(p - face.along_a_mm) for p in ends), bottom, top) for name, ends, bottom, top in seen]
    return [Block(name, ends[0], ends[1], bottom, top) for name, ends, bottom, top in near if ends[0] != ends[1]]


def _draw(pen: Pen, plan: Plan, route: Route, drawing: Drawing, view: View, edge: Frame) -> None:
    face, low, top = drawing.face, drawing.low_mm, drawing.top_mm
    pen.begin(f"Elevation {drawing.number}: {drawing.name}")
    pen.text((view.at(0, top)[0], view.at(0, top)[1] - 2.5), drawing.title, bold=True)
    corners = ((0.0, face.wall.base_mm), (0.0, top), (face.length_mm, top), (face.length_mm, face.wall.base_mm))
    pen.line([view.at(*each) for each in corners], 0.35, closed=True, fill="#f4f4f4")
    if face.room is None:
        pen.line([view.at(-200, 0), view.at(face.length_mm + 200, 0)], 0.7, title="ground level")
    spots = [(each, view.at(each.from_mm, min(each.high_mm, top)), view.at(each.to_mm, each.low_mm))
             for each in things_on(plan, face)]  # fmt: skip
    for each, high, foot in spots:
        pen.box(high, foot, title=each.name)
    _services(pen, plan, face, view, top, edge)
    for p, q in drawing.runs:
        pen.line([view.at(*p), view.at(*q)], 0.9, title=f"route: {math.dist(p, q):.0f} mm")
    told = _holes(pen, route, face, view)
    for p, q in drawing.runs:
        if math.dist(p, q) > SHORT_MM and f"{math.dist(p, q):.0f}" not in told:
            (ax, ay), (bx, by) = view.at(*p), view.at(*q)
            pen.label(((ax + bx) / 2, (ay + by) / 2), f"{math.dist(p, q):.0f}", edge)
    for each, high, foot in spots:
        pen.inside(high, foot, each.name, edge)
    base = edge[3] - 4
    pen.dimension((view.at(0, low)[0], base), (view.at(face.length_mm, low)[0], base), f"{face.length_mm:.0f}")
    pen.end()


def _holes(pen: Pen, route: Route, face: Face, view: View) -> set[str]:
    """Each hole by its number, and how it is set out. Returns the lengths told."""
    told: set[str] = set()
    for hole, end, at in _ends_on(face, route):
        number = route.holes.index(hole) + 1
        what = "enter here" if end is hole.entry else "breaks out here"
        pen.dot(view.at(*at), 1.7, str(number), title=f"hole {number}: {what}")
        told |= _set_out(pen, view, face, at)
    return told


def _services(pen: Pen, plan: Plan, face: Face, view: View, top_mm: float, edge: Frame) -> None:
    for each in plan.sketch.services:
        spots: list[XY] = []
        for p, q in zip(each.points, each.points[1:], strict=False):
            near = [_near(face, (k.x_mm, k.y_mm, k.height_mm)) for k in (p, q)]
            if near[0] is not None and near[1] is not None and min(near[0][1], near[1][1]) < top_mm:
                said = f"{each.kind}: {each.name}"
                ends = [view.at(*_below(near[0], near[1], top_mm)), view.at(*_below(near[1], near[0], top_mm))]
                pen.line(ends, 0.35, DASHES[each.kind], title=said)
                spots.append(((ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2))
        if spots:
            pen.label(spots[0], each.name, edge)


def _below(at: XY, other: XY, top_mm: float) -> XY:
    """An end of a piece, or where the piece passes the top of what is drawn on its way from the other end."""
    if at[1] <= top_mm:
        return at
    share = (top_mm - other[1]) / (at[1] - other[1])
    return (other[0] + share * (at[0] - other[0]), top_mm)


def _near(face: Face, point: XYZ) -> XY | None:
    """As `_on`, for what stands up to a hand's breadth off the face."""
    ux, uy = ((q - p) / face.length_mm for p, q in zip(face.a, face.b, strict=True))
    dx, dy = point[0] - face.a[0], point[1] - face.a[1]
    along, off = dx * ux + dy * uy, dx * uy - dy * ux
    return (along, point[2]) if 0 <= off <= 150 and 0 <= along <= face.length_mm else None


def _set_out(pen: Pen, view: View, face: Face, at: XY) -> set[str]:
    """A hole's height, and its distance from the nearer end of the face. Returns both as told."""
    low, height = view.at(at[0], 0.0), f"{at[1]:.0f}"
    end_mm = 0.0 if at[0] <= face.length_mm / 2 else face.length_mm
    level = view.at(0, at[1])[1] + 2.6
    along = f"{abs(at[0] - end_mm):.0f}"
    beside = low[0] - 2.6 if end_mm else low[0] + 2.6
    lines = ((beside, low[1]), (beside, view.at(*at)[1]), height), (
        (view.at(end_mm, 0)[0], level), (view.at(at[0], 0)[0], level), along)  # fmt: skip
    for a, b, _ in lines:
        pen.dimension_line(a, b)
    for a, b, words in lines:
        pen.dimension_words(a, b, words)
    return {height, along}
