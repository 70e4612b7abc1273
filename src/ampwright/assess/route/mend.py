"""Why a place is out of reach, and the nearest change that brings it within reach."""

from __future__ import annotations

import math

import numpy as np
from scipy.spatial import KDTree

from ampwright.assess.route.graph import Graph
from ampwright.job.sketch import Sketch

IN_THE_WAY_MIN = 10_000.0


def out_of_reach(graph: Graph, start: int, end: int, what: str) -> str:
    """The reason in words, and the change: what would have to give way, or the gap that nothing crosses."""
    table = graph.table
    allowed = np.ones(len(table.kind), dtype=bool)
    effort_min = table.effort_min + IN_THE_WAY_MIN * (table.blocker > 0)
    effort, before = graph.searched(start, graph.weights(allowed, effort_min))
    if not math.isfinite(effort[end]):
        return _gap(graph, start, end, effort, what)
    _, ways = graph.ways(before, end)
    stand = [row for row in ways if table.blocker[row]]
    names = list(dict.fromkeys(table.names[table.blocker[row]] for row in stand))
    first = stand[0]
    x, y, z = (graph.xyz_mm[table.one[first]] + graph.xyz_mm[table.two[first]]) / 2
    kinds = {each.name: each.kind for each in graph.plan.sketch.services}
    changes = [_change(name, kinds.get(name), graph.plan.sketch) for name in names]
    return (f"no way leads to {what}: {' and '.join(names)} {'is' if len(names) == 1 else 'are'} in the way, first at "
            f"x {x:.0f}, y {y:.0f}, height {z:.0f}. Nearest change: {'; '.join(changes)}")  # fmt: skip


def _change(name: str, kind: str | None, sketch: Sketch) -> str:
    if kind in ("gas", "water", "oil"):
        return (f"have {name} moved by whoever may work on it, set a barrier that its owner accepts and leave it out "
                "of the sketch, or move the charge point")  # fmt: skip
    if kind is not None:
        return f"trace {name} and give its true depth, or dig below it by hand"
    if name.endswith("which may not be drilled"):
        return f"get leave to drill {name.removesuffix(', which may not be drilled')}"
    return f"go through or move {name}, or draw another way past it"


def _gap(graph: Graph, start: int, end: int, effort: np.ndarray[tuple[int], np.dtype[np.float64]], what: str) -> str:
    there, _ = graph.searched(end, graph.weights(np.ones(len(graph.table.kind), dtype=bool), graph.table.effort_min))
    near, far = graph.xyz_mm[np.isfinite(effort)], graph.xyz_mm[np.isfinite(there)]
    distance_mm, index = KDTree(far).query(near)
    best = int(np.argmin(distance_mm))
    a, b = near[best], far[index[best]]
    return (f"no way leads to {what}: the sketch has nothing between x {a[0]:.0f}, y {a[1]:.0f}, height {a[2]:.0f} and "
            f"x {b[0]:.0f}, y {b[1]:.0f}, height {b[2]:.0f}, {distance_mm[best] / 1000:.1f} m apart. Nearest change: "
            "draw what is there, ground that may be dug, a wall, or a floor or ceiling to cross by")  # fmt: skip
