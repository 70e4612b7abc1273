"""The shapes of the documents that judge a job: checks, designs, what to find out. They are what `--json` prints."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import ConfigDict, with_config
from typing_extensions import TypedDict

CLOSED = ConfigDict(extra="forbid", use_attribute_docstrings=True)
Format = Literal[1]
Status = Literal[0, 1, 2]
Answer = Literal["met", "not met", "not yet known", "does not apply", "for the designer to judge"]
Trusted = Literal["printed", "reprinted", "memory", "derived"]
Tally = dict[Answer, int]


@with_config(CLOSED)
class Step(TypedDict):
    """One line of working: what is given, a fact with its source, or a sum as it would be written on paper."""

    under: str
    symbol: str
    value: float | None
    unit: str
    formula: str
    filled: str
    source: str
    row: str
    trust: Trusted | None


@with_config(CLOSED)
class Check(TypedDict):
    """A question, its clause, the answer in one sentence, and the arithmetic line by line."""

    rule: str
    clause: str
    clause_trust: Trusted
    edition: str
    asks: str
    verdict: Answer
    says: str
    needs: list[str]
    """Paths of the record without which it cannot be answered."""
    cautions: list[str]
    trust: Trusted
    """As good as the weakest number in it."""
    working: list[Step]


@with_config(CLOSED)
class ToFindOut(TypedDict):
    """A reading that is wanted, and the rules that it settles."""

    path: str
    asked_by: list[str]
    settles: list[str]
    may_settle: list[str]


@with_config(CLOSED)
class Assessment(TypedDict):
    """Every check on a job, as `ampwright assess --json`."""

    format: Format
    title: str | None
    reference: str | None
    edition: str
    status: Status
    """1 if a check is not met, else 2 if one is not yet known, else 0."""
    tally: Tally
    checks: list[Check]
    to_find_out: list[ToFindOut]


@with_config(CLOSED)
class Pence(TypedDict):
    """A price in whole pence, at the lower and the upper end of what the survey allows."""

    net: tuple[int, int]
    vat_percent: float
    with_vat: tuple[int, int]


Choices = dict[str, str]


@with_config(CLOSED)
class Design(TypedDict):
    """One design: a choice on each axis of the catalogue, its price, and every check on the job so built."""

    choices: Choices
    cables: list[str]
    words: str
    price_pence: Pence
    minutes: tuple[int, int]
    power_kw: float
    left_for_car_a: float | None
    mind: list[str]
    lost_kwh_per_mwh: float
    standing: str
    conditions: list[str]
    assessment: Assessment


@with_config(CLOSED)
class BestDesign(Design):
    """A design worth a look, and why."""

    why: str


@with_config(CLOSED)
class RuledOut(TypedDict):
    """A choice that is not in the best design, and the check that it fails."""

    axis: str
    choice: str
    rule: str
    verdict: Answer
    says: str


@with_config(CLOSED)
class Remedy(TypedDict):
    """What would make a failed check met, and what else it does."""

    words: str
    changes: dict[str, Any]
    breaks: list[str]
    unsettles: list[str]
    mends: list[str]


@with_config(CLOSED)
class Proposal(TypedDict):
    """The lawful designs of the catalogue that no other beats, as `ampwright design --json`."""

    format: Format
    title: str | None
    reference: str | None
    status: Status
    """1 if no design stands, else 2 if each still hangs on the survey, else 0."""
    combinations: int
    questions_worked_out: int
    best: list[BestDesign]
    front: list[Design] | None
    ruled_out: list[RuledOut]
    impossible: dict[str, list[str]]
    what_it_would_take: dict[str, list[Remedy]]


Decided = TypedDict("Decided", {
    "from": Any, "to": Any, "price_pence": tuple[int, int] | None, "choices": Choices | None,
    "cables": list[str] | None})  # fmt: skip


@with_config(CLOSED)
class Turn(TypedDict):
    """Where an open check turns."""

    rule: str
    says: str


@with_config(CLOSED)
class VisitItem(TypedDict):
    """One thing to read on the visit: how, with what, and what the answer decides."""

    path: str
    what: str
    how: str | None
    instrument: str | None
    asked_by: list[str]
    settles: list[str]
    may_settle: list[str]
    asked_by_a_design: bool
    decides: list[Decided]
    turns: list[Turn]
    cautions: list[str]


@with_config(CLOSED)
class VisitStage(TypedDict):
    """A stage of the visit."""

    stage: str
    items: list[VisitItem]


@with_config(CLOSED)
class MovesPrice(TypedDict):
    """A length on which only the price hangs."""

    path: str
    decides: list[Decided]


@with_config(CLOSED)
class VisitList(TypedDict):
    """What to find out on the visit, as `ampwright survey --json`."""

    format: Format
    title: str | None
    reference: str | None
    priced: bool
    why_not_priced: str | None
    stages: list[VisitStage]
    moves_price: list[MovesPrice]
    need_not_be_looked_at: list[str]
    taken_as_usual: list[str]
    chosen_with_the_design: list[str]
