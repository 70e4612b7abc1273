"""Why a paper is a draft: the gates, each of them alone, and which paper has which."""

from __future__ import annotations

import dataclasses
import datetime
from functools import lru_cache

import pytest
from own_prices import own_prices, own_text

from ampwright.assess.book import BOOK
from ampwright.assess.paperwork.boxes import BOXES
from ampwright.assess.testing.sheet import sheet
from ampwright.deliver.demo import demo_files
from ampwright.deliver.documents.book import PAPERS, every_paper
from ampwright.deliver.documents.draft import Gate, from_memory, gates, gates_by_paper, gates_of
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.signing import Signed
from ampwright.deliver.figures import read_figures
from ampwright.facts import rows
from ampwright.job.files import parse
from ampwright.job.paths import changed
from ampwright.job.record import Job, Person, Tests
from ampwright.reading import Reading, measured
from ampwright.rules.regulation import seen
from ampwright.working import Check, Step, Trust, Verdict

SIGNED = (Signed("installer", "B. Specimen", "3 June 2026, 14:05"),)
OWN = read_figures(own_prices())
MEMORY = Step("Ib", 32.0, "A", "", "from memory", Trust.MEMORY, "", "gb/table: column (row 1)")


@lru_cache(maxsize=1)
def bungalow() -> Job:
    """The demo's job whose tests were all done and are all met."""
    return parse(demo_files()["bungalow.yaml"])


def check(verdict: Verdict, **also) -> Check:
    kept = {"rule": "a_rule", "clause": "1.2", "edition": "an edition", "asks": "Is it so?", "says": "It is not.",
            "clause_trust": Trust.PRINTED} | also  # fmt: skip
    return Check(verdict=verdict, **kept)


def reasons(*checks, job=None, signed=SIGNED, confirmed=frozenset()):
    job = job or bungalow()
    return [(each.gate, each.says) for each in gates(job, checks, sheet(job), signed, confirmed)]


def test_nothing_stands_in_the_way_of_what_is_met_tested_signed_and_printed():
    assert reasons(check(Verdict.MET), check(Verdict.DOES_NOT_APPLY), check(Verdict.FOR_THE_DESIGNER)) == []


def test_a_check_that_is_not_met_or_not_yet_known_stands_in_the_way():
    found = reasons(check(Verdict.NOT_MET), check(Verdict.NOT_YET_KNOWN, asks="And this?", needs=("supply.ze_ohm",)))
    assert found[0] == (Gate.CHECK, "Not met: Is it so? It is not.")
    assert found[1][0] is Gate.OPEN
    assert found[1][1].startswith("Not yet known: And this? Find out: ")
    assert len(found) == 2


def test_what_waits_for_readings_of_the_tests_alone_is_a_matter_of_the_tests():
    of_tests = check(Verdict.NOT_YET_KNOWN, needs=("tests.r1r2_ohm", "tests.zs_ohm"))
    of_both = check(Verdict.NOT_YET_KNOWN, needs=("tests.r1r2_ohm", "supply.ze_ohm"))
    assert [gate for gate, _ in reasons(of_tests, of_both)] == [Gate.OPEN, Gate.TEST]


def test_every_paper_has_a_row_of_gates_and_what_it_has_not_a_row_for_has_all():
    assert list(gates_by_paper()) == list(PAPERS)
    assert gates_of("a paper of no row").of == frozenset(Gate) - {Gate.BOX, Gate.PRICE}


def test_what_may_be_unmet_is_a_rule_of_the_book_and_stands_on_the_notice_to_the_operator_alone():
    lenient = {paper: of.but_for for paper, of in gates_by_paper().items() if of.but_for}
    assert set(lenient) == {"network"}
    assert lenient["network"] < {rule.name for rule in BOOK.regulations}


def test_no_paper_but_that_goes_out_past_a_check_that_is_not_met():
    assert [paper for paper, of in gates_by_paper().items() if Gate.CHECK not in of.of] == []


@pytest.mark.parametrize("paper", ["tests", "commissioning", "handover"])
def test_what_says_that_it_may_be_used_passes_every_gate(paper):
    assert gates_of(paper).of == frozenset(Gate) - {Gate.BOX, Gate.PRICE}
    assert gates_of(paper).forms


