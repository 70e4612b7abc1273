"""Sketches that cannot be: a plain reason, the nearest change, and all at once."""

from dataclasses import replace

import pytest
from sketches import box, corners, cottage, on, pipe, sketched, wall

from ampwright.assess.route.faults import BadSketch, faults_of
from ampwright.assess.route.graph import graph_of
from ampwright.assess.route.routes import ways_for
from ampwright.assess.route.search import best_ways
from ampwright.job.record import Job
from ampwright.job.sketch import GroundArea, KeepOut, Layer, Opening, Place, Room, Sketch

WALLS = cottage().walls


def said(**changes):
    return [str(each) for each in faults_of(sketched(**changes))]


def test_a_sound_sketch_has_none():
    assert said() == []


def test_no_sketch_at_all():
    (fault,) = faults_of(Job())
    assert "no wall" in fault.says


def door(on_wall, along):
    """A door of 900 by 2000 mm."""
    return Opening(name="door", kind="door", wall=on_wall, along_mm=along, sill_mm=0, width_mm=900, tall_mm=2000)


ONE = [
    ({"walls": (*WALLS, wall("shed", (1, 9000), (500, 9000), 0))}, "shed has no thickness; measure it"),
    ({"walls": (*WALLS, wall("shed", (1, 9000), (500, 9000), 0, make_up=(Layer(material="brick", thickness_mm=103),)))},
     "its layers add up to 103 mm: write that"),
    ({"walls": (*WALLS, wall("shed", (1, 9000), (500, 9000), thickness_mm=None))}, "nobody measured how thick shed is"),
    ({"walls": (*WALLS, wall("shed", (0, 9000), (0, 9000)))}, "begins and ends at one point"),
    # from (4000, -3000) to (4000, 2000) it crosses the south wall, y 0, at x 4000; its nearer end is (4000, 2000)
    ({"walls": (*WALLS, wall("new", (4000, -3000), (4000, 2000), 100))},
     "new crosses south at x 4000, y 0; end it there instead of at x 4000, y 2000"),
    ({"walls": (*WALLS, wall("new", (1000, 0), (3000, 0), 100))}, "new lies on south for 2000 mm"),
    # the order 1, 2, 4, 3 of a square crosses itself; swapping the last two mends it
    ({"rooms": (Room(name="hall", corners=corners((0, 0), (9, 0), (0, 9), (9, 9))),)},
     "hall crosses or touches itself; take the corners in the order"),
    ({"rooms": (Room(name="hall", corners=corners((0, 0), (900, 0))),)}, "hall has 2 corners"),
    ({"rooms": (Room(name="a", corners=box(0, 0, 900, 900)), Room(name="b", corners=box(0, 0, 900, 900)))},
     "b and a overlap by 0.81 m²"),
    ({"ground": (GroundArea(name="lawn", corners=box(0, 0, 9, 9)),)}, "say what lawn is covered with"),
    ({"board": on("wst", "left", 3000, 1800)}, "no wall 'wst'; did you mean west?"),
    ({"board": on("west", "left", 7000, 1800)}, "7000 mm along west, which is 6000 mm long"),
    ({"board": on("west", "left", 3000, 2600)}, "2400 mm is the nearest"),
    ({"board": Place()}, "where the board is, is not drawn"),
    ({"board": Place(wall="west", side="left")}, "along_mm and height_mm of the board not given"),
    ({"openings": (door("west", 2800),)}, "the board is drawn in door; the nearest wall is beside it, 2800 mm along"),
    ({"openings": (door("south", 7500),)}, "it can begin at 7100 mm at most"),
    ({"services": (pipe("gas", "gas", [(0, 0, 0)]),)}, "gas has one point or none"),
]  # fmt: skip


@pytest.mark.parametrize(("changes", "words"), ONE)
def test_the_reason_and_the_change(changes, words):
    found = said(**changes)
    assert any(words in each for each in found), found


