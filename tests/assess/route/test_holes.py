"""Holes and sections against sums worked by hand."""

from dataclasses import replace

import pytest
from families import family
from sketches import box, cottage, on, pipe, sketched

from ampwright.assess.catalogue import Catalogue
from ampwright.assess.route.cables import bending, diameter_mm
from ampwright.assess.route.edges import HOLE
from ampwright.assess.route.graph import graph_of
from ampwright.assess.route.holes import holes_of
from ampwright.assess.route.needs import needs_of
from ampwright.assess.route.routes import routes_for
from ampwright.assess.route.search import best_ways
from ampwright.assess.route.sections import gathered, nearest_gas_mm, sections_of, with_route
from ampwright.job.paths import replaced
from ampwright.job.record import Cable
from ampwright.job.sketch import Layer, Room, SensorPlace
from ampwright.reading import assumed, measured

ARMOURED = Cable(kind="armoured_90c", size_mm2=6, cores_count=3, cpc="core")
FLAT = Cable(kind="flat_twin_and_earth", size_mm2=6, cpc="core")
CAVITY = (Layer(material="plaster", thickness_mm=12.5), Layer(material="block", thickness_mm=100),
          Layer(material="insulation", thickness_mm=85), Layer(material="brick", thickness_mm=102.5))  # fmt: skip


def known(reading):
    assert reading is not None
    return reading


def first(sketch, cable=ARMOURED):
    graph = graph_of(sketch, (sketch.board, sketch.charge_point))
    (way,) = best_ways(graph, graph.ends[0], graph.ends[1], 1)
    return way, holes_of(graph.plan, way, (cable,) * len(way.holes))


def test_a_hole_through_300_mm_by_hand():
    # 5 degrees: drop 300 x 0.087489 = 26.25; length 300 / 0.996195 = 301.15; 2 degrees of aim and 5 mm: 10.59 + 5
    _, (hole,) = first(cottage())
    assert hole.fall_deg == 5
    assert hole.drop_mm == pytest.approx(26.25, abs=0.01)
    assert hole.length_mm.high == pytest.approx(301.15, abs=0.01)
    assert hole.error_mm == pytest.approx(15.59, abs=0.01)
    assert hole.entry.room == "kitchen"
    assert hole.breakout.room is None
    assert hole.breakout.height_mm == pytest.approx(hole.entry.height_mm - 26.25, abs=0.01)
    assert [step.symbol for step in hole.working][:4] == ["twall", "afall", "aaim", "emeas"]


def test_it_falls_outward_from_whichever_end_the_way_comes():
    sketch = cottage(board=on("east", "right", 3000, 1100), charge_point=on("west", "left", 3000, 1800))
    _, (hole,) = first(sketch)
    assert hole.entry.room == "kitchen"
    assert hole.breakout.room is None


def test_a_thickness_in_a_range_gives_a_length_in_a_range():
    walls = tuple(replace(each, thickness_mm=assumed(290, 310, "a guess")) for each in cottage().walls[:4])
    way, (hole,) = first(cottage(walls=walls))
    # 290 / 0.996195 = 291.11 and 310 / 0.996195 = 311.18
    assert (hole.length_mm.low, hole.length_mm.high) == pytest.approx((291.11, 311.18), abs=0.01)
    length = known(sections_of(cottage(walls=walls), way)[0].length_m)
    assert length.high - length.low == pytest.approx(0.02)


def test_bits_and_sleeve_for_an_armoured_cable():
    # 16.6 mm and 1 mm to spare: the 25 mm tube with a bore of 21; 20 mm has 16
    _, (hole,) = first(cottage())
    assert (hole.cable_mm, hole.sleeve_mm, hole.bit_mm, hole.bit_usable_mm, hole.pilot_mm) == (16.6, 25, 25, 400, 8)


def test_bend_radii_and_the_stricter_source_holds():
    # On-Site Guide, armoured to 16 mm2: 6 x 16.6 = 99.6 mm; over that 8; a maker's sheet 12 x 16.6 = 199.2 mm, which
    # holds because it asks for more
    _, (hole,) = first(cottage())
    for bend in hole.bends:
        assert bend.radius_mm == pytest.approx(199.2)
        assert bend.others_mm[0][1] == pytest.approx(99.6)
        assert "On-Site Guide" not in bend.by
        assert not bend.fits_flat
        assert "asks 100 mm; the stricter holds" in bend.rule
    large = bending(Cable(kind="armoured_90c", size_mm2=25, cores_count=3), 23.6)
    assert (large.used.value, [each.value for each in large.others]) == (12, [8])
    # flat 6 mm2 is 13.5 mm wide: over 10 mm, so four times
    assert diameter_mm(FLAT) == 13.5
    assert bending(FLAT, 13.5).used.value == 4
    assert bending(FLAT, 8.2).used.value == 3


