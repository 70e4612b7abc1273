"""What a hole must keep off: gas in walls of any thickness, the damp-proof course, a board behind it."""

import math
from dataclasses import replace

import pytest
from sketches import cottage, on, pipe, sketched

from ampwright.assess.route.faults import BadSketch
from ampwright.assess.route.graph import graph_of
from ampwright.assess.route.holes import holes_of
from ampwright.assess.route.routes import routes_for
from ampwright.assess.route.search import best_ways
from ampwright.job.paths import replaced
from ampwright.job.record import Cable, Section
from ampwright.reading import assumed, measured

ARMOURED = Cable(kind="armoured_90c", size_mm2=6, cores_count=3, cpc="core")


def first(sketch):
    """The best way and its holes."""
    graph = graph_of(sketch, (sketch.board, sketch.charge_point))
    (way,) = best_ways(graph, graph.ends[0], graph.ends[1], 1)
    return way, holes_of(graph.plan, way, (ARMOURED,) * len(way.holes))


@pytest.mark.parametrize("thick_mm", [100, 300, 700, 900])
@pytest.mark.parametrize("inside", [True, False])
@pytest.mark.parametrize("height_mm", [300, 700, 1500])
def test_gas_beside_a_hole_keeps_the_whole_distance_in_walls_of_any_thickness(thick_mm, inside, height_mm):
    """The board stands where the straight hole would meet a level gas pipe on one of the faces; only that wall may be
    drilled. The gap is reckoned here anew, from the worst corner of the breakout: by tan 7 degrees and 5 mm."""
    walls = tuple(replace(each, thickness_mm=measured(thick_mm), may_drill=each.name == "east")
                  for each in cottage().walls[:4])  # fmt: skip
    x = 8000 + (-1 if inside else 1) * (thick_mm / 2 + 20)
    gas = pipe("gas", "gas", [(x, -9000, height_mm), (x, 15000, height_mm)])
    sketch = cottage(walls=walls, services=(gas,), board=on("east", "left", 3000, height_mm + 90),
                     charge_point=on("east", "right", 3000, height_mm + 90))  # fmt: skip
    _, (hole,) = first(sketch)
    (near,) = hole.near
    assert near.gap_mm >= near.wanted_mm == 150
    away_mm = hole.entry.height_mm - height_mm
    below_mm = thick_mm * math.tan(math.radians(7)) + 5
    worst_mm = away_mm - below_mm if away_mm > 0 and not inside else abs(away_mm) - 5
    bit_mm = known_mm(hole.bit_mm or hole.sleeve_mm)
    assert worst_mm - bit_mm / 2 - 11 >= 149.9


def known_mm(size_mm):
    assert size_mm is not None
    return size_mm


def test_no_route_is_offered_whose_cable_is_wider_than_the_search_allowed_for():
    """The widest bit shipped is 40 mm; a cable of 90 mm wants 25 mm more on each side than the search kept."""
    gas = pipe("gas", "gas", [(8170, -9000, 900), (8170, 15000, 900)])
    walls = tuple(replace(each, may_drill=each.name == "east") for each in cottage().walls[:4])
    job = sketched(walls=walls, services=(gas,), board=on("east", "left", 3000, 1000),
                   charge_point=on("east", "right", 3000, 1000))  # fmt: skip
    wide = replace(ARMOURED, sheath_mm=measured(90))
    assert routes_for(job, None).found
    with pytest.raises(BadSketch, match=r"Gas is 12[0-9] mm clear at the worst; 150 mm is wanted: too near"):
        routes_for(replaced(job, "route", (Section(name="all", cable=wide),)), None)


SIZED = {"width_mm": 400, "tall_mm": 250}


def test_no_hole_comes_out_behind_a_board_that_has_a_size():
    # straight through would be behind it; 150 mm off its edge is 350 mm off its middle, or 275 mm above or below
    _, (hole,) = first(cottage(board=on("east", "left", 3000, 1100, **SIZED)))
    for end in (hole.entry, hole.breakout):
        off_mm = abs(end.along_mm - 3000) - 200, abs(hole.entry.height_mm - 1100) - 125
        assert max(off_mm) >= 149.9
    assert not any("board" in each for each in hole.behind)


@pytest.mark.parametrize(
    ("board", "charge_point", "words"),
    [
        (on("east", "left", 3000, 1100), on("east", "right", 3000, 1100, **SIZED), ("the board", "the charge point")),
        (on("west", "left", 3000, 1100), on("east", "right", 3000, 1100, **SIZED), ("the charge point",)),
        (on("west", "left", 3000, 1100), on("garden wall", "left", 2000, 1000), ()),
    ],
)
def test_a_hole_behind_a_board_or_charge_point_says_what_to_do(board, charge_point, words):
    _, holes = first(cottage(board=board, charge_point=charge_point))
    told = [each for hole in holes for each in hole.behind]
    assert len(told) == len(words)
    for said, what in zip(told, words, strict=True):
        assert f"behind {what}" in said
        assert "dead" in said
        assert "IP rating" in said


@pytest.mark.parametrize("thick", [measured(300), measured(700), assumed(600, 900, "rubble")])
def test_a_hole_breaks_out_above_the_damp_proof_course_at_the_worst(thick):
    """The breakout, its error taken off, lies 200 mm above the ground: it is held, not the entry."""
    walls = tuple(replace(each, thickness_mm=thick) for each in cottage().walls[:4])
    low = {"board": on("east", "left", 3000, 20), "charge_point": on("east", "right", 3000, 20)}
    _, (hole,) = first(cottage(walls=walls, **low))
    worst_mm = hole.entry.height_mm - thick.high * math.tan(math.radians(7)) - 5
    assert worst_mm == pytest.approx(200, abs=0.1)
    assert hole.breakout.height_mm - hole.error_mm == pytest.approx(worst_mm)
