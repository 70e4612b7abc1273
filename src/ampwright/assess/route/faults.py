"""What is wrong with a sketch, and the nearest change that mends it; always everything at once."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches
from itertools import combinations

import shapely
from shapely.geometry import LineString, Polygon

from ampwright.assess.route.plan import CLOSE_MM, length_mm, polygon, xy
from ampwright.job.faults import MOST_SHOWN_COUNT, Fault, shortened
from ampwright.job.record import Job
from ampwright.job.sketch import Corner, Place, Sketch, Wall

MEASURE = "measure it at a door or window"
MAKE_UP_MM = 5.0
OVERLAP_MM2 = 10_000.0
UNTANGLED_COUNT = 40


class BadSketch(ValueError):
    """A sketch that no route can be found on. `faults` holds all that is wrong with it; as text, the first 50."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        self.faults = faults
        more = len(faults) - MOST_SHOWN_COUNT
        shown = [f"  {each}" for each in faults[:MOST_SHOWN_COUNT]] + ([f"  and {more} more"] if more > 0 else [])
        super().__init__("\n".join(["No route can be sought on this sketch:", *shown]))


def faults_of(job: Job) -> tuple[Fault, ...]:
    """Every fault of the job's sketch, each with what to do, in the order of the sketch."""
    sketch = job.sketch
    if not sketch.walls:
        says = "there is no wall in the sketch; draw at least the one that the board is on"
        return (Fault(None, "sketch.walls", says),)
    found = [*_wall_faults(sketch), *_crossings(sketch), *_area_faults(sketch), *_names(sketch)]
    found += [*_opening_faults(sketch), *_trunking_faults(sketch), *_service_faults(sketch), *_sensor_faults(job)]
    for name in ("board", "charge_point"):
        found += _place_faults(sketch, f"sketch.{name}", getattr(sketch, name), name.replace("_", " "), wanted=True)
    if sketch.board.wall is not None and _spot(sketch.board) == _spot(sketch.charge_point):
        says = "the charge point is drawn where the board is; measure where it is to hang"
        found.append(Fault(None, "sketch.charge_point", says))
    for name in ("cutout", "meter", "gas_meter"):
        found += _place_faults(sketch, f"sketch.{name}", getattr(sketch, name), name.replace("_", " "), wanted=False)
    for number, each in enumerate(sketch.obstacles):
        path = f"sketch.obstacles[{number}].place"
        found += _place_faults(sketch, path, each.place, each.name, wanted=True)
        if each.place.wall is not None and not (each.place.width_mm and each.place.tall_mm):
            found.append(Fault(None, path, f"{each.name} has no size; measure width_mm and tall_mm"))
    return tuple(found)


def _wall_faults(sketch: Sketch) -> Iterator[Fault]:
    for number, wall in enumerate(sketch.walls):
        path = f"sketch.walls[{number}]"
        if length_mm(wall) <= CLOSE_MM:
            yield Fault(None, f"{path}.end", f"{wall.name} begins and ends at one point; give its other end")
        if wall.thickness_mm is None:
            yield Fault(None, f"{path}.thickness_mm", f"nobody measured how thick {wall.name} is; measure it at a door "
                        "or window, or give a range and why")  # fmt: skip
        elif wall.thickness_mm.low <= 0:
            layers_mm = sum(each.thickness_mm for each in wall.make_up)
            change = f"its layers add up to {layers_mm:g} mm: write that" if layers_mm else MEASURE
            yield Fault(None, f"{path}.thickness_mm", f"{wall.name} has no thickness; {change}")
        if wall.top_mm <= wall.base_mm:
            yield Fault(None, f"{path}.top_mm", f"the head of {wall.name} ({wall.top_mm:g} mm) is not above its foot "
                        f"({wall.base_mm:g} mm)")  # fmt: skip
        yield from _make_up_faults(path, wall)


def _make_up_faults(path: str, wall: Wall) -> Iterator[Fault]:
    for place, layer in enumerate(wall.make_up):
        if layer.thickness_mm <= 0:
            says = f"the {layer.material} of {wall.name} has no thickness; measure it or leave it out"
            yield Fault(None, f"{path}.make_up[{place}].thickness_mm", says)
    total_mm, whole = sum(each.thickness_mm for each in wall.make_up), wall.thickness_mm
    if not wall.make_up or whole is None or whole.low <= 0:
        return
    if not whole.low - MAKE_UP_MM <= total_mm <= whole.high + MAKE_UP_MM:
        yield Fault(None, f"{path}.make_up", f"the layers of {wall.name} add up to {total_mm:g} mm and the wall is "
                    f"{whole.ends} mm thick; find what is missing, or write thickness_mm: {total_mm:g}")  # fmt: skip