def test_a_level_run_from_a_square_hole_stands_off_by_hand():
    # square and level: (199.2 + 8.3) x (1 - cos 90) - 8.3 = 199.2 mm; swung 30 degrees it turns about 60:
    # (199.2 + 8.3) x 0.5 - 8.3 = 95.45 mm
    sketch = cottage(board=on("east", "left", 3000, 1100), charge_point=on("east", "right", 5000, 1100))
    _, (hole,) = first(sketch)
    level = next(bend for bend in hole.bends if bend.swung is not None)
    assert level.stand_off_mm == pytest.approx(199.2)
    assert level.swung.off_mm == pytest.approx(95.45, abs=0.9)
    # through 300 mm: 300 x tan 30 = 173.2 mm aside, 300 x sqrt(1 + 0.5774^2 + 0.0875^2) = 347.4 mm long
    assert level.swung.aside_mm == pytest.approx(173.2, abs=0.1)
    assert level.swung.length_mm == pytest.approx(347.4, abs=0.1)
    assert "173 mm further that way and the hole is 347 mm long" in level.says


def test_no_hole_by_the_floor_the_ceiling_or_the_damp_proof_course():
    # floor at 250, ceiling at 2400, walls to 2400: off the floor by 150 it may begin at 400, off the ceiling by 150 end
    # at 2250; on the wall alone it would be 150 to 2250; out of doors 200 above the ground
    room = Room(name="kitchen", corners=box(0, 0, 8000, 6000), floor_mm=250)
    for height in (260, 2380):
        low = on("east", "left", 3000, height)
        _, (hole,) = first(cottage(rooms=(room,), board=low, charge_point=on("east", "right", 3000, height)))
        assert hole.entry.height_mm == pytest.approx(400 if height == 260 else 2250)


def test_a_hole_is_set_out_from_the_floor_where_the_floor_is_not_the_ground():
    room = Room(name="kitchen", corners=box(0, 0, 8000, 6000), floor_mm=250)
    board, far = on("east", "left", 3000, 1100), on("east", "right", 3000, 1100)
    _, (hole,) = first(cottage(rooms=(room,), board=board, charge_point=far))
    assert "850 mm above the floor (1100 mm above the ground outside)" in hole.entry.set_out


def test_an_unknown_cable_is_to_be_measured():
    _, (hole,) = first(cottage(), Cable(kind="singles_70c", size_mm2=6))
    assert hole.cable_mm is None
    assert hole.bends == ()
    assert hole.bit_mm is None


def test_services_keep_clear_of_the_hole_on_both_sides():
    """Wherever a hole is proposed, nothing comes nearer than is wanted, at the worst of its error."""
    for y in range(500, 5600, 600):
        pipes = (pipe("water", "water", [(7820, y, 0), (7820, y, 2400)]),
                 pipe("gas", "gas", [(8180, 0, 300), (8180, 6000, 300)]))  # fmt: skip
        ends = {"board": on("east", "left", y + 100, 400), "charge_point": on("east", "right", y + 100, 500)}
        _, (hole,) = first(cottage(services=pipes, **ends))
        assert hole.near
        assert all(near.gap_mm >= near.wanted_mm for near in hole.near)


def test_sections_in_order_with_what_the_sketch_knows():
    walls = tuple(replace(each, make_up=CAVITY) for each in cottage().walls[:4])
    sketch = cottage(walls=(*walls, cottage().walls[4]), charge_point=on("garden wall", "left", 2000, 1000))
    way, _ = first(sketch)
    found = sections_of(sketch, way)
    assert [each.method for each in found] == ["C", "C", "D", "C"]
    assert [each.outdoors for each in found] == [False, True, False, True]
    assert known(found[0].insulation_mm).low == 85
    assert known(found[1].insulation_mm).low == 0
    assert known(found[2].depth_m).low == pytest.approx(0.6)
    assert [each.surface for each in found] == [None, None, "lawn", None]
    assert "300 mm" in found[0].through[0]
    assert sum(known(each.length_m).low for each in found) == pytest.approx(way.length_mm / 1000, abs=0.02)


def test_lengths_are_told_to_the_centimetre_for_a_sketch_is_no_finer():
    sketch = cottage(board=on("west", "left", 3001.7, 1803.3), charge_point=on("garden wall", "left", 2002.9, 1000.4))
    way, _ = first(sketch)
    metres = [end for each in sections_of(sketch, way) for end in (known(each.length_m).low, known(each.length_m).high)]
    assert metres == [round(each, 2) for each in metres]


def test_a_trench_below_two_surfaces_has_none_of_its_own():
    sketch = cottage(charge_point=on("garden wall", "left", 2000, 1000))
    way, _ = first(sketch)
    paved = replace(sketch.ground[0], name="path", surface="paving")
    both = replace(sketch, ground=(*sketch.ground, paved))
    assert [each.surface for each in sections_of(both, way) if each.method == "D"] == [None]


def test_alike_sections_are_gathered_for_the_design_alone():
    way, _ = first(cottage(charge_point=on("garden wall", "left", 2000, 1000)))
    found = sections_of(cottage(charge_point=on("garden wall", "left", 2000, 1000)), way)
    together, where = gathered(found)
    assert where == (0, 1, 2, 1)
    total_m = sum(known(each.length_m).low for each in found)
    assert sum(known(each.length_m).low for each in together) == pytest.approx(total_m)


