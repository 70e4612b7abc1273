"""The grant's bundle: the boxes of its claim, its dated rules held against the record, and its photographs."""

from __future__ import annotations

import dataclasses
import datetime
import re
from collections.abc import Iterator
from functools import lru_cache

from ampwright.assess.paperwork.boxes import BOXES, ONLY_WHERE, fillings
from ampwright.assess.paperwork.grant import Ruling, day_of, rulings
from ampwright.deliver.documents.blocks import Block, Heading, Listing, Note, Paper, Table, Text
from ampwright.deliver.documents.form import form
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.photographs import slot
from ampwright.deliver.screen import ON_SCREEN
from ampwright.facts import Row, rows, sources
from ampwright.job.paths import at
from ampwright.job.record import Job
from ampwright.working import Verdict, written_day

CLAIM, NAME = "17", "form-17-grant-claim"
ANSWERS = ON_SCREEN | {Verdict.FOR_THE_DESIGNER: "YOURS TO SAY"}
CAUTION = ("In our own words, from the pages named above as they were seen; the grant office's page of the day "
           "decides. A rule marked YOURS TO SAY hangs on what no field of the record holds.")  # fmt: skip
NO_SCHEME = "Which of the grants is asked for is not yet known: the rules below are those that all of them share."
# Another field whose photograph shows the same.
ALSO = {"photos.serial_plate": ("charge_point.made.serial",)}
# A photograph that one of the grants alone wants.
OF_SCHEME = {"photos.pavement_channel": "on-street parking", "photos.tenancy": "renters and flat owners"}


def bundle(title: str, pack: Pack) -> Paper:
    """The form of the claim, then the rules of the day of the application, then a slot for each photograph."""
    made = form(title, (each for each in pack.boxes if each.paper == title))
    return dataclasses.replace(made, blocks=(*made.blocks, *_rules(pack), *_photographs(pack)))


def _rules(pack: Pack) -> Iterator[Block]:
    day, found = day_of(pack.job, pack.day), rulings(pack.job, pack.day)
    applied = pack.job.dates.grant_applied is not None
    which = "the customer's application" if applied else "this paper, as no application is recorded"
    yield Heading("Rules of the grant")
    if not found:
        yield Text(f"No rules are held for an application of {written_day(day)}: go by the grant office's own page.")
        return
    yield Text(f"The rules held for {written_day(day)}, the day of {which}.")
    if pack.job.grant.scheme is None:
        yield Text(NO_SCHEME)
    seen = list(dict.fromkeys(_seen(each.row) for each in found))
    yield Table(("Rule", "Answer", "The record holds", "In force", "Seen"),
                tuple(_row(each, seen.index(_seen(each.row)) + 1) for each in found),
                (3, 1.3, 3, 1.7, 0.7))  # fmt: skip
    yield Listing(tuple(seen), numbered=True)
    yield Note(CAUTION)


def _row(each: Ruling, number: int) -> tuple[str, ...]:
    return each.says, ANSWERS[each.verdict], each.holds or "no field", _in_force(each.row), str(number)


def _in_force(row: Row) -> str:
    since, until = (row[end] and written_day(datetime.date.fromisoformat(row[end])) for end in ("from", "until"))
    return " ".join(filter(None, (since and f"from {since}", until and f"to {until}")))


def _seen(row: Row) -> str:
    """Where a rule was seen: the place, each copy with its address, and how it was seen."""
    where = row["where"].split(";")[0]
    copies = [sources()[each] for each in re.findall(r"copy_\w+", row["where"])]
    told = "; ".join(f"{each['title']}: {each['address']}" for each in copies)
    return f"{where} ({row['trust']})" + (f". {told}" if told else "")


def _photographs(pack: Pack) -> Iterator[Block]:
    yield Heading("Photographs for the claim")
    asked = pack.job.grant.scheme
    for path, owed_by in _wanted().items():
        also, scheme = ALSO.get(path, ()), OF_SCHEME.get(path)
        kept = any(each.path in (path, *also) for each in pack.photographs)
        if kept or asked is None or scheme in (None, asked):
            yield slot(path, also, at(pack.job, path), owed_by, pack.photographs)


@lru_cache(maxsize=1)
def _wanted() -> dict[str, str]:
    """The field of each photograph among the boxes of the claim, and who owes it."""
    found = (fillings()[row["key"]] for row in rows(BOXES)
             if row["deliverable"].startswith(CLAIM) and row["type"] == "photo")  # fmt: skip
    return {each.source: each.owed_by for each in found}


def claimed() -> frozenset[str]:
    """Every field whose photograph may stand on the bundle."""
    return frozenset((*_wanted(), *(path for also in ALSO.values() for path in also)))


def wants_grant(job: Job) -> bool:
    """Whether the job owes the bundle at all."""
    return ONLY_WHERE[CLAIM](job)
