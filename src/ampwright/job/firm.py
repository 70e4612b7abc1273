"""What is the same on every job of a firm, given once: a file in the shape of a job file, with these fields alone."""

from __future__ import annotations

import dataclasses
from dataclasses import replace
from pathlib import Path

from ampwright.job.faults import BadJobFile, Fault
from ampwright.job.files import load
from ampwright.job.record import Job, Person

INSTALLER = "installer"
SHAPE = "people (the installer), firm, and instruments below tests"


def read_firm(path: Path) -> Job:
    """The firm in a file. Raises BadJobFile with everything that is wrong with it, also what is of one job."""
    firm = load(path)
    faults = [Fault(None, each.name, f"this is of one job and not of the firm; a firm file has {SHAPE}")
              for each in dataclasses.fields(Job) if _is_of_a_job(firm, each.name)]  # fmt: skip
    if [each.role for each in firm.people] not in ([], [INSTALLER]):
        faults.append(Fault(None, "people", "a firm file has one person, whose role is installer"))
    if any(each.signature for each in firm.people):
        faults.append(Fault(None, "people", "a signature is of one job and not of the firm; take it out"))
    if faults:
        raise BadJobFile(tuple(faults), str(path))
    return firm


def with_firm(job: Job, firm: Job) -> Job:
    """The job with what it does not say itself of its installer, its firm and its instruments; what it says stands."""
    said = {each.name: getattr(job.firm, each.name) for each in dataclasses.fields(job.firm)}
    given = {name: getattr(firm.firm, name) for name, value in said.items() if value is None}
    instruments = job.tests.instruments or firm.tests.instruments
    return replace(job, people=_people(job, firm), firm=replace(job.firm, **given),
                   tests=replace(job.tests, instruments=instruments))  # fmt: skip


def _people(job: Job, firm: Job) -> tuple[Person, ...]:
    if not firm.people:
        return job.people
    (installer,) = firm.people
    if all(each.role != INSTALLER for each in job.people):
        return (*job.people, installer)
    return tuple(_filled(each, installer) if each.role == INSTALLER else each for each in job.people)


def _filled(person: Person, installer: Person) -> Person:
    """Another installer of the firm has the firm's address and enrolment, and no telephone or e-mail of the other's."""
    own = ("phone", "email") if person.name not in (None, installer.name) else ()
    given = {each.name: getattr(installer, each.name) for each in dataclasses.fields(person)
             if getattr(person, each.name) in (None, ()) and each.name not in own}  # fmt: skip
    return replace(person, **given)


def _is_of_a_job(firm: Job, name: str) -> bool:
    if name in ("version", "people", "firm"):
        return False
    there, nothing = getattr(firm, name), getattr(Job(), name)
    return bool((replace(there, instruments=()) if name == "tests" else there) != nothing)
