"""A whole job judged, and the ranking of what to find out."""

from ampwright.assess.assessment import assess
from ampwright.deliver.demo import demo_files
from ampwright.job.files import parse
from ampwright.job.paths import replaced
from ampwright.reading import assumed, measured
from ampwright.working import Verdict

HOUSE = parse(demo_files()["house_with_garage.yaml"])


def test_a_reading_that_alone_decides_is_said_to_settle():
    # 7.9 mV/A/m x 32 A: 11.5 V is reached at 45.5 m; the two other stretches are 9 m, so this one turns at 36.5 m
    wide = replaced(HOUSE, "route[1].length_m", assumed(30, 60, "not measured"))
    first = next(each for each in assess(wide).to_find_out if each.path == "route[1].length_m")
    assert "voltage_drop" in first.asked_by
    assert "voltage_drop" in first.settles


def test_one_of_two_ranges_does_not_settle_alone():
    wide = replaced(HOUSE, "route[1].length_m", assumed(30, 60, "not measured"))
    wider = replaced(wide, "route[2].length_m", assumed(1, 40, "not measured"))
    found = {each.path: each for each in assess(wider, only="voltage_drop").to_find_out}
    assert set(found) == {"route[1].length_m", "route[2].length_m"}
    # 1.2 m of garage wall would leave 30 m passing and 60 m failing; with the garden at 30 m the wall decides
    assert "voltage_drop" not in found["route[2].length_m"].settles


def test_the_status_is_that_of_the_worst_answer():
    assert assess(HOUSE, only="voltage_drop").exit_status == 0
    assert assess(replaced(HOUSE, "route[1].length_m", measured(60)), only="voltage_drop").exit_status == 1
    assert assess(replaced(HOUSE, "route[1].length_m", None), only="voltage_drop").exit_status == 2


def test_every_verdict_is_counted():
    whole = assess(HOUSE)
    assert sum(whole.count(verdict) for verdict in Verdict) == len(whole.checks)
