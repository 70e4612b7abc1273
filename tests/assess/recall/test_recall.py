"""Which past jobs hold what was asked. What each job holds is written here by hand."""

from __future__ import annotations

import datetime

import pytest
from jobs import change, house

from ampwright.assess.recall.condition import BadCondition, Holds, condition, says
from ampwright.assess.recall.finding import find
from ampwright.job.record import Job
from ampwright.reading import assumed, measured

HOUSE = house()
JOBS = (
    ("house", change(HOUSE, {"charge_point.made.serial": "SN 0042-b"})),
    ("thick", change(HOUSE, {"route[1].cable.size_mm2": 10, "route[2].cable.size_mm2": 10})),
    ("range", change(HOUSE, {"route[1].length_m": assumed(15, 25, "paced"), "charge_point.set_a": 16})),
    ("blank", Job(title="nothing looked at yet")),
)


def asked(*texts, under=""):
    return {each.name: each.holds for each in find(JOBS, [condition(each) for each in texts], under)}


def test_a_cable_is_found_by_its_path_and_by_the_words_of_its_label():
    for text in ("route[].cable.size_mm2 = 10", "cable.size_mm2 = 10", "route.cable.size_mm2 >= 10"):
        assert asked(text) == {"thick": Holds.YES, "blank": Holds.NOT_LOOKED}
    found = asked("kind of cable = Armoured 90C")
    assert found == {"house": Holds.YES, "thick": Holds.YES, "range": Holds.YES, "blank": Holds.NOT_LOOKED}


def test_two_conditions_on_a_stretch_are_met_by_one_stretch():
    """The thick job has flat cable of 6 mm2 and armoured cable of 10 mm2, but no flat cable of 10 mm2."""
    assert asked("cable.kind = flat_twin_and_earth", "cable.size_mm2 = 10") == {"blank": Holds.NOT_LOOKED}
    assert asked("cable.kind = armoured_90c", "cable.size_mm2 = 10")["thick"] is Holds.YES


@pytest.mark.parametrize(
    ("text", "holds"),
    [
        ("route.length_m = 10 to 30", Holds.YES),
        ("route.length_m = 20 to 30", Holds.MAY),
        ("route.length_m > 20", Holds.MAY),
        ("route.length_m >= 25", Holds.MAY),
        ("route.length_m > 25", None),
        ("route.length_m = 18", Holds.MAY),
        ("charge_point.set_a = 16", Holds.YES),
        ("charge_point.set_a != 16", None),
    ],
)
def test_a_range_holds_for_certain_only_with_both_its_ends(text, holds):
    assert asked(text).get("range") is holds


def test_a_setting_that_nobody_looked_at_is_told_apart():
    unseen = dict.fromkeys(("house", "thick", "blank"), Holds.NOT_LOOKED)
    assert asked("charge_point.set_a <= 20") == {**unseen, "range": Holds.YES}


def test_what_was_looked_for_and_is_not_there_has_no_settings():
    assert "house" not in asked("load_cap.limit_a >= 40")
    assert asked("load_cap.limit_a >= 40") == {"blank": Holds.NOT_LOOKED}


def test_a_serial_number_is_found_in_any_words():
    (found,) = find(JOBS, [says("sn 0042")])
    assert found.name == "house"
    assert [hit.path for hit in found.hits] == ["charge_point.made.serial"]


def test_a_field_alone_asks_whether_anything_is_said():
    assert list(asked("charge_point.made.serial")) == ["house"]


def test_days_and_yes_and_no():
    day = change(HOUSE, {"dates.installed": datetime.date(2026, 5, 1)})
    for text, found in (("dates.installed = 2026-01-01 to 2026-06-30", True), ("dates.installed < 2026-05-01", False)):
        assert bool(list(find([("day", day)], [condition(text)]))) is found
    assert list(asked("supply.looped = yes")) == ["blank"]
    assert "house" in asked("supply.looped = no")


def test_jobs_judged_under_an_edition():
    old, new = change(HOUSE, {"date": datetime.date(2025, 1, 1)}), change(HOUSE, {"date": datetime.date(2026, 6, 1)})
    jobs = [("old", old), ("new", new)]
    assert [each.name for each in find(jobs, [], "a2:2022")] == ["old"]
    assert [each.name for each in find(jobs, [], "A4:2026")] == ["new"]
    assert [each.name for each in find(jobs, [])] == ["old", "new"]


@pytest.mark.parametrize(
    ("text", "says_why"),
    [
        ("set_a = ten", "'ten' is not a number"),
        ("set_a ~ 10", "look"),
        ("set_a = 20 to 10", "smaller end first"),
        ("supply.looped = maybe", "write = yes or = no"),
        ("dates.installed = 1/5/2026", "2026-11-20"),
        ("cable.kind > armoured_90c", "write =, != or ~"),
        ("kindof cabel", "Did you mean"),
        ("= 10", "wants a field"),
        ("set_a =", "wants a field"),
        ("the of", "say more"),
    ],
)
def test_what_cannot_be_understood_says_why(text, says_why):
    with pytest.raises(BadCondition, match=says_why):
        condition(text)


def test_what_was_measured_exactly_is_that():
    assert asked("route.length_m = 20")["house"] is Holds.YES
    assert measured(20).exact
