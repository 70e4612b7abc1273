"""The shapes of the documents on materials, price and dates. They are what `--json` prints."""

from __future__ import annotations

from pydantic import with_config
from typing_extensions import TypedDict

from ampwright.assess.materials.items import Cut, Fill, Item, Operation, Tool
from ampwright.deliver.web.api.shapes import CLOSED, Format, Status
from ampwright.reading import Reading


@with_config(CLOSED)
class Materials(TypedDict):
    """What the job needs, as `ampwright materials --json`; `missing` are paths to find out first."""

    format: Format
    items: list[Item]
    operations: list[Operation]
    missing: list[str]
    cuts: list[Cut]
    tools: list[Tool]
    remarks: list[str]
    fills: list[Fill]


@with_config(CLOSED)
class Pounds(TypedDict):
    """A sum at both ends of what the survey allows, as text in pounds, so that no penny is lost."""

    low_gbp: str
    high_gbp: str


@with_config(CLOSED)
class QuoteLine(TypedDict):
    """One line of material, net."""

    words: str
    need: Reading
    unit: str
    each_gbp: str
    cost: Pounds
    of: list[str]


@with_config(CLOSED)
class Saving(TypedDict):
    """What a reading takes off the width of the band."""

    path: str
    narrows_gbp: str


@with_config(CLOSED)
class Instead(TypedDict):
    """Another design, and what is to pay for it."""

    design: int
    why: str
    gross: Pounds


@with_config(CLOSED)
class Extra(TypedDict):
    """What may be added; without a price it is at cost."""

    words: str
    gross_gbp: str | None


@with_config(CLOSED)
class Quote(TypedDict):
    """A design priced line by line, as `ampwright quote --json`."""

    format: Format
    title: str | None
    reference: str | None
    design: int
    why: str
    standing: str
    stands_until: str | None
    lines: list[QuoteLine]
    operations: list[Operation]
    minutes: tuple[int, int]
    labour: Pounds
    overhead: Pounds
    margin: Pounds
    net: Pounds
    charges_vat: bool
    vat_percent: str
    vat: Pounds
    gross: Pounds
    missing: list[str]
    unpriced: list[str]
    cost: Pounds
    savings: list[Saving]
    instead: list[Instead]
    extras: list[Extra]
    exclusions: list[str]


@with_config(CLOSED)
class Clock(TypedDict):
    """Something owed to somebody by a day, or to be found out."""

    clock: str
    state: str
    owed_to: str
    says: str
    by: str | None
    day: str | None
    ask: str | None
    source: str
    trust: str


@with_config(CLOSED)
class DueOfJob(TypedDict):
    """What one job owes; `file` is its id."""

    file: str
    title: str | None
    reference: str | None
    due: list[Clock]


@with_config(CLOSED)
class Due(TypedDict):
    """What jobs owe to whom by when, as `ampwright due --json`."""

    format: Format
    on: str
    status: Status
    jobs: list[DueOfJob]
