"""A load cap is counted only where it is borne out: in the demand, the tails, the notice, and in designs."""

import re
from dataclasses import replace

import pytest
from intake import amps
from situations import LIMIT, capped

from ampwright.assess.assessment import assess
from ampwright.assess.book import BOOK, COUNTING, READ, load_cap_stands
from ampwright.assess.catalogue import Catalogue, read_catalogue
from ampwright.assess.design import STANDS_IF, propose
from ampwright.assess.load_cap.report import report
from ampwright.assess.search.tracing import Trace
from ampwright.deliver.demo import demo_files
from ampwright.job.files import parse
from ampwright.job.paths import changed
from ampwright.reading import measured
from ampwright.rules.gb.book import GB
from ampwright.working import Verdict

SAYS_OF_THE_SETTING = {"load_cap_counts", "labels_to_fix"}
EIGHTY = {"supply.cutout.rating_a": measured(80), "supply.cutout.sustained_a": 80.0}
SLOW = {f"{LIMIT}.response_s": 60.0, f"{LIMIT}.watchdog_s": 60.0, f"{LIMIT}.message_every_s": 10.0}
VERY_SLOW = {f"{LIMIT}.response_s": 600.0, f"{LIMIT}.watchdog_s": 600.0, f"{LIMIT}.message_every_s": 600.0}
WHOLE_CABLE = {"sensors[0].reach": "whole cable only"}


def eighty(changes, limit_a=75.0):
    """54 A and 20 A of house and 32 A of car on an 80 A cut-out: without a load cap it does not carry them."""
    return capped({**EIGHTY, f"{LIMIT}.limit_a": limit_a, **changes}, 50.0, 20.0)


def verdicts(job):
    return {check.rule: check.verdict for check in assess(job).checks}


def test_a_load_cap_that_stands_is_counted():
    found = verdicts(eighty({}))
    assert found["load_cap_stands"] is found["cutout_carries_demand"] is Verdict.MET


@pytest.mark.parametrize(
    "job",
    [eighty(SLOW, 57.0), eighty(VERY_SLOW, 80.0), eighty({}, 80.0), eighty({}, 77.0), eighty(WHOLE_CABLE),
     eighty({f"{LIMIT}.fallback_a": 32.0}), eighty({"sensors[0].rated_a": 600.0}, 20.0),
     eighty({"sensors[0].lost_percent": 12.0}), eighty({"sensors[0].link": "radio", "sensors[0].lost_percent": 1.0})],
    ids=["slow", "very slow", "as high as the cut-out", "an ampere too high", "round the whole cable",
         "falls back to the full current", "below what the class promises", "readings lost", "by radio at 75 A"],
)  # fmt: skip
def test_a_load_cap_that_does_not_stand_is_counted_nowhere(job):
    found = assess(job)
    of = {check.rule: check for check in found.checks}
    assert of["load_cap_stands"].verdict is Verdict.NOT_MET
    assert of["cutout_carries_demand"].verdict is Verdict.NOT_MET
    assert of["cutout_carries_demand"].says.endswith("The load cap is not counted: as it is set it does not stand.")
    assert found.exit_status == 1
    assert report(job, attacked=False).exit_status == 1


@pytest.mark.parametrize(("changes", "needs"), [
    ({"sensors": ()}, "sensors"),
    ({f"{LIMIT}.response_s": None}, f"{LIMIT}.response_s"),
    ({"supply.cutout.rating_a": measured(100), "supply.cutout.sustained_a": None, f"{LIMIT}.limit_a": 90.0},
     "supply.cutout.sustained_a"),
])  # fmt: skip
def test_what_decides_whether_it_stands_is_asked(changes, needs):
    loads = {"installation.loads": amps(70.0)} if "supply.cutout.rating_a" in changes else {}
    job = changed(eighty({}), {**changes, **loads})
    of = {check.rule: check for check in assess(job).checks}
    assert of["load_cap_stands"].verdict is of["cutout_carries_demand"].verdict is Verdict.NOT_YET_KNOWN
    assert needs in of["load_cap_stands"].needs
    assert needs in of["cutout_carries_demand"].needs


def test_a_fuse_whose_gates_are_not_held_leaves_it_to_the_designer():
    found = verdicts(eighty({"supply.cutout.kind": "bs3036"}))
    assert found["load_cap_stands"] is found["cutout_carries_demand"] is Verdict.FOR_THE_DESIGNER


def test_a_sensor_that_the_readings_show_to_be_wrong_takes_the_cap_from_every_check():
    found = verdicts(parse(demo_files()["house_with_garage.yaml"]))
    assert found["load_cap_stands"] is Verdict.NOT_MET
    assert found["cutout_carries_demand"] is Verdict.NOT_MET


def test_a_house_that_needs_no_load_cap_is_met_without_one():
    job = capped({f"{LIMIT}.limit_a": 99.0, **SLOW}, 20.0)
    found = verdicts(job)
    assert found["load_cap_stands"] is Verdict.NOT_MET
    assert found["cutout_carries_demand"] is Verdict.MET


def test_without_a_load_cap_nothing_is_asked():
    assert load_cap_stands(capped({f"{LIMIT}.fitted": False})).verdict is Verdict.DOES_NOT_APPLY


def test_it_reads_no_more_of_a_job_than_its_answers_are_kept_under():
    for job in (eighty({}), eighty({"sensors[0].link": "radio"}), parse(demo_files()["house_with_garage.yaml"]),
                parse(demo_files()["farmhouse.yaml"])):  # fmt: skip
        trace = Trace(job)
        trace.forget()
        load_cap_stands(trace.job)
        assert {re.split(r"[.\[]", path)[0] for path in trace.read} <= set(READ)


def test_every_rule_that_counts_a_load_cap_is_named():
    job = capped({f"{LIMIT}.limit_a": 90.0}, 70.0)
    reads = set()
    for rule in GB.regulations:
        trace = Trace(job)
        trace.forget()
        rule(trace.job)
        if f"{LIMIT}.limit_a" in trace.read:
            reads.add(rule.name)
    assert reads <= set(COUNTING) | SAYS_OF_THE_SETTING
    assert set(COUNTING) - reads == {"cutout_carries_recorded_demand"}  # this house has no readings of a year


def test_the_book_has_one_rule_more_and_no_other():
    names = [each.name for each in BOOK.regulations]
    assert [name for name in names if name != "load_cap_stands"] == [each.name for each in GB.regulations]


def test_no_design_with_a_slow_load_cap_is_called_safe():
    slow = {"charge_point.load_cap.response_s": 60.0, "charge_point.load_cap.watchdog_s": 60.0,
            "charge_point.load_cap.message_every_s": 10.0}  # fmt: skip
    slowed = Catalogue(tuple(replace(each, sets=tuple((path, slow.get(path, value)) for path, value in each.sets))
                             for each in read_catalogue().choices))  # fmt: skip
    proposal = propose(parse(demo_files()["house_with_garage.yaml"]), slowed)
    assert all(each.job.charge_point.load_cap.fitted is False for each in proposal.front)


def test_a_design_whose_sensor_is_not_known_hangs_on_it():
    job = changed(parse(demo_files()["house_with_garage.yaml"]), {"sensors": ()})
    proposal = propose(job, read_catalogue())
    assert proposal.front
    assert {each.standing for each in proposal.front if each.job.charge_point.load_cap.fitted} == {STANDS_IF}