def test_a_form_waits_for_its_own_boxes_and_the_certificate_for_those_of_its_schedules():
    numbers = {row["deliverable"][:2] for row in rows(BOXES)}
    assert {gates_of(each).forms for each in every_paper() if each not in PAPERS} == {frozenset({n}) for n in numbers}
    assert gates_of("tests").forms == {"09", "10", "11", "12"} < numbers
    assert gates_of("commissioning").forms == {"13"}
    assert gates_of("handover").forms == gates_of("tests").forms | gates_of("commissioning").forms


@pytest.mark.parametrize(("path", "held", "says"), [
    ("departures", {"tests", "handover"}, "Departures from BS 7671."),
    ("inspection.circuits", {"tests", "handover"}, "Inspection item 8: Circuits (distribution and final)."),
    ("circuit.number", {"tests", "handover"}, "Circuit number."),
    ("charge_point.made.serial", {"commissioning", "handover"}, "Charge point serial number."),
    ("site.nearest_emergency", set(), ""),
])  # fmt: skip
def test_a_compulsory_box_that_is_empty_holds_the_papers_that_have_it(path, held, says):
    made = dataclasses.replace(confirmed(pack(changed(bungalow(), {path: None}))), signed=SIGNED)
    assert {each for each in PAPERS if made.held_by(each)} == held
    assert all(each.gate is Gate.BOX and each.says.endswith(says) for each in made.held_by(*held))


def test_an_inspection_that_found_it_not_good_stands_in_the_way():
    assert reasons(job=changed(bungalow(), {"inspection.intake": "not good"})) == [
        (Gate.TEST, "Inspection: intake equipment, by eye: not good.")]  # fmt: skip
    assert reasons(job=changed(bungalow(), {"inspection.intake": "limited"})) == []


@pytest.mark.parametrize("path", ["tests.isolation_proved", "tests.rcd_button_works", "tests.connector_locks"])
def test_what_no_rule_judges_stands_in_the_way_until_it_is_done(path):
    (missing,) = reasons(job=changed(bungalow(), {path: None}))
    (failed,) = reasons(job=changed(bungalow(), {path: False}))
    assert (missing[0], missing[1].split(":")[0]) == (Gate.TEST, "Test missing")
    assert (failed[0], failed[1].split(":")[0]) == (Gate.TEST, "Test not passed")


def pack(job):
    return Pack(job, datetime.date(2026, 11, 21), OWN)


def confirmed(made):
    return dataclasses.replace(made, confirmed=frozenset((each.what, each.says) for each in from_memory(made.checks)))


def test_before_the_tests_the_quote_is_free_and_the_certificate_is_not():
    made = confirmed(pack(changed(bungalow(), {"tests": Tests()})))
    assert made.draft("quote") == made.draft("network") == made.draft("labels") == ()
    assert {each.gate for each in made.held_by("tests")} >= {Gate.TEST, Gate.PERSON}
    assert {each.gate for each in made.held_by("quote", "handover")} >= {Gate.TEST, Gate.PERSON}


SUPPLY_TOO_SMALL = {"supply.cutout.rating_a": measured(60)}


def test_that_the_supply_cannot_carry_it_holds_the_quote_and_not_the_question_to_the_operator():
    made = confirmed(pack(changed(bungalow(), SUPPLY_TOO_SMALL)))
    assert [(each.gate, each.of) for each in made.held_by("quote")] == [(Gate.CHECK, "cutout_carries_demand")]
    assert made.draft("network") == ()
    assert made.draft("network", "quote") == made.draft("quote")


@pytest.mark.parametrize("paper", ["network", "visit"])
def test_anything_else_that_is_not_met_holds_the_question_to_the_operator_and_the_visit_list_too(paper):
    made = confirmed(pack(changed(bungalow(), {**SUPPLY_TOO_SMALL, "circuit.device.rating_a": 16})))
    assert {each.gate for each in made.held_by(paper)} == {Gate.CHECK}
    assert "device_carries_design_current" in {each.of for each in made.held_by(paper)}
    assert ("cutout_carries_demand" in {each.of for each in made.held_by(paper)}) is (paper == "visit")


def test_a_question_open_holds_what_is_bought_and_not_what_is_offered():
    made = confirmed(pack(changed(bungalow(), {"supply.ze_ohm": None})))
    assert {each.gate for each in made.held_by("materials")} == {Gate.OPEN}
    assert made.draft("quote") == ()


