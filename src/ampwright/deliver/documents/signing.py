"""Who signs a certificate, and how a signature stands on it."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass

from ampwright.job.record import Job, Person

SIGN = (("designer", "Designed by"), ("installer", "Built by"), ("inspector", "Inspected and tested by"))


@dataclass(frozen=True, slots=True)
class Signed:
    """A signature that holds: the lines as drawn, none where the name was typed; `when` and `how` are in words."""

    role: str
    name: str
    when: str
    lines: tuple[tuple[tuple[int, int], ...], ...] = ()
    how: str = ""


def signers(job: Job) -> Iterator[tuple[str, str, Person | None]]:
    """Each duty that is signed for with its role and its person; an installer who names no other does all three."""
    people: dict[str, Person] = {each.role: each for each in reversed(job.people)}
    for role, duty in SIGN:
        yield duty, role, people.get(role) or people.get("installer")


def with_signatures(job: Job, signed: tuple[Signed, ...]) -> Job:
    """The job with each signature that holds in its person's box: nobody types it there.

    A file that the record names is a drawing of no paper: it says that it is a file, and no more.
    """
    held = {(each.role, each.name): each for each in signed}
    return dataclasses.replace(job, people=tuple(_marked(each, held.get((each.role, each.name or "")))
                                                 for each in job.people))  # fmt: skip


def _marked(person: Person, mark: Signed | None) -> Person:
    if mark is not None:
        return dataclasses.replace(person, signature=f"signed {mark.when}")
    if person.signature is None:
        return person
    return dataclasses.replace(person, signature=f"in the file {person.signature}; this paper is not signed here")
