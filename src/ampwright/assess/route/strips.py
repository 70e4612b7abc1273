"""Each ring of faces rolled out flat: lines that a cable may run on, level and upright, and the ways along them.

A line is laid along every edge of what stands in the way, so that a shortest way round it lies on lines: on one face
the search is exact (de Rezende, Lee and Wu, Rectilinear shortest paths with rectangular barriers, 1985; from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from ampwright.assess.route.blocks import Block, in_wall, on_face
from ampwright.assess.route.edges import BEND, INSIDE, OUTSIDE, TRUNKING, Edges, Numbers, Whole
from ampwright.assess.route.effort import efforts
from ampwright.assess.route.plan import Face, Plan, drillable_mm, room_named

STEP_MM = 1e-3
SAME_MM = 0.02


@dataclass(slots=True)
class Strip:
    """One ring: `s_mm` across, `z_mm` up. `first` is the number of its first point; each has a level and an upright.
    `blocks` are what its faces bear."""

    number: int
    faces: tuple[Face, ...]
    first: int
    s_mm: Numbers
    z_mm: Numbers
    blocks: tuple[Block, ...]
    face_at: Whole = field(init=False)
    round_mm: float = field(init=False)

    def __post_init__(self) -> None:
        starts = np.array([each.from_mm for each in self.faces])
        self.face_at = np.searchsorted(starts, self.s_mm + STEP_MM, side="right") - 1
        self.round_mm = self.faces[-1].to_mm

    @property
    def count(self) -> int:
        """How many points it has."""
        return 2 * len(self.s_mm) * len(self.z_mm)

    def points(self, upright: int) -> Whole:
        """The numbers of the level (0) or upright (1) twins, by column and row."""
        cells = np.arange(len(self.s_mm) * len(self.z_mm)).reshape(len(self.s_mm), len(self.z_mm))
        return self.first + 2 * cells + upright

    def point(self, upright: int, column: int | Whole, row: Whole) -> Whole:
        """The numbers of the level (0) or upright (1) twins at these columns and rows."""
        return self.first + 2 * (column * len(self.z_mm) + row) + upright

    def column(self, s_mm: float) -> int:
        """The column of a place on the ring that has a line."""
        return int(np.argmin(np.abs(self.s_mm - s_mm % self.round_mm)))

    def row(self, z_mm: float) -> int:
        """The row of a height that has a line."""
        return int(np.argmin(np.abs(self.z_mm - z_mm)))


@dataclass(frozen=True, slots=True)
class Lines:
    """What lines are wanted besides those of the blocks: places by face, and heights for all."""

    on_face: dict[int, list[float]]
    heights_mm: tuple[float, ...]


def strips_of(plan: Plan, lines: Lines) -> tuple[Strip, ...]:
    """The rings, each with all of its lines."""
    walls = {each.name: tuple(in_wall(plan, each)) for each in plan.sketch.walls}
    across: dict[int, list[float]] = {}
    up: dict[int, set[float]] = {}
    borne: dict[int, list[Block]] = {}
    along = {name: _drill_lines(plan, name, blocks, lines) for name, blocks in walls.items()}
    for number, face in enumerate(plan.faces):
        own = across.setdefault(face.ring, [])
        heights = up.setdefault(face.ring, set(lines.heights_mm))
        own += [face.from_mm, *lines.on_face.get(number, ())]
        corner_mm = efforts()["corner"]
        own += [each for each in (face.from_mm + corner_mm, face.to_mm - corner_mm) if face.from_mm < each < face.to_mm]
        blocks = list(on_face(plan, face))
        borne.setdefault(face.ring, []).extend(blocks)
        for block in blocks:
            own += [block.from_mm, block.to_mm]
            heights |= {block.low_mm, block.high_mm}
        own += [s for each in along[face.wall.name] if (s := face.on_ring_mm(each)) is not None]
        heights |= _drill_heights(plan, face, walls[face.wall.name])
        room = room_named(plan.sketch, face.room)
        heights |= {room.floor_mm, room.ceiling_mm} if room else {0.0}
        heights |= {each for run in plan.sketch.trunking if run.wall == face.wall.name
                    for each in (run.from_height_mm, run.to_height_mm)}  # fmt: skip
    strips: list[Strip] = []
    first = 0
    for ring in range(plan.rings_count):
        faces = plan.ring(ring)
        foot, head = min(each.wall.base_mm for each in faces), max(each.wall.top_mm for each in faces)
        s_mm = _sorted([each % faces[-1].to_mm for each in across[ring]])
        z_mm = _sorted([each for each in up[ring] if foot <= each <= head])
        strips.append(Strip(ring, faces, first, s_mm, z_mm, tuple(borne[ring])))
        first += strips[-1].count
    return tuple(strips)


def _drill_heights(plan: Plan, face: Face, blocks: tuple[Block, ...]) -> set[float]:
    """Heights for holes besides those of what is on the face: clear of services, floors, ceilings and the ground."""
    services = {each.name for each in plan.sketch.services}
    sides = [each for each in plan.faces if each.wall is face.wall and each.side is not None]
    found = {height for each in sides for height in drillable_mm(plan, each)}
    return found | {each for block in blocks if block.name in services for each in (block.low_mm, block.high_mm)}


def _drill_lines(plan: Plan, name: str, blocks: tuple[Block, ...], lines: Lines) -> list[float]:
    """Where along a wall a hole might best be: beside what it must keep off, at its ends, where either side asks."""
    beside_mm = efforts()["hole_beside"]
    found = [each for block in blocks for each in (block.from_mm, block.to_mm)]
    for number, face in enumerate(plan.faces):
        if face.wall.name == name and face.side is not None:
            low, high = sorted((face.along_a_mm, face.along_b_mm))
            found += [low + beside_mm, high - beside_mm]
            found += [face.along_at_mm(each) for each in lines.on_face.get(number, ())]
    for run in plan.sketch.trunking:
        found += [run.from_along_mm, run.to_along_mm] if run.wall == name else []
    return found


def _sorted(values_mm: list[float]) -> Numbers:
    ordered: Numbers = np.unique(np.round(np.array(values_mm, dtype=float), 3))
    kept: Numbers = ordered[np.concatenate([[True], np.diff(ordered) > SAME_MM])]
    return kept


def lay(plan: Plan, strip: Strip, edges: Edges) -> None:
    """Add all ways on one strip: level, upright, and the bend from one to the other."""
    s, z, faces = strip.s_mm, strip.z_mm, strip.faces
    to = np.roll(s, -1)
    to[-1] += strip.round_mm
    level = strip.points(0)
    stands = _standing(strip)
    across_min, about = _rates(plan, strip)
    level_blocks = marked(edges, strip.blocks, (s + to) / 2, z)
    corner = np.isin(np.round(to % strip.round_mm, 3), np.round([f.from_mm for f in faces if f.corner], 3))
    effort = (to - s)[:, None] / 1000 * across_min + corner[:, None] * efforts()["bend"]
    kind = np.where(_outside(strip), OUTSIDE, INSIDE)[:, None] + np.zeros(len(z), dtype=int)
    kind, about, effort = _in_trunking(plan, strip, kind, about, effort, (s + to) / 2, upright=False)
    keep = stands(z, z)
    long_mm = np.broadcast_to((to - s)[:, None], keep.shape)
    edges.add(level[keep], np.roll(level, -1, axis=0)[keep], effort[keep], long_mm[keep], kind[keep], about[keep],
              level_blocks[keep])  # fmt: skip
    _lay_upright(plan, strip, edges, across_min)


def _lay_upright(plan: Plan, strip: Strip, edges: Edges, across_min: Numbers) -> None:
    """Add the ways up and down, and the bends; none in the corner itself."""
    s, z, faces = strip.s_mm, strip.z_mm, strip.faces
    level, upright, stands = strip.points(0), strip.points(1), _standing(strip)
    starts = np.isin(np.round(s, 3), np.round([face.from_mm for face in faces], 3))
    rise, half = np.diff(z), (z[1:] + z[:-1]) / 2
    up_blocks = marked(edges, strip.blocks, s, half)
    effort = rise / 1000 * (across_min[:, 1:] + across_min[:, :-1]) / 2
    kind = np.where(_outside(strip), OUTSIDE, INSIDE)[:, None] + np.zeros(len(half), dtype=int)
    about = strip.face_at[:, None] + _first_face(plan, strip) + np.zeros(len(half), dtype=int)
    kind, about, effort = _in_trunking(plan, strip, kind, about, effort, s, upright=True)
    keep = stands(z[:-1], z[1:]) & ~starts[:, None]
    edges.add(upright[:, :-1][keep], upright[:, 1:][keep], effort[keep], np.broadcast_to(rise, keep.shape)[keep],
              kind[keep], about[keep], up_blocks[keep])  # fmt: skip
    keep = stands(z, z) & ~starts[:, None]
    edges.add(level[keep], upright[keep], efforts()["bend"], 0.0, BEND, 0, marked(edges, strip.blocks, s, z)[keep])


def _first_face(plan: Plan, strip: Strip) -> int:
    """The number in the plan of a strip's first face."""
    return next(n for n, each in enumerate(plan.faces) if each.ring == strip.number)