def test_an_unmade_up_wall_leaves_the_insulation_open():
    way, _ = first(cottage())
    assert sections_of(cottage(), way)[0].insulation_mm is None


def test_the_distance_from_gas_goes_into_the_job():
    # charge point at 1100 on the east face (x 8150); a pipe of 22 mm at x 8150 + 100, height 1600, all along:
    # the way never comes nearer than the charge point's own height allows: sqrt(100^2 + 500^2) - 11 = 498.9
    pipes = (pipe("gas", "gas", [(8250, 0, 1600), (8250, 6000, 1600)]),)
    sketch = cottage(services=pipes, board=on("east", "left", 3000, 1100))
    way, _ = first(sketch)
    assert nearest_gas_mm(sketch, way) == pytest.approx(498.9, abs=0.1)
    job = with_route(replaced(sketched(), "sketch", sketch), way)
    assert known(job.site.gas.pipe_to_cable_mm).low == pytest.approx(498.9, abs=0.1)
    assert nearest_gas_mm(cottage(), way) is None


def test_a_wired_sensor_gets_its_run():
    place = SensorPlace(name="grid", place=on("west", "left", 3500, 1800))
    routes = routes_for(sketched(sensors=(place,)), None)
    (run,) = routes.sensors
    assert run.way is not None
    assert run.way.length_mm > 8000
    unplaced = routes_for(sketched(), None).sensors[0]
    assert unplaced.way is None
    assert "not placed" in unplaced.says


def test_the_rules_judge_each_route_and_a_design_is_found_for_it():
    catalogue = family("armoured_90c", (6, 10))
    routes = routes_for(sketched(board=on("east", "left", 3000, 1100)), catalogue)
    route = routes.found[0]
    assert route.design is not None
    assert route.job.route[0].cable.size_mm2 == route.design.cables[0].changes(0)["route[0].cable.size_mm2"]
    assert {check.rule for check in route.design.assessment.checks} >= {"voltage_drop", "drilling_hazards"}
    assert route.holes[0].cable_mm == 16.6


def test_later_routes_ask_among_what_the_first_needs_and_all_of_it_when_none_of_that_stands():
    catalogue = family("armoured_90c", (6, 10))
    job = sketched(board=on("east", "left", 3000, 1100))
    first = needs_of(job, catalogue, None)
    again = needs_of(job, catalogue, first)
    assert first.design is not None
    assert again.design is not None
    assert (first.among_few, again.among_few) == (False, True)
    # the same route needs the same, whichever way it was sought
    assert again.design.choices == first.design.choices
    assert again.design.price == first.design.price
    # 150 m in the ground: what stood on 28 m is too thin there, so that the whole catalogue is searched after all
    far = replaced(job, "route", tuple(replace(each, length_m=measured(known(each.length_m).high * 6))
                                       for each in job.route))  # fmt: skip
    small = family("armoured_90c", (6, 10, 16, 25, 35))
    thinnest = small.axis("cable")[0]
    thin = Catalogue(tuple(each for each in small.choices if each.axis != "cable" or each is thinnest))
    long = needs_of(far, small, needs_of(job, thin, None))
    assert long.design is not None
    alone = needs_of(far, small, None)
    assert alone.design is not None
    assert not long.among_few
    assert long.design.price == alone.design.price


def test_the_same_routes_with_the_whole_catalogue_for_each():
    catalogue = family("armoured_90c", (6, 10))
    job = sketched(board=on("east", "left", 3000, 1100))
    quick, whole = routes_for(job, catalogue), routes_for(job, catalogue, whole=True)
    assert [each.way for each in quick.found] == [each.way for each in whole.found]
    assert not any(each.needs.among_few for each in whole.found)
    for one, other in zip(quick.found, whole.found, strict=True):
        assert one.design is not None
        assert other.design is not None
        assert one.design.price.net_high_pence >= other.design.price.net_high_pence


def test_a_hole_straight_from_the_board_is_told_in_the_name_of_the_stretch():
    way, _ = first(cottage())
    hole = next(leg for leg in way.legs if leg.kind == HOLE)
    run = next(leg for leg in way.legs if leg.kind != HOLE)
    section = sections_of(cottage(), replace(way, legs=(hole, run)))[0]
    assert section.name == f"1: {hole.name}, then {run.name}"
    assert sections_of(cottage(), replace(way, legs=(run, hole)))[0].name == f"1: {run.name}"


def test_a_measured_diameter_goes_before_the_table():
    # the table has 15.9 mm for 6 mm2 of 2 cores; a calliper that reads 17.0 to 17.6 wants a sleeve of bore 18.6, 25 mm
    listed = Cable(kind="armoured_90c", size_mm2=6, cores_count=2)
    assert diameter_mm(listed) == 15.9
    assert diameter_mm(replace(listed, sheath_mm=assumed(17.0, 17.6))) == 17.6
    assert diameter_mm(Cable(kind="multicore_70c", size_mm2=6, sheath_mm=measured(13))) == 13
    assert diameter_mm(Cable(kind="multicore_70c", size_mm2=6)) is None
