"""Boxes, ferrules, sleeves, rods, labels, leads and the van: sums by hand, what is asked, and what is left out."""

from dataclasses import replace

import pytest

from ampwright.assess.materials.earthing import take_earthing, take_labels
from ampwright.assess.materials.ends import take_ends
from ampwright.assess.materials.gathering import Gathering
from ampwright.assess.materials.leads import take_leads, take_segregation
from ampwright.assess.materials.take_off import take_off
from ampwright.assess.materials.van import take_tools
from ampwright.assess.materials.walls import take_walls
from ampwright.job.record import (
    Cable,
    ChargePoint,
    Circuit,
    Electrode,
    Enclosure,
    Generation,
    Job,
    LoadCap,
    Rcd,
    Section,
    Sensor,
    Sketch,
    Storage,
    Supply,
)
from ampwright.job.sketch import Corner, Wall
from ampwright.reading import assumed, measured

ARMOURED = Cable(kind="armoured_90c", size_mm2=6, cores_count=3, cpc="core")
FLAT = Cable(kind="flat_twin_and_earth", size_mm2=6, cpc="core")
SINGLES = Cable(kind="singles_70c", size_mm2=10, cpc="core", cpc_mm2=10)


def taken(part, job):
    to = Gathering()
    part(job, to)
    return to.done()


def needs(found):
    return {each.name: (each.need.low, each.need.high) for each in found.items}


def stretch(cable, length_m=5.0, **rest):
    return Section(**{"name": "a stretch", "cable": cable, "length_m": measured(length_m), "method": "C", **rest})


def test_ends_of_flat_then_armoured_cable_by_hand():
    # earth cores are sleeved 0.2 m at four ends; solid and stranded cores (class 1 and 2) take no ferrule
    job = Job(route=(stretch(FLAT, outdoors=False), stretch(ARMOURED, outdoors=True)))
    assert needs(taken(take_ends, job)) == {
        "joint box, weatherproof": (1, 1), "green and yellow sleeving": (0.8, 0.8)}  # fmt: skip


@pytest.mark.parametrize("fine", [5, 6])
def test_fine_strands_take_ferrules(fine):
    # flat 6 mm2: two cores of 6 and an earth of 2.5 mm2 (the table of flat cable); both ends and a tenth: 2 x 2 x 1.1 =
    # 4.4 -> 5 and 2 x 1.1 = 2.2 -> 3; the crimper comes along
    job = Job(route=(stretch(replace(FLAT, conductor_class=fine)),))
    found = needs(taken(take_ends, job))
    assert {name: need for name, need in found.items() if "ferrule" in name} == {
        "6 mm2 ferrule": (5, 5), "2.5 mm2 ferrule": (3, 3)}  # fmt: skip
    assert "ferrule crimper" in {each.code for each in taken(take_tools, job).tools}


@pytest.mark.parametrize("cable", [FLAT, ARMOURED, SINGLES])
@pytest.mark.parametrize("coarse", [None, 1, 2])
def test_solid_and_stranded_cores_take_none(cable, coarse):
    # the fixed cables of the tables have class 1 or 2 by their standards, unless the sheet says another
    job = Job(route=(stretch(replace(cable, conductor_class=coarse)),), charge_point=ChargePoint(phases=1))
    found = taken(take_ends, job)
    assert not any("ferrule" in each.name for each in found.items)
    assert "ferrule crimper" not in {each.code for each in taken(take_tools, job).tools}


def test_a_sheathed_cable_that_may_be_either_is_asked():
    cable = Cable(kind="multicore_70c", size_mm2=6, cores_count=3, sheath_mm=measured(13))
    assert "route[0].cable.conductor_class" in taken(take_ends, Job(route=(stretch(cable),))).missing


@pytest.mark.parametrize(
    ("one", "other", "box"),
    [(False, False, "joint box, indoors"), (True, None, "joint box, weatherproof"), (None, False, None)],
)
def test_a_box_by_the_weather_on_either_side(one, other, box):
    found = taken(take_ends, Job(route=(stretch(FLAT, outdoors=one), stretch(ARMOURED, outdoors=other))))
    boxes = [each.code for each in found.items if each.code.startswith("joint box")]
    assert boxes == ([box] if box else [])
    assert found.missing == (() if box else ("route[0].outdoors",))