def _outside(strip: Strip) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    return np.array([each.room is None for each in strip.faces])[strip.face_at]


def _standing(strip: Strip):  # type: ignore[no-untyped-def]
    """Which cells, by column and between two heights, have wall behind them."""
    foot = np.array([each.wall.base_mm for each in strip.faces])[strip.face_at][:, None]
    head = np.array([each.wall.top_mm for each in strip.faces])[strip.face_at][:, None]
    return lambda low, high: (low >= foot - STEP_MM) & (high <= head + STEP_MM)


def _rates(plan: Plan, strip: Strip) -> tuple[Numbers, Whole]:
    """Minutes a metre by column and row, and the number of the face."""
    floors = [room.floor_mm if (room := room_named(plan.sketch, each.room)) else 0.0 for each in strip.faces]
    above = strip.z_mm > np.array(floors)[strip.face_at][:, None] + efforts()["reach"]
    plain = np.where(_outside(strip), efforts()["outside"], efforts()["inside"])[:, None]
    about = strip.face_at[:, None] + _first_face(plan, strip) + np.zeros(len(strip.z_mm), dtype=int)
    return plain * np.where(above, efforts()["above_reach"], 1.0), about


def marked(edges: Edges, blocks: Sequence[Block], s_mm: Numbers, z_mm: Numbers) -> Whole:
    """By column and row the number of what stands there, 0 where nothing does."""
    marks = np.zeros((len(s_mm), len(z_mm)), dtype=np.int64)
    for each in blocks:
        first, last = np.searchsorted(s_mm, (each.from_mm + STEP_MM, each.to_mm - STEP_MM))
        low, high = np.searchsorted(z_mm, (each.low_mm + STEP_MM, each.high_mm - STEP_MM))
        if first < last and low < high:
            marks[first:last, low:high] = edges.named(each.name)
    return marks


