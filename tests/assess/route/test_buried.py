"""Services in the ground: kept off beside, crossed where the height between allows it, never left out."""

import re

import pytest
import shapely
import shapely.affinity
from sketches import box, on, pipe, sketched

from ampwright.assess.route.buried import SQUARE_DEG, barred_by
from ampwright.assess.route.edges import GROUND
from ampwright.assess.route.effort import crossing_mm
from ampwright.assess.route.faults import BadSketch
from ampwright.assess.route.routes import routes_for, ways_for
from ampwright.job.sketch import GroundArea

FAR = on("garden wall", "left", 2000, 1000)


def lawn(depth_mm):
    return (GroundArea(name="lawn", surface="lawn", corners=box(8150, -2000, 14000, 8000), depth_mm=depth_mm),)


def across(kind, height_mm, thick_mm=24):
    """A service across the whole lawn at x 10000."""
    return (pipe(kind, kind, [(10000, -9000, height_mm), (10000, 20000, height_mm)], thick_mm),)


def reached(kind, depth_mm, height_mm):
    try:
        return ways_for(sketched(charge_point=FAR, services=across(kind, height_mm), ground=lawn(depth_mm)))[1]
    except BadSketch:
        return ()


@pytest.mark.parametrize(
    ("kind", "depth_mm", "height_mm", "may"),
    [
        # -750 and a trench at 450: 300 less half of 24 is 288, over the 150 of a crossing though under 300 beside it
        ("water", 450, -750, True),
        ("oil", 450, -750, True),
        # 588 leaves 150 above it, 589 does not; 912 leaves 150 below
        ("water", 588, -750, True),
        ("water", 589, -750, False),
        ("water", 911, -750, False),
        ("water", 912, -750, True),
        # nobody gave the depth
        ("water", None, -770, False),
        # for gas, and for cables, no less than beside
        ("gas", 450, -750, False),
        ("gas", 450, -762, True),
        ("electricity", 450, -750, False),
        ("telecoms", 450, -750, False),
    ],
)
def test_a_trench_crosses_where_the_height_between_allows_it(kind, depth_mm, height_mm, may):
    assert bool(reached(kind, depth_mm, height_mm)) is may


def test_beside_a_pipe_it_keeps_the_larger_distance_all_along():
    """The pipe ends in the lawn, 288 mm below the trench: whatever of the route lies within 312 mm of it crosses it."""
    water = pipe("water", "water", [(8300, 2000, -750), (11700, 2000, -750)], 24)
    job = sketched(charge_point=FAR, services=(water,), ground=lawn(450))
    line = shapely.LineString([(8300, 2000), (11700, 2000)])
    for way in ways_for(job)[1]:
        for leg in (each for each in way.legs if each.kind == GROUND):
            for p, q in zip(leg.points, leg.points[1:], strict=False):
                run = shapely.LineString([p[:2], q[:2]])
                assert run.distance(line) >= 311 or run.intersects(line)


@pytest.mark.parametrize(
    ("turned_deg", "through"), [(90, True), (SQUARE_DEG + 1, True), (SQUARE_DEG - 1, False), (5, False)]
)
def test_only_square_across_is_across(turned_deg, through):
    (barred,) = barred_by(lawn(450), across("water", -750)[0])
    run = shapely.affinity.rotate(shapely.LineString([(10000, -900), (10000, 4900)]), turned_deg)
    assert bool(barred.bars([run])[0]) is not through


def test_into_the_ground_beside_a_pipe_and_back_out_is_not_across():
    (barred,) = barred_by(lawn(450), across("water", -750)[0])
    assert barred.bars([shapely.LineString([(9000, 0), (9800, 0)])])[0]
    assert barred.bars([shapely.LineString([(9000, 0), (10100, 0)])])[0]
    assert not barred.bars([shapely.LineString([(9000, 0), (11000, 0)])])[0]


def test_the_route_tells_what_it_crosses():
    job = sketched(charge_point=FAR, services=across("water", -750), ground=lawn(450))
    (said,) = {re.sub(r"y -?\d+", "y", each) for each in routes_for(job, None).remarks if "crosses" in each}
    assert said.startswith("A trench crosses water at x 10000, y, by the sketch 288 mm apart in height: trace it and ")


def test_the_change_that_is_offered_opens_the_way():
    with pytest.raises(BadSketch) as bad:
        ways_for(sketched(charge_point=FAR, services=across("water", -750)))
    text = str(bad.value)
    assert "water is in the way, first at x 10000," in text
    assert "leave it out" not in text
    assert "ask whoever owns or runs water" in text
    shallow, deep = map(float, re.findall(r"at (?:most|least) (\d+) mm deep", text))
    assert (shallow, deep) == (588, 912)
    assert reached("water", shallow, -750)
    assert reached("water", deep, -750)


def test_a_crossing_has_a_figure_of_its_own_only_where_the_table_has_one():
    figures = {kind: crossing_mm(pipe(kind, kind, [])) for kind in ("water", "oil", "gas", "drain", "electricity")}
    assert figures == {"water": 150, "oil": 150, "gas": None, "drain": None, "electricity": None}
