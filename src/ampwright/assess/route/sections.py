"""A way as the ordered sections of the job's route, with what the sketch knows of each and nothing more."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

from shapely import LineString

from ampwright.assess.route.edges import CROSSING, GROUND, HOLE, INSIDE, OUTSIDE, TRUNKING
from ampwright.assess.route.plan import ENCLOSED, polygon
from ampwright.assess.route.search import Leg, Way
from ampwright.job.choices import Method
from ampwright.job.record import Enclosure, Job, Section
from ampwright.job.sketch import Sketch, Surface, Wall
from ampwright.physics.drilling import gap_mm
from ampwright.reading import Reading, assumed, measured

FROM_SKETCH = "taken from the sketch"
METHODS: dict[int, Method] = {INSIDE: "C", OUTSIDE: "C", TRUNKING: "B", GROUND: "D", HOLE: "C"}
USUAL_AIR = "usual in air; more where a hotter place is passed"
SHORT_MM = 1.0
AIR_C, GROUND_C, SOIL_K_M_PER_W = 30.0, 20.0, 2.5


@dataclass(slots=True)
class _Part:
    """One stretch in the making: the leg that says how it lies, the holes on it, and its name. The name tells a hole
    that is made straight from the board, since the room of the board is not that of the stretch."""

    leg: Leg
    length_mm: float
    holes: list[Leg]
    name: str


def sections_of(sketch: Sketch, way: Way) -> tuple[Section, ...]:
    """The sections, from the board outward. A hole goes with the stretch before it, or after it if it comes first."""
    parts: list[_Part] = []
    waiting: list[Leg] = []
    for leg in way.legs:
        if leg.kind == HOLE:
            (parts[-1].holes if parts else waiting).append(leg)
        else:
            name = ", then ".join(each.name for each in (*waiting, leg))
            parts.append(_Part(leg, leg.length_mm, waiting, name))
            waiting = []
    if waiting:
        parts.append(_Part(waiting[0], 0.0, waiting, ", then ".join(each.name for each in waiting)))
    return tuple(_section(sketch, part, number) for number, part in enumerate(parts))


def _section(sketch: Sketch, part: _Part, number: int) -> Section:
    leg = part.leg
    walls = [sketch.walls[each.about] for each in part.holes]
    spread_mm = [(wall.thickness_mm.low, wall.thickness_mm.high) for wall in walls if wall.thickness_mm is not None]
    buried = leg.kind == GROUND
    ends_m = [round((part.length_mm + sum(each[end] for each in spread_mm)) / 1000, 2) for end in (0, 1)]
    return Section(
        name=f"{number + 1}: {part.name}",
        length_m=assumed(ends_m[0], ends_m[1], FROM_SKETCH),
        method=sketch.rooms[leg.about].crossing_method if leg.kind == CROSSING else METHODS[leg.kind],
        ambient_c=_usual(GROUND_C, "usual in the ground") if buried else _usual(AIR_C, USUAL_AIR),
        circuits_together_count=_together(sketch, leg),
        insulation_mm=None if buried else _insulation(leg, walls),
        soil_k_m_per_w=_usual(SOIL_K_M_PER_W, "what is taken where nobody measured") if buried else None,
        depth_m=_depth(sketch) if buried else None,
        surface=_surface(sketch, leg) if buried else None,
        outdoors=None if leg.room == ENCLOSED else leg.kind == OUTSIDE,
        through=tuple(_through(wall) for wall in walls),
        enclosure=_enclosure(sketch, leg),
    )


def _enclosure(sketch: Sketch, leg: Leg) -> Enclosure:
    """The trunking that is there, with what it holds by the sketch."""
    if leg.kind != TRUNKING:
        return Enclosure()
    there = sketch.trunking[leg.about]
    holds = there.holds or (() if there.circuits_count == 0 else None)
    return Enclosure(kind="trunking", there=True, width_mm=there.width_mm, tall_mm=there.tall_mm, holds=holds)


def _usual(value: float, because: str) -> Reading:
    return assumed(value, value, because)


def _together(sketch: Sketch, leg: Leg) -> Reading | None:
    if leg.kind == TRUNKING:
        count = sketch.trunking[leg.about].circuits_count
        return None if count is None else measured(count + 1, "the sketch")
    return assumed(1, 1, because="drawn alone in the sketch") if leg.kind != CROSSING else None


def _insulation(leg: Leg, walls: list[Wall]) -> Reading | None:
    """The length inside insulation: none on a surface, in a hole what the make-up says; unknown where nobody said."""
    if leg.kind == CROSSING or any(not wall.make_up for wall in walls):
        return None
    inside_mm = sum(each.thickness_mm for wall in walls for each in wall.make_up if each.material == "insulation")
    return assumed(inside_mm, inside_mm, because="by the make-up of the walls" if walls else "on the surface")


def _depth(sketch: Sketch) -> Reading | None:
    """The depth, where every piece of ground has one."""
    deep = [each.depth_mm for each in sketch.ground if each.depth_mm is not None]
    if len(deep) < len(sketch.ground):
        return None
    return assumed(min(deep) / 1000, max(deep) / 1000, because=FROM_SKETCH)


def _surface(sketch: Sketch, leg: Leg) -> Surface | None:
    """What lies over a trench; None where it goes below several surfaces."""
    line = LineString([(x_mm, y_mm) for x_mm, y_mm, _ in leg.points])
    over = {each.surface for each in sketch.ground if polygon(each.corners).intersection(line).length > SHORT_MM}
    return over.pop() if len(over) == 1 else None


def _through(wall: Wall) -> str:
    thick = wall.thickness_mm
    assert thick is not None
    layers = ", ".join(f"{each.material} {each.thickness_mm:g}" for each in wall.make_up)
    return f"{wall.name}, {thick.ends} mm{f' ({layers})' if layers else ''}"


def with_route(job: Job, way: Way, cable_mm: float = 0.0) -> Job:
    """The job with this way as its route, and the distance from gas that the sketch gives."""
    gas = job.site.gas
    near_mm = nearest_gas_mm(job.sketch, way, cable_mm)
    if near_mm is not None:
        gas = replace(gas, fitted=True, pipe_to_cable_mm=assumed(near_mm, near_mm, because=FROM_SKETCH))
    return replace(job, route=sections_of(job.sketch, way), site=replace(job.site, gas=gas))


def nearest_gas_mm(sketch: Sketch, way: Way, cable_mm: float = 0.0) -> float | None:
    """From the outside of the nearest gas pipe drawn to the outside of the cable; None where no gas pipe is drawn."""
    pipes = [each for each in sketch.services if each.kind == "gas"]
    gaps = [gap_mm(first=run, second=piece) - each.diameter_mm / 2 - cable_mm / 2
            for each in pipes
            for piece in itertools.pairwise((p.x_mm, p.y_mm, p.height_mm) for p in each.points)
            for run in itertools.pairwise(way.points)]  # fmt: skip
    return max(round(min(gaps), 1), 0.0) if gaps else None


def gathered(sections: tuple[Section, ...]) -> tuple[tuple[Section, ...], tuple[int, ...]]:
    """The sections with those alike in all but name, length and holes taken together, and where each went.

    A search for a design takes far longer with each stretch; drop, loop and rating do not ask in which order they lie.
    """
    together: list[Section] = []
    where: list[int] = []
    for each in sections:
        alike = [n for n, known in enumerate(together) if _bare(known) == _bare(each)]
        if alike:
            known = together[alike[0]]
            together[alike[0]] = replace(known, name=f"{known.name}, and {each.name}",
                                         through=(*known.through, *each.through),
                                         length_m=_sum(known.length_m, each.length_m))  # fmt: skip
        else:
            together.append(each)
        where.append(alike[0] if alike else len(together) - 1)
    return tuple(together), tuple(where)


def _bare(section: Section) -> Section:
    return replace(section, name="", length_m=None, through=())


def _sum(one_m: Reading | None, two_m: Reading | None) -> Reading | None:
    if one_m is None or two_m is None:
        return None
    return Reading(round(one_m.low + two_m.low, 3), round(one_m.high + two_m.high, 3), one_m.because)