def _in_trunking(plan: Plan, strip: Strip, kind: Whole, about: Whole, effort: Numbers, s_mm: Numbers, *,
                 upright: bool) -> tuple[Whole, Whole, Numbers]:  # fmt: skip
    """The same, but where trunking runs: quicker, and named by the trunking's number."""
    middle = (strip.z_mm[1:] + strip.z_mm[:-1]) / 2 if upright else strip.z_mm
    along_mm = np.append(strip.s_mm[1:], strip.round_mm) - strip.s_mm
    length = np.diff(strip.z_mm)[None, :] if upright else along_mm[:, None]
    for number, run in enumerate(plan.sketch.trunking):
        for face in strip.faces:
            reach = [face.along_a_mm, face.along_b_mm]
            along = np.clip([run.from_along_mm, run.to_along_mm], min(reach), max(reach))
            low, high = sorted(face.from_mm + abs(float(each) - face.along_a_mm) for each in along)
            bottom, top = sorted((run.from_height_mm, run.to_height_mm))
            if face.wall.name != run.wall or face.side != run.side:
                continue
            cells = np.ix_((s_mm >= low - SAME_MM) & (s_mm <= high + SAME_MM),
                           (middle >= bottom - SAME_MM) & (middle <= top + SAME_MM))  # fmt: skip
            if (top - bottom > abs(run.from_along_mm - run.to_along_mm)) != upright:
                continue
            kind, about, effort = kind.copy(), about.copy(), effort.copy()
            kind[cells], about[cells] = TRUNKING, number
            effort[cells] = (np.broadcast_to(length, effort.shape) / 1000 * efforts()["trunking"])[cells]
    return kind, about, effort
