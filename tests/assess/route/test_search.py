"""Shortest ways against networkx on the visibility graph, and against lengths added up by hand."""

import itertools
import math
import random
from dataclasses import replace

import networkx
import numpy as np
import pytest
import shapely
from sketches import box, corners, cottage, on, pipe, sketched, wall

from ampwright.assess.route import effort as effort_file
from ampwright.assess.route import search
from ampwright.assess.route.edges import CROSSING, GROUND, HOLE, INSIDE, OUTSIDE, TRUNKING
from ampwright.assess.route.graph import graph_of
from ampwright.assess.route.routes import ways_for
from ampwright.assess.route.search import best_ways
from ampwright.assess.route.sections import sections_of
from ampwright.job.sketch import GroundArea, KeepOut, Obstacle, Opening, Place, Room, Sketch, Trunking

BESIDE_MM = effort_file.efforts()["beside_opening"]


@pytest.fixture
def plain_lengths(monkeypatch):
    """Every metre on a wall and in the ground counts one; bends, ends and heights cost nothing."""
    real = effort_file.efforts()
    free = {"bend", "trench_end", "crossing_end"}
    alike = {"inside", "outside", "lawn", "paving", "above_reach", "crossing"}
    plain = {name: 0.0 if name in free else 1.0 if name in alike else value for name, value in real.items()}
    for module in ("strips", "crossings", "blocks", "graph"):
        monkeypatch.setattr(f"ampwright.assess.route.{module}.efforts", lambda: plain, raising=False)


def kinds(way):
    return [leg.kind for leg in way.legs]


def test_one_wall_by_hand():
    # from (1000, 1800) to (5000, 500) on one bare wall: 4000 along and 1300 down, one bend
    sketch = Sketch(walls=(wall("wall", (0, 0), (6000, 0)),))
    graph = graph_of(sketch, (on("wall", "left", 1000, 1800), on("wall", "left", 5000, 500)))
    (way,) = best_ways(graph, graph.ends[0], graph.ends[1], 1)
    assert way.length_mm == pytest.approx(5300)
    assert way.bends_count == 1
    # 8 min/m in the open air and 2 min for the bend: 5.3 x 8 + 2
    assert way.effort_min == pytest.approx(44.4)


def test_round_a_corner_by_hand():
    # outside the cottage: from the south wall, 7000 along, to the corner at 8150 is 1150; then up the east side from
    # y -150 to 2000, 2150; level, one bend at the corner
    graph = graph_of(cottage(), (on("south", "right", 7000, 1000), on("east", "right", 2000, 1000)))
    (way,) = best_ways(graph, graph.ends[0], graph.ends[1], 1)
    assert way.length_mm == pytest.approx(3300)
    assert way.bends_count == 1
    assert way.effort_min == pytest.approx(3.3 * 8 + 2)


def boxes_on_wall(draw):
    """Obstacles of random size and place, and two places that lie in none of them."""
    found = []
    for number in range(6):
        wide, tall = draw.uniform(200, 1500), draw.uniform(200, 1200)
        along, height = draw.uniform(1200, 8800), draw.uniform(400, 2400)
        place = on("wall", "left", along, height, width_mm=wide, tall_mm=tall)
        found.append(Obstacle(name=f"box {number}", place=place))
    return tuple(found), (300.0, draw.uniform(100, 2900)), (9700.0, draw.uniform(100, 2900))


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.usefixtures("plain_lengths")
def test_on_a_wall_it_is_the_shortest_of_the_visibility_graph(seed):
    """Rectilinear: of all corners that see each other, by the sum of along and up (a straight sight line between two
    corners that crosses no box can be walked in steps of the same sum, or another corner lies between)."""
    obstacles, start, end = boxes_on_wall(random.Random(seed))
    sketch = Sketch(walls=(wall("wall", (0, 0), (10000, 0), top_mm=3000),), obstacles=obstacles)
    graph = graph_of(sketch, (on("wall", "left", *start), on("wall", "left", *end)))
    (way,) = best_ways(graph, graph.ends[0], graph.ends[1], 1)

    grown = [shapely.box(o.place.along_mm - o.place.width_mm / 2 - BESIDE_MM,
                         o.place.height_mm - o.place.tall_mm / 2 - BESIDE_MM,
                         o.place.along_mm + o.place.width_mm / 2 + BESIDE_MM,
                         o.place.height_mm + o.place.tall_mm / 2 + BESIDE_MM) for o in obstacles]  # fmt: skip
    on_face = witness(shapely.union_all(grown), start, end, (0, 0, 10000, 3000), manhattan)
    # or round both ends of the wall and along its bare back: 300 + 300 thick + 10000 + 300 + 300, and the height
    assert way.length_mm == pytest.approx(min(on_face, 11200 + abs(start[1] - end[1])))


def manhattan(p, q):
    return abs(p[0] - q[0]) + abs(p[1] - q[1])


