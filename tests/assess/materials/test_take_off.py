"""Cut list, fixings and glands: sums by hand, what is asked, and the gland columns of published cable sheets."""

from dataclasses import replace

import pytest

from ampwright.assess.materials.cables import take_cables
from ampwright.assess.materials.fixings import take_fixings
from ampwright.assess.materials.gathering import Gathering
from ampwright.assess.materials.glands import gland_for, take_glands
from ampwright.assess.materials.take_off import plans_for, take_off
from ampwright.facts import rows
from ampwright.job.record import Cable, Job, Section
from ampwright.reading import assumed, measured

ARMOURED = Cable(kind="armoured_90c", size_mm2=6, cores_count=3)
FLAT = Cable(kind="flat_twin_and_earth", size_mm2=6)


def job(*sections):
    return Job(route=tuple(sections))


def stretch(cable, length_m, method="C", through=()):
    return Section(name="a stretch", cable=cable, length_m=length_m, method=method, through=through)


def cut(of):
    to = Gathering()
    take_cables(of, to)
    return to.done()


def test_a_cut_by_hand():
    # 4 m clipped through a wall and 20 m in the ground: 24 x 1.03 = 24.72; 1 m at the board, 0.5 m at the charge
    # point, 2 x 0.1 m cut square, 0.3 m through the wall: 26.72 m
    wall = stretch(ARMOURED, measured(4), through=("cavity wall",))
    found = cut(job(wall, stretch(ARMOURED, measured(20), "D")))
    assert [cut.length_m.high for cut in found.cuts] == pytest.approx([26.72])
    assert found.cuts[0].name == "6 mm2 3-core armoured cable"
    assert found.missing == ()


def test_another_cable_on_the_way_is_another_cut_with_ends_at_the_box():
    # 5 m of flat: 5.15 + 1 + 0.3 + 0.2 = 6.65; 3 m armoured: 3.09 + 0.3 + 0.5 + 0.2 = 4.09
    found = cut(job(stretch(FLAT, measured(5)), stretch(ARMOURED, measured(3))))
    assert [cut.length_m.high for cut in found.cuts] == pytest.approx([6.65, 4.09])


def test_a_range_stays_a_range_and_what_is_not_known_is_asked():
    ranged = cut(job(stretch(FLAT, assumed(6, 11))))
    assert (ranged.cuts[0].length_m.low, ranged.cuts[0].length_m.high) == pytest.approx((7.88, 13.03))  # and 1.7
    asked = cut(job(stretch(replace(ARMOURED, cores_count=None), None)))
    assert asked.missing == ("route[0].cable.cores_count", "route[0].length_m")


@pytest.mark.parametrize(
    ("cable", "name", "count"),
    [
        # On-Site Guide Table D1: 16.6 mm armoured 400 mm level, 10 / 0.4 = 25; 13.5 mm flat 300 mm, 10 / 0.3 = 34.
        # One at the end, two at the hole, and a tenth to spare: 28 x 1.1 = 30.8; 37 x 1.1 = 40.7
        (ARMOURED, "cable cleat for 16.6 mm", 31), (FLAT, "cable clip for 13.5 mm", 41),
    ],
)  # fmt: skip
def test_fixings_by_the_spacing_of_the_table(cable, name, count):
    to = Gathering()
    take_fixings(job(stretch(cable, measured(10), through=("wall",)), stretch(cable, measured(30), "D")), to)
    needs = {each.name: each.need.high for each in to.done().items}
    assert needs == {name: count, "wall plug and screw": count}


def test_a_cable_of_no_table_is_to_be_measured():
    to = Gathering()
    take_fixings(job(stretch(replace(ARMOURED, size_mm2=7), measured(5))), to)
    assert to.done().missing == ("route[0].cable.sheath_mm",)


def test_glands_by_the_nominal_cable_against_the_gland_columns_of_two_published_sheets():
    # the sheets (gb/gland_for_cable, after copies of BS 5467 sheets) disagree among themselves on 3 of 32 cables
    sheets: dict[tuple[str, str], set[str]] = {}
    for row in rows("gb/gland_for_cable"):
        sheets.setdefault((row["cores_count"], row["size_mm2"]), set()).add(row["gland"])
    ours = {(row["cores_count"], row["size_mm2"]): gland_for(measured(float(row["under_armour_mm"])),
                                                             measured(float(row["overall_mm"])))
            for row in rows("gb/armoured_dimensions")}  # fmt: skip
    order = ["20S", "20", "25", "32", "40"]
    other = [key for key, gland in ours.items() if gland not in sheets[key]]
    assert other == [("2", "6"), ("3", "1.5"), ("3", "16"), ("4", "2.5"), ("4", "10")]  # misses, each by one size
    assert all(abs(order.index(ours[key] or "") - order.index(each)) == 1 for key in other for each in sheets[key])


