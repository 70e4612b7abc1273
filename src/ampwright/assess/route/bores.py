"""Holes as ways of the graph: from one side of a wall to the other, wherever both have a point."""

from __future__ import annotations

import numpy as np

from ampwright.assess.route.blocks import Block, in_wall
from ampwright.assess.route.edges import HOLE, Edges
from ampwright.assess.route.effort import efforts
from ampwright.assess.route.plan import Plan, drillable_mm, thickness_mm
from ampwright.assess.route.strips import SAME_MM, Strip, marked
from ampwright.job.sketch import Wall

Place = tuple[float, int, int, float, float]
Side = list[tuple[Strip, int, float]]
Pairs = dict[tuple[int, int], list[Place]]


def drill(plan: Plan, strips: tuple[Strip, ...], edges: Edges) -> None:
    """Add a hole wherever both sides of a wall have a line and a height in common and the wall may be drilled."""
    sides = _sides(strips)
    for number, wall in enumerate(plan.sketch.walls):
        blocks = list(in_wall(plan, wall))
        if wall.may_drill is False:
            blocks = [Block(f"{wall.name}, which may not be drilled", -1e9, 1e9, -1e9, 1e9)]
        left, right = (sides.get((wall.name, side), []) for side in ("left", "right"))
        for (one, two), places in _pairs(plan, left, right).items():
            _bore(edges, wall, number, blocks, (strips[one], strips[two]), sorted(places))


def _sides(strips: tuple[Strip, ...]) -> dict[tuple[str, str], Side]:
    """By wall and side the lines that lie far enough from the ends of their face, each by its place along the wall."""
    beside_mm = efforts()["hole_beside"]
    found: dict[tuple[str, str], Side] = {}
    for strip in strips:
        for column, s_mm in enumerate(strip.s_mm):
            face = strip.faces[strip.face_at[column]]
            low, high = sorted((face.along_a_mm, face.along_b_mm))
            along_mm = face.along_at_mm(float(s_mm))
            if face.side is not None and low + beside_mm - SAME_MM <= along_mm <= high - beside_mm + SAME_MM:
                found.setdefault((face.wall.name, face.side), []).append((strip, column, along_mm))
    return found


def _pairs(plan: Plan, left: Side, right: Side) -> Pairs:
    """By the strips of both sides, the places along the wall where both have a line: its column on each, and between
    which heights both may be drilled."""
    found: Pairs = {}
    ordered = sorted(right, key=lambda each: each[2])
    places_mm = np.array([each[2] for each in ordered])
    for strip, column, along_mm in left:
        for there in range(*np.searchsorted(places_mm, [along_mm - 2 * SAME_MM, along_mm + 2 * SAME_MM])):
            other, beyond, _ = ordered[there]
            low, high = zip(drillable_mm(plan, strip.faces[strip.face_at[column]]),
                            drillable_mm(plan, other.faces[other.face_at[beyond]]), strict=True)  # fmt: skip
            found.setdefault((strip.number, other.number), []).append((along_mm, column, beyond, max(low), min(high)))
    return found


def _bore(edges: Edges, wall: Wall, number: int, blocks: list[Block], strips: tuple[Strip, Strip],
          places: list[Place]) -> None:  # fmt: skip
    """The holes at these places along a wall, at every height that both sides have."""
    near, far = strips
    z_mm, here, there = np.intersect1d(near.z_mm, far.z_mm, return_indices=True)
    along_mm, columns, beyond, low_mm, high_mm = (np.array(each) for each in zip(*places, strict=True))
    inside = (z_mm >= low_mm[:, None] - SAME_MM) & (z_mm <= high_mm[:, None] + SAME_MM)
    marks = marked(edges, blocks, along_mm, z_mm)[inside]
    thick_mm = thickness_mm(wall)
    effort = efforts()["hole"] + thick_mm / 1000 * efforts()["hole_depth"] + 2 * efforts()["bend"]
    for one in (0, 1):
        for two in (0, 1):
            edges.add(near.point(one, columns[:, None], here)[inside], far.point(two, beyond[:, None], there)[inside],
                      effort, thick_mm, HOLE, number, marks)  # fmt: skip
