"""Whose job it is and where, as the head of a paper."""

from __future__ import annotations

from ampwright.deliver.documents.blocks import Table
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.load_cap import headline
from ampwright.job.record import Job, Person
from ampwright.working import written_day

NOT_KNOWN = "not in the record"


def pairs(rows: tuple[tuple[str, str], ...], head: tuple[str, str] = ("What", "As recorded")) -> Table:
    """Two columns: what it is, and what the record says."""
    return Table(head, rows, (1, 2))


def about(pack: Pack) -> Table:
    """Job, site, customer, installer and the day."""
    job = pack.job
    rows = (
        ("Job", ", ".join(each for each in (job.reference, job.title) if each) or NOT_KNOWN),
        ("Site", address(job.site.address, job.site.postcode)),
        ("Customer", person_words(pack.person("customer", "owner", "occupier"))),
        ("Installer", person_words(pack.person("installer", "designer"))),
        ("Date of this paper", written_day(pack.day)),
    )
    return pairs(rows)


def address(lines: tuple[str, ...], postcode: str | None) -> str:
    """An address in one line."""
    return ", ".join(each for each in (*lines, postcode) if each) or NOT_KNOWN


def person_words(person: Person | None) -> str:
    """A person with all that the record has of them."""
    if person is None:
        return NOT_KNOWN
    said = (person.name, person.organisation, *person.address, person.postcode, person.phone, person.email,
            person.registration)  # fmt: skip
    return ", ".join(each for each in said if each) or NOT_KNOWN


def board_words(job: Job) -> str:
    """The board that feeds the charge point, and where it is."""
    place = job.installation.board_place
    return job.circuit.fed_from or (f"the consumer unit ({place})" if place else "the consumer unit")


def cap_words(pack: Pack) -> str:
    """What the load cap is to be set to, where there is one."""
    fitted = pack.job.charge_point.load_cap.fitted
    if fitted:
        return headline(pack.load_cap)
    return "The record has no load cap." if fitted is False else "Whether there is a load cap is not in the record."
