"""The shapes of a look through past jobs, and of what is asked; the answer is what `ampwright recall --json` prints."""

from __future__ import annotations

import datetime
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field, model_validator, with_config
from typing_extensions import TypedDict

from ampwright.assess.recall.again import Rules
from ampwright.deliver.recalling import AS_THEY_ARE, Asking
from ampwright.deliver.web.api.bodies import Body
from ampwright.deliver.web.api.shapes import CLOSED, Answer, Format

MOST_CONDITIONS_COUNT = 20
Held = Literal["yes", "may", "not looked"]


def _a_day(text: str) -> str:
    try:
        datetime.date.fromisoformat(text)
    except ValueError as bad:
        raise ValueError("there is no such day; write it as 2026-06-03") from bad
    return text


class Ask(Body):
    """What is asked of every job. All of it must hold; what is left open, and what nobody looked at, is told apart."""

    conditions: list[Annotated[str, Field(min_length=1, max_length=200)]] = Field(
        [], max_length=MOST_CONDITIONS_COUNT, examples=[["cable.size_mm2 = 6", "charge_point.set_a >= 20"]],
        description="A field by its path, the end of one or words of its label; a sign (= != < <= > >= ~); a value or "
        "a range, as `10 to 30`. A field alone asks whether anything is said there.")  # fmt: skip
    says: list[Annotated[str, Field(min_length=1, max_length=200)]] = Field(
        [], max_length=MOST_CONDITIONS_COUNT,
        description="Any field of words holds this: a serial number.")  # fmt: skip
    judged_under: str = Field("", max_length=100, description="Judged by an edition with this in its name.")

    def asking(self) -> Asking:
        """As the command asks it."""
        return Asking(tuple(self.conditions), tuple(self.says), self.judged_under, self._rules())

    def _rules(self) -> Rules:
        return AS_THEY_ARE


class AskAgain(Ask):
    """The same, and by what the jobs found are judged again: an edition, a day, or both."""

    edition: str | None = Field(None, max_length=100, description="An edition that the book knows.")
    day: Annotated[str, Field(pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$"), AfterValidator(_a_day)] | None = Field(
        None, description="By the rules of this day.")  # fmt: skip

    @model_validator(mode="after")
    def something(self) -> AskAgain:
        """At least one of the two."""
        if not self.edition and not self.day:
            raise ValueError("say by which edition or day the jobs are judged again")
        return self

    def _rules(self) -> Rules:
        return Rules(self.edition or None, datetime.date.fromisoformat(self.day) if self.day else None)


@with_config(CLOSED)
class Asked(TypedDict):
    """A condition as it was sent, and the fields that it was taken for."""

    text: str
    fields: list[str]


@with_config(CLOSED)
class PlaceHeld(TypedDict):
    """A place of the record that holds what was asked, or may; a range as its two ends."""

    path: str
    field: str
    holds: Held
    value: Any


@with_config(CLOSED)
class JobHeld(TypedDict):
    """A job: whether it holds all that was asked (`may`: a range leaves it open), and where."""

    job: str
    reference: str | None
    title: str | None
    date: str | None
    edition: str
    holds: Held
    hits: list[PlaceHeld]


@with_config(CLOSED)
class VerdictMoved(TypedDict):
    """A check that would answer otherwise."""

    rule: str
    asks: str
    now: Answer
    then: Answer
    clause: str
    says: str


@with_config(CLOSED)
class JobMoved(TypedDict):
    """A job that would be judged otherwise, or why it could not be judged."""

    job: str
    verdicts: list[VerdictMoved]
    wrong: str | None


@with_config(CLOSED)
class JudgedAgain(TypedDict):
    """The jobs found, judged again; `clauses_count` checks stand under another clause."""

    rules: str
    differing: list[JobMoved]
    clauses_count: int


@with_config(CLOSED)
class Recalled(TypedDict):
    """What was found among how many jobs; `unread` are those that this Ampwright cannot read."""

    format: Format
    asked: list[Asked]
    jobs_count: int
    jobs: list[JobHeld]
    unread: list[str]
    again: JudgedAgain | None


@with_config(CLOSED)
class RunTold(TypedDict):
    """A long run: how far it is (`count` is 0 where that cannot be said), and its answer once it is done."""

    run: str
    state: Literal["runs", "done", "broken off"]
    words: str
    done: int
    count: int
    answer: Recalled | None