def witness(solid, start, end, window, metric):
    """networkx on the visibility graph of the solid's corners, and where it is cut by the window."""
    inside = shapely.box(*window)
    free = inside.buffer(1e-6).difference(solid.buffer(-1e-4, join_style="mitre"))
    cut = shapely.get_coordinates(solid.intersection(inside))
    points = [start, end, *(tuple(p) for p in cut if inside.covers(shapely.Point(p)))]
    graph = networkx.Graph()
    graph.add_nodes_from(range(len(points)))
    for (n, p), (m, q) in itertools.combinations(enumerate(points), 2):
        if p != q and free.covers(shapely.LineString([p, q])):
            graph.add_edge(n, m, weight=metric(p, q))
        elif p == q:
            graph.add_edge(n, m, weight=0)
    return networkx.dijkstra_path_length(graph, 0, 1)


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.usefixtures("plain_lengths")
def test_in_the_ground_it_is_the_shortest_of_the_visibility_graph(seed):
    draw = random.Random(seed)
    outs = []
    for number in range(7):
        x, y = draw.uniform(1500, 7500), draw.uniform(-3500, 3500)
        turn, far = draw.uniform(0, 2), draw.uniform(400, 1400)
        ring = [(x + far * math.cos(turn + k * 2 * math.pi / 5), y + far * math.sin(turn + k * 2 * math.pi / 5))
                for k in range(5)]  # fmt: skip
        outs.append((f"bed {number}", ring))
    start, end = (200.0, draw.uniform(-3000, 3000)), (9800.0, draw.uniform(-3000, 3000))
    sketch = Sketch(
        walls=(wall("far off", (-9000, 9000), (-8000, 9000)),),
        ground=(GroundArea(name="lawn", surface="lawn", corners=box(0, -5000, 10000, 5000), depth_mm=500),),
        keep_outs=tuple(KeepOut(name=name, corners=corners(*ring)) for name, ring in outs),
    )
    graph = graph_of(sketch, (Place(x_mm=start[0], y_mm=start[1]), Place(x_mm=end[0], y_mm=end[1])))
    (way,) = best_ways(graph, graph.ends[0], graph.ends[1], 1)
    solid = shapely.union_all([shapely.Polygon(ring) for _, ring in outs])
    window = (-300, -5300, 10300, 5300)
    assert way.length_mm == pytest.approx(witness(solid, start, end, window, math.dist), abs=2)


def test_dijkstra_agrees_with_networkx_on_a_whole_cottage():
    graph = graph_of(cottage(), (on("west", "left", 3000, 1800), on("garden wall", "left", 2000, 1000)))
    free = graph.table.blocker == 0
    effort, _ = graph.searched(graph.ends[0], graph.weights(free, graph.table.effort_min))
    assert effort[graph.ends[1]] == pytest.approx(networkx.dijkstra_path_length(in_networkx(graph, free), *graph.ends))


def in_networkx(graph, allowed):
    """The ways that are allowed, in networkx."""
    rows, other = np.flatnonzero(allowed), networkx.Graph()
    other.add_nodes_from(range(len(graph.xyz_mm)))
    weights = np.maximum(graph.table.effort_min[rows], 1e-9)
    columns = (graph.table.one[rows].tolist(), graph.table.two[rows].tolist(), weights.tolist())
    other.add_weighted_edges_from(zip(*columns, strict=True))
    return other


@pytest.mark.parametrize("seed", range(10))
def test_without_some_ways_the_next_best_is_that_of_networkx(seed):
    """Whatever is barred, the search by what is left over finds the best; nothing where that costs over twice the best.

    Barred are the ways about a ball at a point of the best route, of a size drawn by lot, so that some cut it off."""
    draw = random.Random(seed)
    graph = graph_of(cottage(), (on("west", "left", 3000, 1800), on("garden wall", "left", 2000, 1000)))
    reach = search._reach(graph, *graph.ends)
    assert reach is not None
    best = reach.way()
    assert best is not None
    at, far_mm = np.array(draw.choice(best.points[1:-1])), draw.choice((200.0, 1500.0, 4000.0))
    barred = np.linalg.norm(graph.xyz_mm - at, axis=1) < far_mm
    without = barred[graph.table.one] | barred[graph.table.two]
    way = reach.way(without)
    other = in_networkx(graph, (graph.table.blocker == 0) & ~without)
    try:
        wanted = networkx.dijkstra_path_length(other, *graph.ends)
    except networkx.NetworkXNoPath:
        wanted = math.inf
    if wanted > 2 * best.effort_min:
        assert way is None
    else:
        assert way is not None
        assert way.effort_min == pytest.approx(wanted)


def test_no_two_points_are_joined_twice():
    """The matrix would add them up."""
    graph = graph_of(cottage(), (on("west", "left", 3000, 1800), on("garden wall", "left", 2000, 1000)))
    pairs = np.sort(np.column_stack([graph.table.one, graph.table.two]), axis=1)
    assert len(np.unique(pairs, axis=0)) == len(pairs)


def test_the_few_best_differ_in_kind_and_come_in_order():
    _, ways = ways_for(sketched())
    assert len(ways) > 1
    assert len({way.kind for way in ways}) == len(ways)
    assert [way.effort_min for way in ways] == sorted(way.effort_min for way in ways)
    assert kinds(ways[0]) == [INSIDE, HOLE] or OUTSIDE in kinds(ways[0])


