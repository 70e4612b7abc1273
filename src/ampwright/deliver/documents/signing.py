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
    """The job with each signature that holds in its person's box: nobody types it there."""
    held = {(each.role, each.name): each for each in signed}
    people = tuple(dataclasses.replace(each, signature=f"signed {mark.when}")
                   if (mark := held.get((each.role, each.name or ""))) else each for each in job.people)  # fmt: skip
    return dataclasses.replace(job, people=people)