def _crossings(sketch: Sketch) -> Iterator[Fault]:
    """Walls that run through or along one another. One that ends on another is a joint and is right."""
    walls = [(n, wall, LineString([xy(wall.start), xy(wall.end)])) for n, wall in enumerate(sketch.walls)
             if length_mm(wall) > CLOSE_MM]  # fmt: skip
    if not walls:
        return
    tree = shapely.STRtree([line for _, _, line in walls])
    near = tree.query([line for _, _, line in walls], predicate="intersects")
    for first, second in sorted((int(p), int(q)) for p, q in near.T if p < q):
        (_, one, line), (number, two, other) = walls[first], walls[second]
        meet = line.intersection(other)
        if meet.length > CLOSE_MM:
            yield Fault(None, f"sketch.walls[{number}]", f"{two.name} lies on {one.name} for {meet.length:.0f} mm; "
                        "draw that length once")  # fmt: skip
        elif not meet.is_empty and all(_inside(each, meet) for each in (line, other)):
            end = min((two.start, two.end), key=lambda each: shapely.Point(xy(each)).distance(meet))
            yield Fault(None, f"sketch.walls[{number}]", f"{two.name} crosses {one.name} at x {meet.x:.0f}, "
                        f"y {meet.y:.0f}; end it there instead of at x {end.x_mm:.0f}, y {end.y_mm:.0f}, "
                        "or draw it as two walls that end there")  # fmt: skip


def _inside(line: LineString, point: shapely.Point) -> bool:
    return bool(CLOSE_MM < line.project(point) < line.length - CLOSE_MM)


def _area_faults(sketch: Sketch) -> Iterator[Fault]:
    for kind in ("rooms", "ground", "keep_outs"):
        sound: list[tuple[int, str, Polygon]] = []
        for number, each in enumerate(getattr(sketch, kind)):
            says = _outline(each.name, each.corners)
            if says:
                yield Fault(None, f"sketch.{kind}[{number}].corners", says)
            else:
                sound.append((number, each.name, polygon(each.corners)))
        for (_, name, area), (number, other, second) in combinations(sound, 2):
            if kind != "keep_outs" and area.intersection(second).area > OVERLAP_MM2:
                yield Fault(None, f"sketch.{kind}[{number}].corners", f"{other} and {name} overlap by "
                            f"{area.intersection(second).area / 1e6:.2f} m²; draw each up to the other")  # fmt: skip
    for number, room in enumerate(sketch.rooms):
        if room.ceiling_mm <= room.floor_mm:
            says = f"the ceiling of {room.name} is not above its floor"
            yield Fault(None, f"sketch.rooms[{number}].ceiling_mm", says)
    for number, area in enumerate(sketch.ground):
        if area.surface is None:
            yield Fault(None, f"sketch.ground[{number}].surface", f"say what {area.name} is covered with")


def _outline(name: str, corners: tuple[Corner, ...]) -> str:
    """What is wrong with the corners of an area; empty where nothing is."""
    if len(corners) < 3:
        return f"{name} has {len(corners)} corners and an area wants three at least"
    area = polygon(corners)
    if not area.is_valid:
        order = _untangled(corners)
        change = f"take the corners in the order {', '.join(map(str, order))}" if order else "draw it as two areas"
        return f"the outline of {name} crosses or touches itself; {change}"
    return "" if area.area > 1 else f"{name} has no area; its corners lie in one line"


def _untangled(corners: tuple[Corner, ...]) -> tuple[int, ...]:
    """The corners in the nearest order, counted from 1, that does not cross itself: one stretch turned at a time."""
    order = list(range(len(corners)))
    for _ in range(UNTANGLED_COUNT):
        if polygon(tuple(corners[n] for n in order)).is_valid:
            return tuple(n + 1 for n in order)
        shorter = min((order[:i] + order[i:j][::-1] + order[j:] for i in range(1, len(order) - 1)
                       for j in range(i + 2, len(order) + 1)),
                      key=lambda each: polygon(tuple(corners[n] for n in each)).length)  # fmt: skip
        if polygon(tuple(corners[n] for n in shorter)).length >= polygon(tuple(corners[n] for n in order)).length:
            return ()
        order = shorter
    return ()


def _names(sketch: Sketch) -> Iterator[Fault]:
    for kind in ("walls", "rooms", "ground", "trunking"):
        names = [each.name for each in getattr(sketch, kind)]
        for number, name in enumerate(names):
            if name in names[:number]:
                yield Fault(None, f"sketch.{kind}[{number}].name", f"'{shortened(name)}' is the name of another "
                            "already; give each its own")  # fmt: skip


def _wall(sketch: Sketch, path: str, name: str) -> Wall | Fault:
    known = {each.name: each for each in sketch.walls}
    if name in known:
        return known[name]
    close = get_close_matches(name, known, n=1)
    hint = f"did you mean {close[0]}?" if close else f"the walls are {', '.join(known)}"
    return Fault(None, path, f"there is no wall '{shortened(name)}'; {hint}")