def test_single_cores_of_a_three_phase_charge_point():
    # four of 10 mm2 and an earth of 10 mm2: ten ends and a tenth, 11; the earth is green and yellow as sold
    job = Job(route=(stretch(replace(SINGLES, conductor_class=5)),), charge_point=ChargePoint(phases=3))
    assert needs(taken(take_ends, job)) == {"10 mm2 ferrule": (11, 11)}


@pytest.mark.parametrize(("sheath_mm", "seal"), [(13.0, "20 mm cable entry seal"), (13.1, "25 mm cable entry seal"),
                                                 (26.0, None)])  # fmt: skip
def test_a_cable_without_armour_is_sealed_into_a_charge_point_out_of_doors(sheath_mm, seal):
    cable = Cable(kind="multicore_70c", size_mm2=6, cores_count=3, sheath_mm=measured(sheath_mm))
    found = taken(take_ends, Job(route=(stretch(cable),), charge_point=ChargePoint(outdoors=True)))
    assert [each.code for each in found.items if "seal" in each.code] == ([seal] if seal else [])
    assert bool(found.remarks) is (seal is None)


def walled(thickness_mm):
    wall = Wall(name="back wall", start=Corner(x_mm=0, y_mm=0), end=Corner(x_mm=5000, y_mm=0),
                thickness_mm=thickness_mm)  # fmt: skip
    return Sketch(walls=(wall,))


@pytest.mark.parametrize(
    ("thick_mm", "bits"),
    [
        # 16.6 mm cable and 1 mm slack want a sleeve of bore 21 (25 mm) and a 25 mm bit; a hole that falls 5 degrees is
        # longer than the wall: 398 / cos 5 is 399.5 mm and 399 / cos 5 is 400.5, past the bits of 400 mm
        (398, {"8 mm pilot bit, 400 mm usable", "25 mm bit, 400 mm usable"}),
        (399, {"10 mm pilot bit, 800 mm usable", "25 mm bit, 800 mm usable"}),
    ],
)
def test_sleeve_and_bits_by_the_wall_of_the_sketch(thick_mm, bits):
    job = Job(route=(stretch(ARMOURED, through=(f"back wall, {thick_mm} mm",)),), sketch=walled(measured(thick_mm)))
    found = taken(take_walls, job)
    assert needs(found) == {"25 mm wall sleeve": (0.4, 0.4), "tube of sealant": (1, 1)}
    assert {each.name for each in found.tools} == bits


def test_a_wall_that_nobody_measured_stays_a_range_and_five_holes_take_two_tubes():
    found = taken(take_walls, Job(route=(stretch(ARMOURED, through=("a", "b", "c", "d", "e")),)))
    assert needs(found) == {"25 mm wall sleeve": (0.5, 3.0), "tube of sealant": (2, 2)}
    assert "how thick the wall is was not said" in found.items[0].need.because


@pytest.mark.parametrize(
    ("name", "thick_m"),
    [("stone wall, 550 mm", (0.55, 0.55)), ("east wall, 295 to 305 mm (plaster 12.5, brick 102.5)", (0.3, 0.31)),
     ("wall behind the 300 mm pipe", (0.1, 0.6)), ("wall, 12 m from the gate", (0.1, 0.6))],
)  # fmt: skip
def test_a_wall_that_names_its_thickness_is_taken_at_its_word(name, thick_m):
    found = taken(take_walls, Job(route=(stretch(ARMOURED, through=(name,)),)))
    assert needs(found)["25 mm wall sleeve"] == thick_m


def test_a_wall_deeper_than_every_bit_is_said():
    job = Job(route=(stretch(ARMOURED, through=("back wall",)),), sketch=walled(assumed(700, 900, "stone")))
    found = taken(take_walls, job)
    assert found.tools == ()
    assert "no listed bit drills 903 mm deep" in found.remarks[0]