@pytest.mark.parametrize(("under_mm", "over_mm", "gland"), [(None, None, "20"), (12.0, 17.0, "20"), (13.5, 21.5, "25")])
def test_a_measured_cable_goes_before_the_table(under_mm, over_mm, gland):
    cable = ARMOURED
    if under_mm is not None:
        cable = replace(ARMOURED, bedding_mm=measured(under_mm), sheath_mm=measured(over_mm))
    to = Gathering()
    take_glands(job(stretch(cable, measured(5))), to)
    found = to.done()
    assert {each.code: each.need.high for each in found.items} == {
        f"{gland} gland, type CW": 2, f"{gland} gland shroud": 2, f"{gland} mm earthing nut": 2}  # fmt: skip
    assert any("measure the very cable" in each for each in found.remarks) is (under_mm is None)


def glands_of(under_mm, over_mm):
    to = Gathering()
    take_glands(job(stretch(replace(ARMOURED, bedding_mm=under_mm, sheath_mm=over_mm), measured(5))), to)
    return to.done()


def test_a_gland_holds_both_ends_of_what_was_measured():
    # the sheath range of the 20S ends at 15.9 mm and that of the 20 begins at 12.5 mm (gb/gland_sizes): only the 20
    # holds 15.5 to 16.3 mm, though the middle, 15.9 mm, would take the 20S
    found = glands_of(measured(11.0), assumed(15.5, 16.3, "two offcuts"))
    assert found.items[0].code == "20 gland, type CW"
    assert "15.5 to 16.3 mm over the armour, as measured" in found.items[0].why


def test_a_range_that_no_one_gland_holds_is_to_be_measured_closer():
    # 25 ends at 26.2 mm and 32 begins at 23.7 mm: 22 to 27 mm is in neither
    found = glands_of(measured(19), assumed(22, 27))
    assert found.items == ()
    assert found.missing == ("route[0].cable.sheath_mm",)
    assert "25 at the least and 32 at the most" in found.remarks[-1]


@pytest.mark.parametrize(("over_mm", "said"), [(16.6, False), (17.1, False), (17.2, True), (16.0, True)])
def test_a_diameter_unlike_the_table_is_said(over_mm, said):
    # the table's 3-core 6 mm2 cable is 11.2 mm under and 16.6 mm over its armour; half a millimetre is let pass
    remarks = glands_of(measured(11.2), measured(over_mm)).remarks
    assert any("the table has 16.6 mm" in each for each in remarks) is said


def test_one_diameter_measured_and_the_other_by_the_table():
    found = glands_of(None, measured(16.4))
    assert "11.2 mm under and 16.4 mm over the armour, what is under it nominal" in found.items[0].why
    assert any("measure the very cable" in each for each in found.remarks)


def test_a_cable_that_no_gland_fits_is_said():
    to = Gathering()
    cable = replace(ARMOURED, bedding_mm=measured(60), sheath_mm=measured(80))
    take_glands(job(stretch(cable, measured(5))), to)
    assert "No gland is listed for 60 mm under and 80 mm over" in to.done().remarks[-1]


def test_drums_are_planned_by_kind_of_cable_and_unknown_jobs_are_named():
    known = job(stretch(ARMOURED, measured(20)))
    plans, unknown = plans_for([("one", known), ("two", known), ("three", job())], (50.0,), ())
    assert [len(drum.cuts) for drum in plans["6 mm2 3-core armoured cable"].drums] == [2]
    assert unknown == ("three",)


def test_nothing_is_cut_finer_than_a_centimetre_and_what_is_printed_adds_up():
    # 25.881 to 25.891 m is 25.89 and 25.9 up to the centimetre, slack of 3 % 0.7767 and 0.777 is 0.78 both, and at the
    # ends 1 + 0.5 + 0.2: 28.37 to 28.38
    found = take_off(job(stretch(ARMOURED, assumed(25.881, 25.891))))
    (cable,) = found.cuts
    assert (cable.length_m.low, cable.length_m.high) == (28.37, 28.38)
    assert round(cable.measured_m.high + sum(metres for _, metres in cable.allowed_m), 4) == cable.length_m.high
    metres = [end for each in found.items if each.unit == "m" for end in (each.need.low, each.need.high)]
    assert metres
    assert all(round(end, 2) == end for end in metres)
