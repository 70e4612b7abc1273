"""The notice or application to the network operator: as a paper, as CSV, and as a list to copy from."""

from __future__ import annotations

import csv
import io

from ampwright.deliver.documents.blocks import Block, Boxes, BoxRow, Heading, Note, Paper, Text
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.recorded import row
from ampwright.deliver.documents.who import address
from ampwright.deliver.spreadsheet import as_text
from ampwright.facts import rows
from ampwright.job.mpan import distributor
from ampwright.job.paths import unseen
from ampwright.job.record import Job, Person
from ampwright.reading import WORST
from ampwright.rules.gb.parts.demand import DEMAND, missing, worst_of
from ampwright.rules.gb.parts.recorded import larger_demands
from ampwright.working import Working, up

SAYS = "What the network operator asks of a charge point, to be sent or copied into the operator's own form."
OWN_FORM = ("The operators have forms and pages of their own; what those ask beyond this goes by them. Nothing is sent "
            "by this program.")  # fmt: skip
INSTALLER, CUSTOMER = "the installer", "the customer"


def network(pack: Pack) -> Paper:
    """The notice, with its two plain files beside it."""
    sections = _sections(pack)
    check = next(each for each in pack.assessment.checks if each.rule == "network_notice")
    blocks: list[Block] = [Text(check.says)]
    for heading, boxes in sections:
        blocks += [Heading(heading), Boxes(boxes)]
    beside = (("csv", as_csv(sections)), ("txt", as_list(sections)))
    return Paper("network", "Notice to the network operator", SAYS, (*blocks, Note(OWN_FORM)), beside)


Sections = tuple[tuple[str, tuple[BoxRow, ...]], ...]


def as_csv(sections: Sections) -> str:
    """A line a box; a cell that a spreadsheet would reckon with is marked as text by an apostrophe."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(("section", "box", "entry", "owed by"))
    for heading, boxes in sections:
        for each in boxes:
            owed = each.owed_by if each.value is None else ""
            writer.writerow([as_text(cell) for cell in (heading, each.label, each.value or "", owed)])
    return out.getvalue()


def as_list(sections: Sections) -> str:
    """Box by box in plain lines, to copy from."""
    lines = []
    for heading, boxes in sections:
        lines += [heading.upper(), *(f"{each.label}: {each.value or f'(empty, owed by {each.owed_by})'}"
                                     for each in boxes), ""]  # fmt: skip
    return "\n".join(lines)


def _sections(pack: Pack) -> Sections:
    job = pack.job
    paths = ("supply.phases", "supply.earthing", "supply.cutout.kind", "supply.cutout.rating_a",
             "supply.cutout.rating_known_by", "supply.cutout.sound", "supply.looped", "supply.metered")  # fmt: skip
    point = ("rated_a", "phases", "sends_power_back", "meets_standards", "load_cap.fitted", "load_cap.limit_a",
             "load_cap.fails_safe", "load_cap.fallback_a")  # fmt: skip
    return (
        ("Where", (
            BoxRow("Address", _known(address(job.site.address, None) if job.site.address else None), INSTALLER),
            row(job, "site.postcode"), row(job, "site.mpan"), BoxRow("Network operator's area", _area(job), INSTALLER),
        )),
        ("Customer", _person(pack.person("customer", "owner", "occupier"), CUSTOMER)),
        ("Installer", _person(pack.person("installer", "designer"), INSTALLER)),
        ("Supply", tuple(row(job, path) for path in paths)),
        ("Demand", _demand(job)),
        ("Charge point", tuple(row(job, f"charge_point.{path}") for path in point)),
        ("Generation and storage there", tuple(row(job, path) for path in (
            "generation.fitted", "generation.inverter_a", "storage.fitted"))),
        ("Dates", (row(job, "dates.installed"), row(job, "dates.network_told"), row(job, "dates.operator_agreed"))),
    )  # fmt: skip


def _person(person: Person | None, owed_by: str) -> tuple[BoxRow, ...]:
    said = person or Person(role="customer")
    return (
        BoxRow("Name", said.name, owed_by),
        BoxRow("Organisation", said.organisation, owed_by),
        BoxRow("Address", ", ".join((*said.address, *([said.postcode] if said.postcode else []))) or None, owed_by),
        BoxRow("Telephone", said.phone, owed_by),
        BoxRow("E-mail", said.email, owed_by),
        BoxRow("Registration", said.registration, owed_by),
    )[: 6 if owed_by == INSTALLER else 5]


def _demand(job: Job) -> tuple[BoxRow, ...]:
    """The demand of the worst line, as the rules reckon it."""
    line = None
    if not unseen(job, DEMAND) and not missing(job):
        line = worst_of(larger_demands(job, WORST, Working()))
    rows_ = (("Demand of the house alone", "house_a"), ("Demand with the charge point in full", "plain_a"),
             ("Demand with the load cap, where one counts", "held_a"))  # fmt: skip
    return tuple(BoxRow(words, None if line is None else f"{up(getattr(line, name), 1)} A", INSTALLER)
                 for words, name in rows_)  # fmt: skip


def _area(job: Job) -> str | None:
    if job.site.mpan is None:
        return None
    number = str(distributor(job.site.mpan))
    found = next((each for each in rows("gb/dno_regions") if each["id"] == number), None)
    return f"distributor {number}" if found is None else f"{found['area']} (distributor {number})"


def _known(text: str | None) -> str | None:
    return text or None
