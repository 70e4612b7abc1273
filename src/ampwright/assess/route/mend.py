"""Why a place is out of reach, and the nearest change that brings it within reach."""

from __future__ import annotations

import math

import numpy as np
from scipy.spatial import KDTree
from shapely.geometry import LineString
from shapely.ops import nearest_points

from ampwright.assess.route.edges import GROUND
from ampwright.assess.route.effort import clearance_mm, crossing_mm
from ampwright.assess.route.graph import Graph
from ampwright.job.sketch import Service

IN_THE_WAY_MIN = 10_000.0
STAYS = ("the board", "the cut-out", "the meter", "the gas meter")


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
    services = {each.name: each for each in graph.plan.sketch.services}
    x, y, z = _met(graph, first, services.get(names[0]))
    dug = {table.names[table.blocker[row]] for row in stand if table.kind[row] == GROUND}
    changes = [_past(services[name], dug=name in dug) if name in services else _change(name) for name in names]
    return (f"no way leads to {what}: {' and '.join(names)} {'is' if len(names) == 1 else 'are'} in the way, first at "
            f"x {x:.0f}, y {y:.0f}, height {z:.0f}. Nearest change: {'; '.join(changes)}")  # fmt: skip


def _met(graph: Graph, row: int, service: Service | None) -> tuple[float, float, float]:
    """Where a way meets what is in it: a trench where it crosses the service, any other at its middle."""
    one, two = (graph.xyz_mm[ends[row]] for ends in (graph.table.one, graph.table.two))
    x, y, z = (float(each) for each in (one + two) / 2)
    if service is None or graph.table.kind[row] != GROUND:
        return x, y, z
    pipe = LineString([(each.x_mm, each.y_mm) for each in service.points])
    (met, _) = nearest_points(pipe, LineString([one[:2], two[:2]]))
    return met.x, met.y, z


def _past(service: Service, *, dug: bool) -> str:
    """What may be done about a service in the way. Nobody is told to leave it out, or to work on it."""
    ask = f"ask whoever owns or runs {service.name} what may be done; only they move it"
    if not dug:
        return f"find another way past {service.name} or another place for the hole or the charge point, or {ask}"
    elsewhere = f"take another way or another place for the charge point, or {ask}"
    if service.kind == "gas":
        return elsewhere
    wanted_mm = crossing_mm(service)
    apart_mm = (clearance_mm(service, "buried") if wanted_mm is None else wanted_mm) + service.diameter_mm / 2
    heights = [each.height_mm for each in service.points]
    least_mm, most_mm = math.floor(-max(heights) - apart_mm), math.ceil(-min(heights) + apart_mm)
    shallow = f"at most {least_mm} mm deep, if the cable may lie so shallow there, or " if least_mm > 0 else ""
    return (f"a trench {shallow}at least {most_mm} mm deep, square across, would pass {service.name} if that lies "
            f"where it is drawn (trace it, then give depth_mm of the ground); {elsewhere}")  # fmt: skip


def _change(name: str) -> str:
    if name.endswith("which may not be drilled"):
        return f"get leave to drill {name.removesuffix(', which may not be drilled')}"
    if name in STAYS:
        return f"leave {name} where it is and find another place for the hole or the charge point"
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
