"""The shapes of a job's own files, and of what may be sent."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, with_config
from typing_extensions import TypedDict

from ampwright.deliver.web.api.bodies import Body
from ampwright.deliver.web.api.shapes import CLOSED
from ampwright.deliver.web.api.shapes_of_jobs import Number, Operation

Which = Literal["half-hourly", "generation", "weather"]


class PutFile(Body):
    """A file of the user's own, to be kept with the job and named in its record."""

    operation: Operation
    base: Number = Field(description="`head` of the job when this was decided.")
    name: str = Field(min_length=1, max_length=200, description="What it is called; another file that the job has "
                      "under this name keeps it, and this one gets a number.", examples=["meter.csv"])  # fmt: skip
    text: str = Field(min_length=1, description="The whole file, at most 16 MiB of UTF-8.")


@with_config(CLOSED)
class JobFile(TypedDict):
    """One field that names a file. `held` is whether the server has it; if not, `says` and what follows are empty."""

    which: Which
    path: str
    name: str | None
    held: bool
    says: str
    sha256: str
    at: str
    who: str


@with_config(CLOSED)
class JobFiles(TypedDict):
    """Every field of a job that names a file, as the record stands."""

    files: list[JobFile]