def test_the_layers_must_add_up():
    walls = (*WALLS, wall("shed", (1, 9000), (500, 9000), 300, make_up=(Layer(material="brick", thickness_mm=103),)))
    (fault,) = said(walls=walls)
    assert "add up to 103 mm and the wall is 300 mm" in fault


def test_all_at_once():
    walls = (*WALLS, wall("shed", (1, 9000), (500, 9000), 0), wall("new", (4000, -3000), (4000, 2000), 100))
    found = said(walls=walls, board=on("wst", "left", 1, 1), charge_point=Place())
    assert len(found) == 4
    with pytest.raises(BadSketch) as bad:
        ways_for(sketched(walls=walls, board=on("wst", "left", 1, 1), charge_point=Place()))
    assert all(each in str(bad.value) for each in found)


def test_a_partition_that_ends_on_a_wall_is_a_joint():
    assert said(walls=(*WALLS, wall("partition", (4000, 0), (4000, 6000), 100))) == []


def unreachable(**changes):
    with pytest.raises(BadSketch) as bad:
        ways_for(sketched(**changes))
    return str(bad.value)


def test_nothing_drawn_between_names_the_gap():
    # from the face of the east wall at 8150 to that of the garden wall at 12000 - 107.5: 3742.5 mm
    text = unreachable(charge_point=on("garden wall", "left", 2000, 1000), ground=())
    assert "3.7 m apart" in text
    assert "Nearest change: draw what is there" in text


def test_what_is_in_the_way_is_named():
    out = KeepOut(name="the pond", corners=box(9000, -9000, 10000, 20000))
    text = unreachable(charge_point=on("garden wall", "left", 2000, 1000), keep_outs=(out,))
    assert "the pond is in the way" in text
    assert "go through or move the pond" in text


def test_a_buried_gas_pipe_across_the_way_stops_it():
    pipes = (pipe("gas main", "gas", [(10000, -9000, -650), (10000, 20000, -650)]),)
    text = unreachable(charge_point=on("garden wall", "left", 2000, 1000), services=pipes)
    # the trench runs at 600, by the height of the garden wall's near end, and the pipe stands at x 10000
    assert "gas main is in the way, first at x 10000," in text
    assert "ask whoever owns or runs gas main what may be done; only they move it" in text
    assert "leave it out" not in text
    assert "mm deep" not in text


def test_a_pipe_deep_enough_is_dug_over():
    # the cable at -600 and the pipe's top at -1000 + 11: 389 mm, over 300
    pipes = (pipe("gas main", "gas", [(10000, -9000, -1000), (10000, 20000, -1000)]),)
    assert ways_for(sketched(charge_point=on("garden wall", "left", 2000, 1000), services=pipes))[1]


def test_walls_that_may_not_be_drilled():
    walls = tuple(replace(each, may_drill=False) for each in WALLS[:4])
    text = unreachable(walls=walls)
    assert "get leave to drill" in text


def test_a_place_that_another_wall_covers():
    walls = (*WALLS, wall("partition", (4000, 0), (4000, 6000), 100))
    text = unreachable(walls=walls, board=on("south", "left", 4000, 1000))
    assert "no face is free" in text


def test_an_empty_sketch_with_one_wall_needs_its_places():
    job = Job(sketch=Sketch(walls=(wall("a", (0, 0), (5, 0)),)))
    assert [each.path for each in faults_of(job)] == ["sketch.board", "sketch.charge_point"]


def test_a_charge_point_drawn_where_the_board_is():
    (fault,) = said(charge_point=cottage().board)
    assert fault == ("sketch.charge_point: the charge point is drawn where the board is; measure where it is to hang")


def test_a_sensor_at_the_charge_point_needs_no_lead():
    graph = graph_of(cottage(), (cottage().charge_point, cottage().charge_point))
    (way,) = best_ways(graph, graph.ends[0], graph.ends[1], 1)
    assert (way.legs, way.length_mm, way.bends_count) == ((), 0, 0)