def test_straight_through_the_wall_behind_the_charge_point():
    # board and charge point on both sides of one wall at one place: the hole alone, 300 mm
    _, ways = ways_for(sketched(board=on("east", "left", 3000, 1100)))
    assert kinds(ways[0]) == [HOLE]
    assert ways[0].length_mm == pytest.approx(300)


def test_a_wall_that_may_not_be_drilled_is_not():
    sketch = cottage()
    walls = tuple(replace(each, may_drill=each.name != "east") for each in sketch.walls[:4])
    _, ways = ways_for(sketched(walls=walls))
    assert all(walls[leg.about].name != "east" for way in ways for leg in way.holes)


def test_it_goes_over_the_door_and_keeps_its_distance():
    # an inside wall from 1000 to 7000 at height 1000 with a door 2500..3500, head 2100: up to 2150, along, down
    sketch = Sketch(
        walls=(wall("wall", (0, 0), (8000, 0)),),
        openings=(Opening(name="door", kind="door", wall="wall", along_mm=2500, sill_mm=0, width_mm=1000,
                          tall_mm=2100),),
    )  # fmt: skip
    graph = graph_of(sketch, (on("wall", "left", 1000, 1000), on("wall", "left", 7000, 1000)))
    (way,) = best_ways(graph, graph.ends[0], graph.ends[1], 1)
    assert max(p[2] for p in way.points) == pytest.approx(2150)
    assert way.length_mm == pytest.approx(6000 + 2 * 1150)


def test_a_gas_pipe_on_the_wall_is_a_hard_limit():
    # the pipe crosses the wall from floor to 2000: the way goes over its end, 25 mm + 11 mm above it
    sketch = Sketch(
        walls=(wall("wall", (0, 0), (8000, 0), 200),),
        services=(pipe("gas", "gas", [(4000, 130, 0), (4000, 130, 2000)]),),
    )
    graph = graph_of(sketch, (on("wall", "left", 1000, 1000), on("wall", "left", 7000, 1000)))
    (way,) = best_ways(graph, graph.ends[0], graph.ends[1], 1)
    # the pipe's middle is 30 mm off the face, so that sqrt(36^2 - 30^2) = 19.9 mm along the face is far enough
    assert max(p[2] for p in way.points) == pytest.approx(2000 + math.sqrt(36**2 - 30**2), abs=0.01)


def test_a_large_gas_pipe_keeps_50_mm():
    assert effort_file.clearance_mm(pipe("gas", "gas", [], 42), "surface") == 50
    assert effort_file.clearance_mm(pipe("gas", "gas", [], 22), "surface") == 25
    assert effort_file.clearance_mm(pipe("water", "water", [], 22), "surface") == 25
    assert effort_file.clearance_mm(pipe("water", "water", [], 25), "buried") == 300


def test_trunking_is_taken_where_it_runs():
    run = Trunking(name="old trunking", wall="south", side="left", from_along_mm=500, from_height_mm=2300,
                   to_along_mm=7500, to_height_mm=2300, circuits_count=1)  # fmt: skip
    kitchen = Room(name="kitchen", corners=box(0, 0, 8000, 6000), ceiling_mm=2380)
    job = sketched(trunking=(run,), rooms=(kitchen,))
    _, ways = ways_for(job)
    assert TRUNKING in kinds(ways[0])
    laid = next(each for each in sections_of(job.sketch, ways[0]) if each.method == "B")
    assert (laid.enclosure.kind, laid.enclosure.there, laid.enclosure.holds) == ("trunking", True, None)


def test_below_the_floor_where_the_room_allows_it():
    kitchen = Room(name="kitchen", corners=box(0, 0, 8000, 6000), floor_mm=200, crossing="floor", crossing_method="103")
    _, ways = ways_for(sketched(rooms=(kitchen,), board=on("west", "left", 3000, 400)))
    crossing = next(way for way in ways if CROSSING in kinds(way))
    leg = next(leg for leg in crossing.legs if leg.kind == CROSSING)
    # straight across between the inner faces: 8000 - 300
    assert leg.length_mm == pytest.approx(7700)


def test_to_the_garden_wall_it_must_dig():
    _, ways = ways_for(sketched(charge_point=on("garden wall", "left", 2000, 1000)))
    assert all(GROUND in kinds(way) for way in ways)


def test_a_kind_that_costs_far_more_than_the_best_is_found_too():
    # straight out by the wall where it starts, never along it indoors; networkx says what that costs: an eighth more
    graph = graph_of(cottage(), (on("west", "left", 3000, 1800), on("garden wall", "left", 2000, 1000)))
    ways = best_ways(graph, *graph.ends)
    outdoors = next(way for way in ways if INSIDE not in kinds(way))
    free = (graph.table.blocker == 0) & (graph.table.kind != INSIDE)
    assert outdoors.effort_min == pytest.approx(networkx.dijkstra_path_length(in_networkx(graph, free), *graph.ends))
    assert outdoors.effort_min > 1.1 * ways[0].effort_min
