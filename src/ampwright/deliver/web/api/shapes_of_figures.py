"""The shapes of a firm's own figures, and of what may be sent."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, with_config
from typing_extensions import TypedDict

from ampwright.deliver.web.api.bodies import Body
from ampwright.deliver.web.api.shapes import CLOSED
from ampwright.deliver.web.api.shapes_of_jobs import Number, Operation

KindName = Literal["catalogue", "prices", "efforts", "bits"]


class TakeBack(Body):
    """The firm's own figures of a kind, to be taken back to those that come with the program."""

    operation: Operation
    base: Number = Field(description="`number` of the figures in use when this was decided, 0 for none.")


class PutFigures(TakeBack):
    """Figures of one's own, to be used from now on."""

    csv: str = Field(description="The whole table as CSV, with the columns of the one in use.")


@with_config(CLOSED)
class FiguresVersion(TypedDict):
    """Figures as they were put in; with `own` false they were taken back to those that come with the program."""

    number: int
    own: bool
    at: str
    who: str
    origin: str


@with_config(CLOSED)
class FiguresInUse(TypedDict):
    """What is in use of one kind. `number` is of the newest version, 0 where none was ever put in."""

    kind: KindName
    title: str
    says: str
    columns: list[str]
    own: bool
    number: int
    since: FiguresVersion | None


@with_config(CLOSED)
class FiguresList(TypedDict):
    """What is in use of each kind."""

    figures: list[FiguresInUse]


@with_config(CLOSED)
class FiguresRead(FiguresInUse):
    """And the figures themselves as CSV, and every version, the newest first."""

    csv: str
    versions: list[FiguresVersion]