@pytest.mark.parametrize(
    ("there", "width_mm", "sleeve", "bit"),
    [
        # flat cable of 13.5 mm takes 32 mm conduit (test_fill), which wants a sleeve of bore 33: 40 mm, and its bit;
        # a conduit of 25 mm that is there wants a bore of 26: 32 mm
        (False, None, "40 mm wall sleeve", "40 mm bit"), (True, 25, "32 mm wall sleeve", "32 mm bit"),
    ],
)  # fmt: skip
def test_where_conduit_goes_through_the_hole_is_for_the_conduit(there, width_mm, sleeve, bit):
    inside = Enclosure(kind="conduit", there=there, width_mm=width_mm, bends_count=1)
    job = Job(route=(stretch(FLAT, method="B", through=("wall, 300 mm",), enclosure=inside),),
              charge_point=ChargePoint(phases=1))  # fmt: skip
    found = taken(take_walls, job)
    assert sleeve in needs(found)
    assert f"{bit}, 400 mm usable" in {each.name for each in found.tools}


def test_a_conduit_of_unknown_size_through_a_wall_names_no_bit():
    job = Job(route=(stretch(FLAT, method="B", through=("wall, 300 mm",), enclosure=Enclosure(kind="conduit")),))
    found = taken(take_walls, job)
    assert found.tools == ()
    assert "its size is not known yet" in found.remarks[0]


def test_tape_and_sand_about_what_is_buried():
    # a bag of sand a metre, whole bags
    found = taken(take_walls, Job(route=(stretch(ARMOURED, 11.5, method="D", surface="lawn"), stretch(ARMOURED))))
    assert needs(found) == {"warning tape": (11.5, 11.5), "25 kg bag of bedding sand": (12, 12)}
    assert all("common practice, no source" in each.why for each in found.items if each.code != "warning tape")


def test_under_a_surface_that_nobody_said_it_may_be_sand_or_a_duct():
    found = taken(take_walls, Job(route=(stretch(ARMOURED, 11.5, method="D"),)))
    assert needs(found) == {
        "warning tape": (11.5, 11.5), "cable duct": (0, 11.5), "25 kg bag of bedding sand": (0, 12)}  # fmt: skip


@pytest.mark.parametrize(("cable", "surface"), [(ARMOURED, "tarmac"), (ARMOURED, "paving"), (FLAT, "lawn")])
def test_a_duct_below_a_hard_surface_or_for_a_cable_without_armour(cable, surface):
    found = taken(take_walls, Job(route=(stretch(cable, 12, method="D", surface=surface),)))
    assert needs(found) == {"warning tape": (12, 12), "cable duct": (12, 12)}


@pytest.mark.parametrize(
    ("before", "after", "asked"),
    [
        ({"outdoors": False}, {"outdoors": True}, True), ({"outdoors": True}, {"outdoors": False}, True),
        ({"outdoors": False, "method": "D"}, {"outdoors": True}, False),
        ({"outdoors": False}, {"method": "D"}, True), ({"outdoors": True}, {"method": "D"}, False),
        ({"outdoors": False}, {"outdoors": False}, False), ({"outdoors": False}, {}, False),
        ({"outdoors": False, "through": ("wall, 300 mm",)}, {"outdoors": True}, False),
        ({"outdoors": False}, {"outdoors": True, "through": ("wall, 300 mm",)}, False),
    ],
)  # fmt: skip
def test_from_indoors_to_outdoors_without_a_hole_is_asked(before, after, asked):
    found = taken(take_walls, Job(route=(stretch(ARMOURED, **before), stretch(ARMOURED, **after))))
    assert ("route[1].through" in found.missing) is asked
    assert any("no hole is named" in each for each in found.remarks) is asked


def electrode(**rest):
    return Job(circuit=Circuit(earthed_by="own electrode"), electrode=Electrode(**rest))


def test_rods_by_hand():
    # two rods of 2.4 to 3 m in pieces of 1.2 m: 2 or 3 pieces each, one coupling fewer
    found = taken(take_earthing, electrode(rods_count=2, rod_length_m=assumed(2.4, 3), conductor_mm2=10,
                                           conductor_m=measured(8)))  # fmt: skip
    assert needs(found) == {"1.2 m earth rod": (4, 6), "earth rod coupling": (2, 4), "earth rod clamp": (2, 2),
                            "earth rod pit": (2, 2), "10 mm2 green and yellow cable": (8, 8)}  # fmt: skip


def test_one_short_rod_has_no_coupling_and_what_is_not_known_is_asked():
    found = taken(take_earthing, electrode(rods_count=1, rod_length_m=measured(1.2)))
    assert "earth rod coupling" not in needs(found)
    assert found.missing == ("electrode.conductor_mm2", "electrode.conductor_m")


