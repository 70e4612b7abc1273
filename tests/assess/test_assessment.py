"""A whole job judged, and the ranking of what to find out."""

from ampwright.assess.assessment import assess, possible_answers
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
    # 45.5 m may be lost in all and 4 m are indoors: with 1 m of wall the garden still decides between 30 and 60 m,
    # but with 40 m of wall 30 m of garden fail already
    assert found["route[2].length_m"].settles == ()
    assert found["route[2].length_m"].may_settle == ("voltage_drop",)


def test_what_settles_does_so_whatever_is_found():
    """Every answer that can be tried leaves no check open that the list says it settles."""
    terrace = parse(demo_files()["terrace.yaml"])
    listed = assess(terrace).to_find_out
    assert any(each.settles for each in listed)
    for each in listed:
        for answer in possible_answers(terrace, each.path):
            checks = {check.rule: check for check in assess(replaced(terrace, each.path, answer)).checks}
            assert all(checks[rule].verdict is not Verdict.NOT_YET_KNOWN for rule in each.settles)


def test_what_an_answer_would_raise_next_is_in_the_list():
    # the main switch is judged against a cut-out that was only guessed at: its rating alone does not decide
    listed = {each.path: each for each in assess(parse(demo_files()["terrace.yaml"])).to_find_out}
    assert "main_switch_carries_demand" in listed["installation.main_switch_a"].asked_by
    assert "supply.cutout.rating_known_by" in listed


def test_the_status_is_that_of_the_worst_answer():
    assert assess(HOUSE, only="voltage_drop").exit_status == 0
    assert assess(replaced(HOUSE, "route[1].length_m", measured(60)), only="voltage_drop").exit_status == 1
    assert assess(replaced(HOUSE, "route[1].length_m", None), only="voltage_drop").exit_status == 2


def test_every_verdict_is_counted():
    whole = assess(HOUSE)
    assert sum(whole.count(verdict) for verdict in Verdict) == len(whole.checks)