def test_a_job_without_a_date_was_not_judged_by_the_edition_of_its_day():
    (found,) = reasons(job=changed(bungalow(), {"date": None}))
    assert found[0] is Gate.CHECK
    assert "no date" in found[1]


def test_a_test_that_was_not_done_stands_in_the_way():
    assert reasons(job=changed(bungalow(), {"tests.insulation_megohm": None})) == [
        (Gate.TEST, "Test missing: Insulation resistance.")]  # fmt: skip


ODD = seen(bungalow().tests.r1r2_ohm).high * 2.5


def test_a_reading_that_is_not_plausible_stands_in_the_way():
    job = changed(bungalow(), {"tests.r1r2_ohm": measured(ODD)})
    (found, *_) = reasons(job=job)
    assert found[0] is Gate.TEST
    assert found[1].startswith("Test not plausible: Continuity of the protective conductor")


def test_a_stated_reason_lets_it_pass():
    job = changed(bungalow(), {"tests.r1r2_ohm": Reading(ODD, ODD, "read through a joint of the old circuit")})
    assert not [says for _, says in reasons(job=job) if "Continuity" in says]


def test_each_person_who_signs_must_have_signed():
    assert [gate for gate, _ in reasons(signed=())] == [Gate.PERSON] * 3
    assert reasons(signed=())[1] == (Gate.PERSON, "Not signed: built by B. Specimen.")


def test_a_named_inspector_signs_for_the_tests():
    job = dataclasses.replace(bungalow(), people=(*bungalow().people, Person(role="inspector", name="G. Example")))
    assert reasons(job=job) == [(Gate.PERSON, "Not signed: inspected and tested by G. Example.")]
    assert reasons(job=job, signed=(*SIGNED, Signed("inspector", "G. Example", "today"))) == []


@pytest.mark.parametrize("people", [(), (Person(role="installer"),)])
def test_nobody_named_is_nobody_signed(people):
    found = reasons(job=dataclasses.replace(bungalow(), people=people))
    assert [gate for gate, _ in found] == [Gate.PERSON] * 3
    assert found[0][1] == "Nobody is named as designer, who signs: designed by."


def test_a_number_from_memory_stands_in_the_way_until_it_is_confirmed():
    of = check(Verdict.MET, working=(MEMORY, MEMORY))
    assert reasons(of) == [(Gate.MEMORY, "From memory: gb/table: column (row 1)")]
    assert reasons(of, confirmed=frozenset({("gb/table: column (row 1)", "32 A")})) == []


def test_a_confirmation_of_another_value_confirms_nothing():
    of = check(Verdict.MET, working=(MEMORY,))
    assert reasons(of, confirmed=frozenset({("gb/table: column (row 1)", "40 A")}))


def test_a_clause_from_memory_stands_in_the_way_until_it_is_confirmed_in_its_edition():
    memory = check(Verdict.MET, clause="3.4", clause_trust=Trust.MEMORY)
    idle = check(Verdict.DOES_NOT_APPLY, clause="5.6", clause_trust=Trust.MEMORY)
    assert reasons(memory, idle) == [(Gate.MEMORY, "What these clauses hold rests on memory: 3.4.")]
    assert reasons(memory, confirmed=frozenset({("clause 3.4", "an edition")})) == []
    assert reasons(memory, confirmed=frozenset({("clause 3.4", "the edition before")}))


def test_a_whole_job_can_pass_every_gate():
    made = dataclasses.replace(pack(bungalow()), signed=SIGNED)
    assert {each.gate for each in made.gates} == {Gate.MEMORY}
    assert confirmed(made).gates == ()


def test_prices_that_are_invented_hold_what_is_priced_and_nothing_else():
    made = confirmed(dataclasses.replace(pack(bungalow()), signed=SIGNED))
    half, none = (dataclasses.replace(made, figures=read_figures(texts))
                  for texts in ({"prices": own_text("price_book")}, {}))
    assert [len(each.gates) for each in (made, half, none)] == [0, 1, 2]
    assert {each.gate for each in none.gates} == {Gate.PRICE}
    assert {each for each in PAPERS if half.held_by(each)} == {"quote", "costs"}
