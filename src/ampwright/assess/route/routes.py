"""All that a sketch gives: the few best routes, the design that each needs, its holes, and the runs of the sensors."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from shapely.geometry import LineString

from ampwright.assess.catalogue import Catalogue
from ampwright.assess.design import Design
from ampwright.assess.route.buried import between_mm, crossed, depth_at
from ampwright.assess.route.cables import diameter_mm
from ampwright.assess.route.edges import GROUND, HOLE, TRUNKING
from ampwright.assess.route.effort import efforts, equipment_mm
from ampwright.assess.route.faults import BadSketch, faults_of
from ampwright.assess.route.graph import Graph, graph_of
from ampwright.assess.route.holes import Hole, holes_of
from ampwright.assess.route.mend import out_of_reach
from ampwright.assess.route.needs import Needs, needs_of
from ampwright.assess.route.plan import ENCLOSED, Plan
from ampwright.assess.route.search import Way, best_ways
from ampwright.assess.route.sections import with_route
from ampwright.job.drawn_gas import gas_beside
from ampwright.job.faults import Fault
from ampwright.job.record import Cable, Job
from ampwright.job.sketch import Place, Sketch
from ampwright.working import capital

NO_SKETCH = ("There is no sketch, so no other route was sought, and where holes and bends fall is not known. Draw "
             "walls, board and charge point under sketch for that.")  # fmt: skip


@dataclass(frozen=True)
class Route:
    """One route: its way on the sketch, the job with it laid, the design that it needs and the holes for that cable."""

    way: Way
    job: Job
    needs: Needs
    holes: tuple[Hole, ...]

    @property
    def design(self) -> Design | None:
        """The first of the best designs for this route."""
        return self.needs.design


@dataclass(frozen=True)
class SensorRun:
    """The least laborious run from a wired sensor to the charge point; None, and the reason, where there is none."""

    name: str
    way: Way | None
    says: str
    typed_m: tuple[float, float] | None


@dataclass(frozen=True)
class Routes:
    """What was found for a job, best first, what the route typed in the job needs, what to know about the sketch."""

    job: Job
    plan: Plan | None
    found: tuple[Route, ...]
    typed: Needs | None
    sensors: tuple[SensorRun, ...]
    remarks: tuple[str, ...]


def ways_for(job: Job) -> tuple[Graph, tuple[Way, ...]]:
    """The graph of the job's sketch and the best ways from board to charge point.

    Raises BadSketch with everything that is wrong with the sketch, or with why the charge point is out of reach.
    """
    faults = faults_of(job)
    if faults:
        raise BadSketch(faults)
    wired = _wired(job)
    places = (job.sketch.board, job.sketch.charge_point, *(place for _, place in wired))
    paths = ("sketch.board", "sketch.charge_point", *(f"sketch.sensors ({name})" for name, _ in wired))
    try:
        graph = graph_of(job.sketch, places)
    except LookupError as covered:
        number = int(covered.args[0])
        says = ("another wall meets this one there, so that no face is free; move it along by at least "
                f"{efforts()['corner']:g} mm past that wall, or to the other side")  # fmt: skip
        raise BadSketch((Fault(None, paths[number], says),)) from covered
    ways = best_ways(graph, graph.ends[0], graph.ends[1])
    if not ways:
        says = out_of_reach(graph, graph.ends[0], graph.ends[1], "the charge point")
        raise BadSketch((Fault(None, "sketch.charge_point", says),))
    return graph, ways


def routes_for(job: Job, catalogue: Catalogue | None, *, whole: bool = False) -> Routes:
    """The best routes of a job's sketch, each with its design (without a catalogue none is sought).

    The whole catalogue is searched for the first route, for the others what came out best there, unless `whole`.
    A job with a typed route and no sketch gets what that route needs. Raises BadSketch as `ways_for` does.
    """
    if job.route and not job.sketch.walls:
        return Routes(job, None, (), needs_of(job, catalogue, None), (), (NO_SKETCH,))
    graph, ways = ways_for(job)
    found: list[Route] = []
    for way in ways:
        found.append(_route(graph, job, way, catalogue, found[0].needs if found and not whole else None))
    clear = _clear(found)
    typed = needs_of(job, catalogue, found[0].needs if not whole else None) if job.route else None
    remarks = _remarks(graph, tuple(each.way for each in clear))
    return Routes(job, graph.plan, clear, typed, tuple(_sensors(graph, job)), tuple(remarks))


def _clear(found: list[Route]) -> tuple[Route, ...]:
    """The routes whose holes keep clear of services with the cable that they need: a search knows no cable wider than
    the bits to hand. Raises BadSketch where none does."""
    near = [next((each for hole in route.holes for each in hole.near if not each.clear), None) for route in found]
    clear = tuple(route for route, each in zip(found, near, strict=True) if each is None)
    if not clear:
        says = " ".join(dict.fromkeys(each.says for each in near if each is not None))
        says = f"every way found has a hole too near to a pipe or cable for the cable it needs. {says}"
        raise BadSketch((Fault(None, "sketch.services", f"{says} List a bit as wide as that hole in your bits, so that "
                               "another place is sought"),))  # fmt: skip
    return clear


def _wired(job: Job) -> list[tuple[str, Place]]:
    """The wired sensors of the job that the sketch places."""
    wired = {each.name for each in job.sensors if each.link == "wired"}
    return [(each.name, each.place) for each in job.sketch.sensors if each.name in wired]


def _route(graph: Graph, job: Job, way: Way, catalogue: Catalogue | None, first: Needs | None) -> Route:
    laid = with_route(job, way)
    needs = needs_of(laid, catalogue, first)
    cables = list(needs.cables)
    if not cables:
        typed = {each.cable for each in job.route}
        cables = [typed.pop() if len(typed) == 1 else Cable()] * len(laid.route)
    across_mm = max((diameter_mm(each) or 0.0 for each in cables), default=0.0)
    laid = with_route(job, way, across_mm)
    route = tuple(replace(each, cable=cable) for each, cable in zip(laid.route, cables, strict=True))
    holes = holes_of(graph.plan, way, _cables_in_holes(way, cables))
    return Route(way, replace(laid, route=route), needs, holes)


def _cables_in_holes(way: Way, cables: list[Cable]) -> tuple[Cable, ...]:
    """The cable in each hole: that of the section that the hole goes with."""
    found, section = [], -1
    for leg in way.legs:
        if leg.kind == HOLE:
            found.append(cables[max(section, 0)])
        else:
            section += 1
    return tuple(found)


def _sensors(graph: Graph, job: Job) -> list[SensorRun]:
    placed = [name for name, _ in _wired(job)]
    runs = []
    for each in job.sensors:
        typed = None if each.lead_m is None else (each.lead_m.low, each.lead_m.high)
        if each.link != "wired":
            continue
        if each.name not in placed:
            runs.append(SensorRun(each.name, None, "is not placed in the sketch; add it under sketch.sensors", typed))
            continue
        end = graph.ends[2 + placed.index(each.name)]
        ways = best_ways(graph, end, graph.ends[1], 1)
        says = "" if ways else out_of_reach(graph, end, graph.ends[1], f"the charge point from {each.name}")
        runs.append(SensorRun(each.name, ways[0] if ways else None, says, typed))
    return runs


def gas_too_near(sketch: Sketch) -> list[str]:
    """Gas that is drawn nearer to the board or the charge point than is wanted."""
    wanted_mm = equipment_mm()
    return [f"{capital(each.gas)} is drawn {math.floor(each.gap_mm)} mm from the {each.equipment}; {wanted_mm:g} mm is "
            f"wanted: another place for the {each.equipment}, or ask whoever may work on the gas first."
            for each in gas_beside(sketch) if each.gap_mm < wanted_mm]  # fmt: skip


def services_crossed(sketch: Sketch, ways: tuple[Way, ...]) -> list[str]:
    """Each service that a trench crosses, where, and how far in height they are apart by the sketch."""
    found: list[str] = []
    trenches = [leg for way in ways for leg in way.legs if leg.kind == GROUND and len(leg.points) > 1]
    for service in sketch.services:
        for leg in trenches:
            for (x, y), heights in crossed(service, LineString([each[:2] for each in leg.points])):
                apart_mm = between_mm(depth_at(sketch.ground, x, y), heights, service)
                found.append(f"A trench crosses {service.name} at x {x:.0f}, y {y:.0f}, by the sketch {apart_mm:.0f} "
                             "mm apart in height: trace it and dig by hand there.")  # fmt: skip
    return list(dict.fromkeys(found))


def _remarks(graph: Graph, ways: tuple[Way, ...]) -> list[str]:
    """What the sketch leaves open, or what was taken where it is silent."""
    sketch = graph.plan.sketch
    found = gas_too_near(sketch)
    if any(each.room == ENCLOSED for each in graph.plan.faces):
        found.append("Walls enclose a space that no room is drawn for; whether it is indoors is left open.")
    if sketch.ground and any(each.depth_mm is None for each in sketch.ground):
        found.append(f"Where the ground has no depth_mm, {efforts()['depth']:g} mm is taken for the lengths alone.")
    boxes = [("cut-out", sketch.cutout), ("meter", sketch.meter), ("gas meter", sketch.gas_meter)]
    found += [f"The {name} has no size, so a way may be drawn across it: measure width_mm and tall_mm."
              for name, each in boxes if each.wall is not None and not (each.width_mm and each.tall_mm)]  # fmt: skip
    if sketch.board.wall is not None and not (sketch.board.width_mm and sketch.board.tall_mm):
        found.append("The board has no size, so a hole may be drawn behind it: measure width_mm and tall_mm.")
    found += services_crossed(sketch, ways)
    undecided = {wall.name for way in ways for hole in way.holes
                 if (wall := sketch.walls[hole.about]).may_drill is None}  # fmt: skip
    found += [f"Nobody asked whether {name} may be drilled." for name in sorted(undecided)]
    if any(leg.kind == TRUNKING for way in ways for leg in way.legs):
        found.append("Whether the cable still fits in the trunking is judged with the materials.")
    return found
