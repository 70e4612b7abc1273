"""Who signs a certificate, and how a signature stands on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ampwright.job.record import Job, Person

SIGN = (("designer", "Designed by"), ("installer", "Built by"), ("inspector", "Inspected and tested by"))


@dataclass(frozen=True, slots=True)
class Signed:
    """A signature that holds: the lines as they were drawn, none where the name was typed; `when` is in words."""

    role: str
    name: str
    when: str
    lines: tuple[tuple[tuple[int, int], ...], ...] = ()


def signers(job: Job) -> Iterator[tuple[str, str, Person | None]]:
    """Each duty that is signed for with its role and its person; an installer who names no other does all three."""
    people: dict[str, Person] = {each.role: each for each in reversed(job.people)}
    for role, duty in SIGN:
        yield duty, role, people.get(role) or people.get("installer")
