"""Why a paper is a draft."""

from __future__ import annotations

import dataclasses
import datetime

from ampwright.assess.assessment import Assessment, assess
from ampwright.deliver.documents.draft import reasons
from ampwright.job.record import Job
from ampwright.working import Check, Step, Trust, Verdict

DATED = Job(date=datetime.date(2026, 11, 21))


def check(verdict: Verdict, **also) -> Check:
    kept = {"rule": "a_rule", "clause": "1.2", "edition": "an edition", "asks": "Is it so?", "says": "It is not.",
            "clause_trust": Trust.PRINTED} | also  # fmt: skip
    return Check(verdict=verdict, **kept)


def of(*checks: Check) -> Assessment:
    return dataclasses.replace(assess(DATED), checks=checks)


def test_nothing_stands_in_the_way_of_a_job_that_is_met_and_printed():
    assert reasons(DATED, of(check(Verdict.MET), check(Verdict.DOES_NOT_APPLY))) == ()


def test_each_thing_that_stands_in_the_way_is_named():
    memory = Step("Ib", 32.0, "A", "", "from memory", Trust.MEMORY, "", "gb/table: column (row 1)")
    found = reasons(Job(), of(
        check(Verdict.NOT_MET),
        check(Verdict.NOT_YET_KNOWN, asks="And this?", needs=("supply.ze_ohm",)),
        check(Verdict.MET, working=(memory, memory), clause="3.4", clause_trust=Trust.MEMORY),
        check(Verdict.DOES_NOT_APPLY, clause="5.6", clause_trust=Trust.MEMORY),
    ))  # fmt: skip
    assert found[0] == "Not met: Is it so? It is not."
    assert found[1].startswith("Not yet known: And this? Find out: ")
    assert "Ze" in found[1]
    assert found[2].startswith("The job has no date")
    assert found[3:] == ("From memory: gb/table: column (row 1)", "What these clauses hold rests on memory: 3.4.")


def test_checks_beside_the_book_count_as_well():
    also = (check(Verdict.NOT_MET, says="The sensor is turned."),)
    assert reasons(DATED, of(check(Verdict.MET)), also) == ("Not met: Is it so? The sensor is turned.",)
