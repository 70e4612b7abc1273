"""The catalogue of choices: what is shipped, what a faulty one is told, and what a choice does to a job."""

import math
from itertools import groupby

import pytest
from catalogues import written
from jobs import change, house

from ampwright.assess.catalogue import AXES, Cost, applied, offered, read_catalogue
from ampwright.assess.catalogue_cells import SET_NOTHING, Condition
from ampwright.facts import look_up, rows
from ampwright.job.fields import fields, leaves
from ampwright.job.paths import at
from ampwright.reading import assumed, measured

SHIPPED = read_catalogue()


def chosen(axis, cells):
    return read_catalogue(written({axis: cells})).axis(axis)[0]


def shipped(axis, name):
    return next(each for each in SHIPPED.axis(axis) if each.id == name)


@pytest.mark.parametrize("axis", AXES)
def test_the_shipped_one_has_every_axis_and_says_that_its_prices_are_invented(axis):
    assert SHIPPED.axis(axis)
    assert all(each.note.startswith("invented demo price") for each in SHIPPED.axis(axis))


def test_every_field_that_a_shipped_row_speaks_of_is_in_the_record():
    spoken = {path for each in SHIPPED.choices for path, _ in each.sets}
    spoken |= {asked.path for each in SHIPPED.choices for asked in each.offered_where}
    assert len(spoken) > 40
    assert spoken <= set(leaves())


def test_every_choice_of_a_device_and_of_a_cable_leaves_nothing_of_the_last_one_behind():
    for axis in ("protection", "cable"):
        sets = [{path for path, value in each.sets if ".rcd." not in path and path != "route[].method"}
                for each in SHIPPED.axis(axis)]  # fmt: skip
        assert all(each == sets[0] for each in sets)
    for each in SHIPPED.axis("protection"):
        fitted = [at_rcd for at_rcd in ("circuit.rcd", "charge_point.rcd") if dict(each.sets)[f"{at_rcd}.fitted"]]
        assert len(fitted) == 1
        said = {f"{fitted[0]}.{part}" for part in ("type", "idn_ma", "poles", "delayed", "bidirectional")}
        assert said <= set(dict(each.sets))


def test_every_device_and_cable_shipped_stands_in_the_tables():
    for each in SHIPPED.axis("protection"):
        sets = {path.removeprefix("circuit.device."): value for path, value in each.sets}
        kind = "mcb" if sets["kind"] == "rcbo" else sets["kind"]
        look_up("gb/max_zs", "zs_ohm", device=kind, curve=sets["curve"] or "-", rating_a=sets["rating_a"], time_s=0.4)
    for each in SHIPPED.axis("cable"):
        sets = {path.rpartition(".")[2]: value for path, value in each.sets}
        look_up("gb/volt_drop", "mv_per_a_m", cable=sets["kind"], loaded_count=2, size_mm2=sets["size_mm2"])
        methods = (sets["method"],) if "method" in sets else each.offered_where[0].values
        for method in methods:
            look_up("gb/cable_ratings", "it_a", cable=sets["kind"], method=method, loaded_count=2,
                    size_mm2=sets["size_mm2"])  # fmt: skip
        if sets["kind"].startswith("armoured"):
            look_up("gb/armour_resistance", "r20_ohm_per_km", cores_count=sets["cores_count"],
                    size_mm2=sets["size_mm2"])  # fmt: skip


def test_more_metal_never_costs_less():
    def family(each):
        return tuple(str(value) for path, value in each.sets if not path.endswith("_mm2"))

    def size_mm2(each):
        return dict(each.sets)["route[].cable.size_mm2"]

    cables = sorted(SHIPPED.axis("cable"), key=lambda each: (family(each), size_mm2(each)))
    groups = [list(group) for _, group in groupby(cables, key=family)]
    assert len(groups) == 18  # flat, singles at 70 and 90, seven armoured builds at each, one with a data pair
    for group in groups:
        assert len(group) > 2
        assert [each.per_m.pence for each in group] == sorted({each.per_m.pence for each in group})


def test_a_buried_stretch_between_two_on_a_wall_has_80_640_ways_of_cable_alone():
    job = house()
    counts = [sum(offered(each, change(job, {"route[0].method": method}), 0) for each in SHIPPED.axis("cable"))
              for method in ("C", "D", "C")]  # fmt: skip
    # C: 5 flat, 8 singles, 2 x 4 builds x 4 sizes of armoured, 3 with data; D: the armoured alone
    assert counts == [48, 35, 48]
    others = [sum(offered(each, job) for each in SHIPPED.axis(axis)) for axis in ("charging", "protection", "earthing")]
    assert math.prod(counts) * math.prod(others) > 100_000_000


