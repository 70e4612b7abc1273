"""What is the same on every job of the firm is given once."""

from __future__ import annotations

import dataclasses

import pytest

from ampwright.assess.paperwork.boxes import boxes_of
from ampwright.assess.paperwork.counting import coverage
from ampwright.deliver.demo import FINISHED, demo_files
from ampwright.job.faults import BadJobFile
from ampwright.job.files import parse
from ampwright.job.firm import read_firm, with_firm
from ampwright.job.paths import at
from ampwright.job.record import Firm, Job, Person
from ampwright.job.testing import Instrument

WHOLE = parse(demo_files()[FINISHED])
CUSTOMER, INSTALLER = WHOLE.people
FIRM = Job(people=(dataclasses.replace(INSTALLER, signature=None),), firm=WHOLE.firm,
           tests=dataclasses.replace(Job().tests, instruments=WHOLE.tests.instruments))  # fmt: skip
SIGNED = Person(role="installer", signature=INSTALLER.signature)
BARE = dataclasses.replace(WHOLE, people=(CUSTOMER, SIGNED), firm=Firm(),
                           tests=dataclasses.replace(WHOLE.tests, instruments=()))  # fmt: skip
TEXT = """version: 2
people:
  - {role: installer, name: B. Specimen, organisation: Specimen Electrical, registration: EXAMPLE-0001}
firm: {vat_number: EXAMPLE-VAT-1}
tests: {instruments: [{name: multifunction tester, serial: EXAMPLE-MFT-1}]}
"""


def test_a_job_without_its_firm_is_whole_with_it():
    assert BARE != WHOLE
    assert with_firm(BARE, FIRM) == WHOLE


def test_not_one_entry_of_the_firm_is_typed_in_the_job_and_no_box_is_lost():
    today = WHOLE.date
    assert today is not None
    before = coverage(WHOLE, boxes_of(WHOLE, today))
    typed = [path for path in before.entries["the firm"] if at(WHOLE, path) == at_or_none(BARE, path)]
    assert typed == ["people[1].role"]  # of the row that holds his signature, which is of one job
    assert len(before.entries["the firm"]) >= 16
    after = coverage(with_firm(BARE, FIRM), boxes_of(with_firm(BARE, FIRM), today))
    assert len(after.filled) == len(before.filled)
    assert len(coverage(BARE, boxes_of(BARE, today)).filled) < len(before.filled)


def at_or_none(job, path):
    try:
        return at(job, path)
    except IndexError:
        return None


def test_what_the_job_says_itself_stands():
    own = Instrument(name="borrowed tester")
    job = dataclasses.replace(BARE, firm=Firm(insurance="of this job"),
                              tests=dataclasses.replace(BARE.tests, instruments=(own,)))  # fmt: skip
    made = with_firm(job, FIRM)
    assert made.firm == dataclasses.replace(WHOLE.firm, insurance="of this job")
    assert made.tests.instruments == (own,)


def test_another_installer_of_the_firm_has_its_enrolment_and_not_the_others_telephone():
    other = Person(role="installer", name="G. Other")
    (made,) = with_firm(Job(people=(other,)), FIRM).people
    assert (made.name, made.registration, made.organisation) == ("G. Other", "EXAMPLE-0001", "Specimen Electrical")
    assert (made.phone, made.email) == (None, None)


def test_a_job_that_names_no_installer_has_the_firms():
    assert [each.name for each in with_firm(Job(), FIRM).people] == ["B. Specimen"]
    assert with_firm(WHOLE, Job()) == WHOLE


def test_a_firm_file_has_what_is_the_firms_and_nothing_of_a_job(tmp_path):
    file = tmp_path / "firm.yaml"
    file.write_text(TEXT, encoding="utf-8")
    firm = read_firm(file)
    assert firm.people[0].registration == "EXAMPLE-0001"
    assert firm.tests.instruments[0].serial == "EXAMPLE-MFT-1"
    file.write_text(TEXT.replace("tests: {", "title: a job\nsupply: {phases: 1}\ntests: {r1r2_ohm: 0.1, ")
                    .replace("role: installer,", "role: installer, signature: x.svg,"), encoding="utf-8")  # fmt: skip
    with pytest.raises(BadJobFile) as bad:
        read_firm(file)
    assert [each.path for each in bad.value.faults] == ["people", "supply", "tests", "title"]
    file.write_text("version: 2\npeople: [{role: customer, name: A}]\n", encoding="utf-8")
    with pytest.raises(BadJobFile, match="whose role is installer"):
        read_firm(file)
