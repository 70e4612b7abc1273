"""The shapes of jobs, changes and history, and of what may be sent."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, ConfigDict, Field, model_validator, with_config
from typing_extensions import TypedDict

from ampwright.deliver.store.values import overlap, steps
from ampwright.deliver.web.api.bodies import Body
from ampwright.deliver.web.api.shapes import CLOSED, Answer, Status, Tally

MOST_CHANGES_COUNT = 500
LARGEST_NUMBER = 2**53
PLACE = r"^[a-z][a-z0-9_]*(\[[0-9]{1,4}\])?(\.[a-z][a-z0-9_]*(\[[0-9]{1,4}\])?)*$"


def _whole(value: Any) -> Any:
    """JSON does not tell 772 from 772.0."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


Number = Annotated[int, BeforeValidator(_whole), Field(ge=0, le=LARGEST_NUMBER)]
Operation = Annotated[str, Field(
    pattern="^[0-9a-zA-Z-]{8,64}$", description="An id of your own for this operation, new for each. Send it again, "
    "unchanged, where no answer came: a repeat changes nothing and has the same answer.",
    examples=["5f0c2f0e-7d0b-4b7e-9d5e-0a4b6c1d2e3f"])]  # fmt: skip
Path = Annotated[str, Field(max_length=200, pattern=PLACE,
                            description="A place of the record: a field, an item of a list, a list.")]  # fmt: skip


class NewJob(Body):
    """A job to begin: as a record, or as the text of a job file (not both)."""

    operation: Operation
    model_config = ConfigDict(json_schema_extra={"oneOf": [{"required": ["record"]}, {"required": ["file"]}]})
    record: dict[str, Any] = Field({}, description="The job as JSON, in the shape of a job file.")
    file: str = Field("", description="The job as the text of a job file (YAML).")

    @model_validator(mode="after")
    def one_of_both(self) -> NewJob:
        """Exactly one of record and file."""
        if len(self.model_fields_set & {"record", "file"}) != 1:
            raise ValueError("give the job as record or as file, one of the two")
        return self


class Changes(Body):
    """Fields to set, by path, as they were entered when `base` was the newest change that was seen."""

    operation: Operation
    base: Number = Field(description="`head` of the job when these were entered.")
    changes: dict[Path, Any] = Field(
        min_length=1, max_length=MOST_CHANGES_COUNT, examples=[{"supply.ze_ohm": 0.28}],
        description="Path and value; null where nothing is known (any more). A reading is a number, or an object with "
        "value, or low, high and because.")  # fmt: skip

    @model_validator(mode="after")
    def apart(self) -> Changes:
        """No path inside another."""
        ordered = sorted(self.changes, key=lambda each: tuple(map(str, steps(each))))
        for one, other in pairwise(ordered):
            if overlap(one, other):
                raise ValueError(f"{other[:80]} is {one[:80]} or inside it; send one of them")
        return self


class Undo(Body):
    """An operation to take back."""

    operation: Operation
    of: str = Field(min_length=1, max_length=64, description="The id of the operation to take back.")


class Decide(Body):
    """Which of two entries of the same field stands."""

    operation: Operation
    conflict: Number = Field(description="`seq` of the change that is held back.")
    take: Literal["held", "standing"] = Field(description="The entry that was held back, or what stands.")


@with_config(CLOSED)
class Change(TypedDict):
    """One field, from what it was to what was entered; held where the same field was changed elsewhere meanwhile."""

    seq: int
    path: str
    old: Any
    new: Any
    held: bool


@with_config(CLOSED)
class Listed(TypedDict):
    """A job in the list."""

    id: str
    title: str | None
    reference: str | None
    head: int


@with_config(CLOSED)
class JobList(TypedDict):
    """Jobs, the oldest first; `next` goes into `after` for more, and is null where there are no more."""

    jobs: list[Listed]
    next: str | None


@with_config(CLOSED)
class JobRead(TypedDict):
    """A job as it stands, or stood: its record, its newest change, and the entries that wait for a decision."""

    id: str
    title: str | None
    reference: str | None
    head: int
    record: dict[str, Any]
    conflicts: list[Change]


@with_config(CLOSED)
class Turned(TypedDict):
    """A check that answers otherwise than before, or the same with other numbers."""

    rule: str
    asks: str
    was: Answer
    verdict: Answer
    says: str


@with_config(CLOSED)
class Judged(TypedDict):
    """What the checks say now, and which of them the operation moved."""

    status: Status
    tally: Tally
    turned: list[Turned]
    asked_now: list[str]
    no_longer_asked: list[str]


@with_config(CLOSED)
class Outcome(TypedDict):
    """What came of an operation. What is held was changed elsewhere meanwhile: it is kept, and waits for a decision."""

    job: str
    operation: str
    head: int
    taken: list[Change]
    held: list[Change]
    checks: Judged


@with_config(CLOSED)
class Done(TypedDict):
    """What one person did at one time (UTC) from one place."""

    id: str
    who: str
    at: str
    origin: str
    undoes: str | None
    settles: int | None
    changes: list[Change]


@with_config(CLOSED)
class History(TypedDict):
    """Operations, the newest first; `next` goes into `after` for older ones."""

    operations: list[Done]
    next: str | None