def test_what_a_choice_offers_and_fixes_is_read_from_its_row():
    cable = read_catalogue(written()).axis("cable")[0]
    assert cable.per_m == Cost(pence=310)
    assert cable.offered_where == (Condition("route[].method", "=", ("C", "D")),)
    assert cable.changes(1)["route[1].cable.size_mm2"] == 6.0
    assert cable.changes(1)["route[1].cable.carries_data"] is False
    with pytest.raises(ValueError, match="say which stretch"):
        cable.changes()
    assert read_catalogue(written()).labour_pence_per_h == 4000


def test_a_reading_that_is_chosen_says_so():
    switch = applied(house(), chosen("main switch", {})).installation.main_switch_a
    assert switch == assumed(100, 100, "chosen from the catalogue")


def test_none_clears_but_is_a_word_where_the_list_has_it():
    job = change(house(), {"charge_point.set_a": 20.0, "electrode.measured_ohm": measured(90)})
    assert applied(job, chosen("charging", {})).charge_point.set_a is None
    rods = applied(job, chosen("earthing", {}))
    assert rods.electrode.measured_ohm is None
    assert rods.charge_point.open_pen == "none"


def test_a_choice_changes_nothing_but_what_it_says():
    job = house()
    for each in SHIPPED.choices:
        number = 0 if each.axis == "cable" else None
        after, changes = applied(job, each, number), each.changes(number)
        assert all(at(after, path) == value for path, value in changes.items())
        back = change(after, {path: at(job, path) for path in changes})
        assert back == job


@pytest.mark.parametrize(
    ("asks", "size", "is_offered"),
    [
        ("supply.tails.size_mm2<25", None, True),
        ("supply.tails.size_mm2<25", measured(16), True),
        ("supply.tails.size_mm2<25", measured(25), False),
        ("supply.tails.size_mm2<25", assumed(16, 25, "not read"), True),
        ("supply.tails.size_mm2>16", assumed(16, 25, "not read"), True),
        ("supply.tails.size_mm2>25", assumed(16, 25, "not read"), False),
        ("supply.tails.size_mm2=16|35", assumed(10, 25, "not read"), True),
        ("supply.tails.size_mm2=35", assumed(10, 25, "not read"), False),
        ("supply.tails.size_mm2!=16", measured(16), False),
        ("supply.tails.size_mm2!=16|25", measured(25), False),
        ("supply.tails.size_mm2!=16", assumed(16, 25, "not read"), True),
        ("supply.tails.size_mm2>10; supply.tails.size_mm2<16", measured(25), False),
    ],
)
def test_a_choice_is_offered_where_any_value_that_may_be_there_would_do(asks, size, is_offered):
    job = change(house(), {"supply.tails.size_mm2": size})
    assert offered(chosen("tails", {"offered_where": asks}), job) is is_offered


@pytest.mark.parametrize(
    ("axis", "name", "path", "value", "is_offered"),
    [
        ("charging", "three 32", "supply.phases", 1, False),
        ("charging", "three 32", "supply.phases", 3, True),
        ("charging", "three 32", "supply.phases", None, True),
        ("earthing", "own 2x1.2", "supply.earthing", "TT", False),
        ("earthing", "window", "supply.earthing", "TN-S", True),
        ("earthing", "none on TT", "supply.earthing", "TT", True),
        ("earthing", "none on TT", "supply.earthing", "TN-C-S", False),
        ("board", "free way", "installation.spare_way", False, False),
        ("board", "free way", "installation.spare_way", None, True),
    ],
)
def test_shipped_choices_are_offered_where_they_belong(axis, name, path, value, is_offered):
    assert offered(shipped(axis, name), change(house(), {"electrode.fitted": None, path: value})) is is_offered


def test_on_a_tt_supply_the_electrode_of_the_house_is_left_alone():
    job = change(house(), {"supply.earthing": "TT", "electrode.fitted": True})
    left = [each for each in SHIPPED.axis("earthing") if offered(each, job)]
    assert [each.id for each in left] == ["none on TT", *(f"house rods {count}" for count in (1, 2, 3, 4))]
    assert not any(path.startswith("electrode.") for path in left[0].changes())
    assert not offered(left[0], change(job, {"electrode.fitted": False}))


def test_every_number_that_a_choice_may_set_has_ends():
    numbers = {path for each in SHIPPED.choices for path, value in each.sets if type(value) is float}
    assert numbers
    assert all(fields()[path].low is not None for path in numbers)


def test_a_cost_is_no_change():
    assert all(not each.sets for axis in SET_NOTHING for each in SHIPPED.axis(axis))
    with pytest.raises(KeyError):
        SHIPPED.axis("paint")


def test_the_rate_of_vat_for_a_charge_point_is_the_standard_rate_of_its_day():
    # the pages named in sources.csv: 20 % from 4 January 2011; a charge point is no energy-saving material
    rates = {row["supply"]: (row["rate_percent"], row["until"]) for row in rows("gb/vat")}
    assert rates["charge_point_at_home"] == rates["standard_rated"] == ("20", "")