def _opening_faults(sketch: Sketch) -> Iterator[Fault]:
    for number, each in enumerate(sketch.openings):
        path = f"sketch.openings[{number}]"
        wall = _wall(sketch, f"{path}.wall", each.wall)
        if isinstance(wall, Fault):
            yield wall
        elif each.along_mm + each.width_mm > length_mm(wall) + CLOSE_MM:
            yield Fault(None, f"{path}.along_mm", f"{each.name} ends {each.along_mm + each.width_mm:.0f} mm along "
                        f"{wall.name}, which is {length_mm(wall):.0f} mm long; it can begin at "
                        f"{length_mm(wall) - each.width_mm:.0f} mm at most")  # fmt: skip
        elif each.sill_mm < wall.base_mm - CLOSE_MM or each.sill_mm + each.tall_mm > wall.top_mm + CLOSE_MM:
            yield Fault(None, f"{path}.sill_mm", f"{each.name} reaches from {each.sill_mm:g} to "
                        f"{each.sill_mm + each.tall_mm:g} mm and {wall.name} from {wall.base_mm:g} to "
                        f"{wall.top_mm:g} mm")  # fmt: skip


def _trunking_faults(sketch: Sketch) -> Iterator[Fault]:
    for number, each in enumerate(sketch.trunking):
        path = f"sketch.trunking[{number}]"
        wall = _wall(sketch, f"{path}.wall", each.wall)
        level = abs(each.from_height_mm - each.to_height_mm) <= CLOSE_MM
        upright = abs(each.from_along_mm - each.to_along_mm) <= CLOSE_MM
        if isinstance(wall, Fault):
            yield wall
        elif level == upright:
            yield Fault(None, path, f"{each.name} runs neither level nor upright; draw it as pieces that do")
        else:
            for name in ("from", "to"):
                here = Place(wall=each.wall, side=each.side, along_mm=getattr(each, f"{name}_along_mm"),
                             height_mm=getattr(each, f"{name}_height_mm"))  # fmt: skip
                yield from _on_wall(path, here, f"{each.name}, where it goes {name},", wall)


def _service_faults(sketch: Sketch) -> Iterator[Fault]:
    for number, each in enumerate(sketch.services):
        if len(each.points) < 2:
            yield Fault(None, f"sketch.services[{number}].points", f"{each.name} has one point or none; give "
                        "both ends and each bend")  # fmt: skip


def _sensor_faults(job: Job) -> Iterator[Fault]:
    known = [each.name for each in job.sensors]
    for number, each in enumerate(job.sketch.sensors):
        path = f"sketch.sensors[{number}]"
        if each.name not in known:
            yield Fault(None, f"{path}.name", f"the job has no sensor '{shortened(each.name)}'; its sensors are "
                        f"{', '.join(known) or 'none'}")  # fmt: skip
        yield from _place_faults(job.sketch, f"{path}.place", each.place, each.name, wanted=True)


def _place_faults(sketch: Sketch, path: str, place: Place, name: str, *, wanted: bool) -> Iterator[Fault]:
    if place.wall is None:
        drawn = place.x_mm is not None and place.y_mm is not None
        if not drawn and (wanted or place != Place()):
            yield Fault(None, path, f"where the {name} is, is not drawn; give wall, side, along_mm and height_mm, or "
                        "x_mm and y_mm where it stands free")  # fmt: skip
        return
    wall = _wall(sketch, f"{path}.wall", place.wall)
    if isinstance(wall, Fault):
        yield wall
        return
    missing = [each for each in ("side", "along_mm", "height_mm") if getattr(place, each) is None]
    if missing:
        yield Fault(None, path, f"{' and '.join(missing)} of the {name} not given")
    else:
        yield from _on_wall(path, place, f"the {name}", wall)
        yield from _in_opening(sketch, path, place, f"the {name}")


def _spot(place: Place) -> tuple[object, ...]:
    return place.wall, place.side, place.along_mm, place.height_mm


def _on_wall(path: str, place: Place, name: str, wall: Wall) -> Iterator[Fault]:
    assert place.along_mm is not None
    assert place.height_mm is not None
    if place.along_mm > length_mm(wall):
        yield Fault(None, f"{path}.along_mm", f"{name} lies {place.along_mm:g} mm along {wall.name}, which is "
                    f"{length_mm(wall):.0f} mm long; its end is the nearest")  # fmt: skip
    if not wall.base_mm <= place.height_mm <= wall.top_mm:
        nearest_mm = min(max(place.height_mm, wall.base_mm), wall.top_mm)
        yield Fault(None, f"{path}.height_mm", f"{name} is at {place.height_mm:g} mm and {wall.name} reaches from "
                    f"{wall.base_mm:g} to {wall.top_mm:g} mm; {nearest_mm:g} mm is the nearest")  # fmt: skip


def _in_opening(sketch: Sketch, path: str, place: Place, name: str) -> Iterator[Fault]:
    assert place.along_mm is not None
    assert place.height_mm is not None
    for each in sketch.openings:
        far_mm, top_mm = each.along_mm + each.width_mm, each.sill_mm + each.tall_mm
        across = each.wall == place.wall and each.along_mm < place.along_mm < far_mm
        if across and each.sill_mm < place.height_mm < top_mm:
            near_mm = min((each.along_mm, far_mm), key=lambda edge_mm: abs(edge_mm - (place.along_mm or 0)))
            says = f"{name} is drawn in {each.name}; the nearest wall is beside it, {near_mm:g} mm along"
            yield Fault(None, path, says)
