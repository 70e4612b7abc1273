"""Every box of the papers that a job owes: filled from the record or reckoned from it, and who owes an empty one.

What the papers hold is `gb/paper_boxes`; where each fact comes from is fillings.csv beside this file: `from` has paths
of the record, or `=name argument` for a function; `also` has what such a function reads beyond what it says itself.
One fact has one row, however many papers ask for it, so that nothing is typed or reckoned twice.
"""

from __future__ import annotations

import csv
import datetime
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources

from ampwright.assess.paperwork.at_board import AT_BOARD
from ampwright.assess.paperwork.circuit import CIRCUIT
from ampwright.assess.paperwork.desk import Desk, Fill, Filled, from_paths, under
from ampwright.assess.paperwork.money import MONEY
from ampwright.assess.paperwork.notices import NOTICES
from ampwright.assess.paperwork.priced import Prices, shipped
from ampwright.assess.paperwork.survey import SURVEY
from ampwright.assess.paperwork.tested import TESTED
from ampwright.facts import rows
from ampwright.job.record import Job

BOXES = "gb/paper_boxes"
COMPULSORY = "required"
SECTIONS = {
    "jo": "The job", "cu": "Customer", "pr": "Premises", "su": "Supply", "ex": "Installation as found",
    "md": "Maximum demand", "ci": "Circuit", "cp": "Charge point", "ct": "Sensors", "pv": "Generation and storage",
    "te": "Tests", "in": "Inspection", "ins": "Instruments", "sig": "Signed by", "co": "Installer", "mo": "Money",
    "gr": "Grant", "ph": "Photographs", "pl": "Safety on site", "ha": "Handover", "la": "Labels", "ve": "Vehicle",
    "so": "Sunshine",
}  # fmt: skip
FUNCTIONS: dict[str, Fill] = {**SURVEY, **CIRCUIT, **AT_BOARD, **TESTED, **MONEY, **NOTICES}
ONLY_WHERE: dict[str, Callable[[Job], bool]] = {
    "17": lambda job: bool(job.dates.grant_wanted or job.dates.grant_applied),
    "21": lambda job: bool(job.generation.part_of_this_job),
}


@dataclass(frozen=True, slots=True)
class Box:
    """One box of one paper. `paths`: where in the record it comes from; `owed_by`: who owes it while it is empty."""

    paper: str
    section: str
    label: str
    value: str | None
    paths: tuple[str, ...]
    owed_by: str
    compulsory: bool


@dataclass(frozen=True, slots=True)
class Filling:
    """A row of fillings.csv."""

    source: str
    also: str
    owed_by: str


@lru_cache(maxsize=1)
def fillings() -> dict[str, Filling]:
    """Where each fact comes from, by the key that its boxes share."""
    text = resources.files("ampwright.assess.paperwork").joinpath("fillings.csv").read_text(encoding="utf-8")
    return {row["key"]: Filling(row["from"], row["also"], row["owed_by"]) for row in csv.DictReader(text.splitlines())}


def boxes_of(job: Job, today: datetime.date, prices: Prices | None = None) -> tuple[Box, ...]:
    """The boxes of every paper that this job owes, paper by paper; by the invented prices shipped unless others are
    given. A grant that nobody wants and generation that is none of this job have no paper.
    """
    desk = Desk(job, today, prices or shipped())
    owed = [row for row in rows(BOXES) if ONLY_WHERE.get(row["deliverable"][:2], _always)(job)]
    found = {key: _filled(desk, fillings()[key]) for key in dict.fromkeys(row["key"] for row in owed)}
    return tuple(
        Box(
            paper=row["deliverable"],
            section=SECTIONS[row["key"].split(".")[0]],
            label=row["field"],
            value=found[row["key"]].value,
            paths=found[row["key"]].paths,
            owed_by=fillings()[row["key"]].owed_by,
            compulsory=row["required"] == COMPULSORY,
        )
        for row in owed
    )


def _always(_: Job) -> bool:
    return True


def _filled(desk: Desk, filling: Filling) -> Filled:
    if not filling.source:
        return Filled(None)
    if not filling.source.startswith("="):
        return from_paths(desk, filling.source)
    name, _, argument = filling.source[1:].partition(" ")
    return FUNCTIONS[name](desk, argument).also(under(desk.job, filling.also))