def test_an_electrode_that_was_measured_is_not_bought_again():
    found = taken(take_earthing, electrode(measured_ohm=measured(40)))
    assert (found.items, found.missing) == ((), ())
    assert "has been measured" in found.remarks[0]


def test_a_measuring_electrode_is_a_rod_too_and_nothing_else_is():
    watched = Job(charge_point=ChargePoint(open_pen="measuring electrode"), circuit=Circuit(earthed_by="supply"))
    assert needs(taken(take_earthing, watched)) == {"1.2 m earth rod": (1, 1), "earth rod clamp": (1, 1),
                                                    "earth rod pit": (1, 1)}  # fmt: skip
    assert taken(take_earthing, Job()).items == ()


KNOWN = Job(generation=Generation(fitted=True), storage=Storage(fitted=False), electrode=Electrode(fitted=False),
            charge_point=ChargePoint(load_cap=LoadCap(fitted=True, limit_a=60), open_pen="none", rcd=Rcd(fitted=False)),
            circuit=Circuit(earthed_by="supply", rcd=Rcd(fitted=True)), supply=Supply(earthing="TN-S"))  # fmt: skip


def test_labels_by_their_wording():
    # four always, the test of the RCD, the earth terminal, where to isolate, two supplies twice, the load cap twice
    found = taken(take_labels, KNOWN)
    assert found.missing == ()
    assert sum(each.need.high for each in found.items) == 11
    assert needs(found)["label: Demand held to 60 A by a load cap: do not alter"] == (2, 2)
    assert "generation.fitted" in taken(take_labels, Job()).missing


def test_leads_of_wired_sensors():
    sensors = (Sensor(name="grid", watches="grid", link="wired", lead_m=assumed(4, 6)),
               Sensor(name="sun", watches="generation", link="radio"),
               Sensor(name="other", watches="grid"), Sensor(name="far", watches="grid", link="wired"))  # fmt: skip
    found = taken(take_leads, Job(sensors=sensors))
    # half a metre at its ends; 4 / 0.3 = 13.3 and 6 / 0.3 = 20 ties
    assert needs(found) == {"sensor lead, twisted and screened pair": (4.5, 6.5), "cable tie": (14, 20)}
    assert found.missing == ("sensors[2].link", "sensors[3].lead_m")


def test_a_data_cable_in_the_same_trunking_is_judged_and_shown():
    inside = Enclosure(kind="trunking", there=False, data_beside="in the same space", data_withstands_mains=False)
    said = taken(take_segregation, Job(route=(stretch(FLAT, enclosure=inside),)))
    assert "528.1), not met: a stretch: a data cable lies in the same conduit or trunking" in said.remarks[0]
    asked = taken(take_segregation, Job(route=(stretch(FLAT, enclosure=replace(inside, data_withstands_mains=None)),)))
    assert asked.missing == ("route[0].enclosure.data_withstands_mains",)
    assert taken(take_segregation, Job(route=(stretch(FLAT),))).remarks == ()


def loaded(job):
    return {each.code for each in taken(take_tools, job).tools}


def test_the_van_by_what_the_job_does():
    bare = loaded(replace(KNOWN, charge_point=replace(KNOWN.charge_point, mounting="post",
                                                      load_cap=LoadCap(fitted=False))))  # fmt: skip
    assert {"voltage indicator and proving unit", "lock-off kit", "loop tester", "RCD tester"} <= bare
    assert {"spade and trenching tools", "cable and pipe detector"} <= bare
    assert not {"hammer drill", "clamp meter", "gland spanners", "rod driver", "fish tape"} & bare
    full = loaded(Job(route=(stretch(ARMOURED, through=("wall",)),), circuit=Circuit(earthed_by="own electrode")))
    assert {"hammer drill", "dust extractor and mask", "gland spanners", "rod driver", "earth electrode tester",
            "clamp meter", "fish tape"} <= full  # fmt: skip


def test_nothing_is_on_the_list_twice():
    found = take_off(Job(route=(stretch(FLAT), stretch(ARMOURED, through=("w",))), charge_point=ChargePoint(phases=1)))
    assert len({(each.code, each.name) for each in found.items}) == len(found.items)
    assert len(found.tools) == len({each.name for each in found.tools})
