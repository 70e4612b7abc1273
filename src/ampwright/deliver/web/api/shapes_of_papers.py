"""The shapes of issued papers, signatures and confirmations, and of what is sent to make them."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator, with_config
from typing_extensions import TypedDict

from ampwright.deliver.documents.book import to_issue
from ampwright.deliver.store.trust import LONGEST_COUNT
from ampwright.deliver.web.api.bodies import Body
from ampwright.deliver.web.api.shapes import CLOSED

MOST_ROWS_COUNT = 500
Gate = Literal["check", "open", "test", "box", "person", "memory", "price"]
Line = Annotated[str, Field(min_length=1, max_length=300)]


class Issue(Body):
    """Which papers to issue, by name."""

    papers: list[Annotated[str, Field(max_length=60)]] = Field(min_length=1, max_length=len(to_issue()),
                                                               examples=[["tests", "handover"]])  # fmt: skip

    @model_validator(mode="after")
    def known(self) -> Issue:
        """Papers that there are."""
        unknown = [each[:40] for each in self.papers if each not in to_issue()]
        if unknown:
            raise ValueError(f"there is no paper {', '.join(unknown)}; there are {', '.join(to_issue())}")
        return self


class Sign(Body):
    """A signature of a person of the job under the certificate as it was `seen`: drawn, or the name typed."""

    role: str = Field(min_length=1, max_length=40, description="The part that they have in the job.")
    seen: str = Field(pattern="^[0-9a-f]{64}$", description="`seen` of GET signatures, when the certificate was read.")
    strokes: str = Field("", max_length=LONGEST_COUNT, description="An SVG path of M and L on 600 by 200.")
    typed: str = Field("", max_length=200, description="The name as it is in the job, instead of drawing it.")


class Confirm(Body):
    """Rows from memory that agree with the firm's own copy of the standard."""

    copy_seen: Annotated[str, Field(alias="copy", min_length=1, max_length=300, pattern=r"\S",
                                    description="Which copy was looked into: title, edition, printing.")]  # fmt: skip
    rows: list[Line] = Field(min_length=1, max_length=MOST_ROWS_COUNT, description="`what` of each that agrees.")


@with_config(CLOSED)
class Paper(TypedDict):
    """An issued paper: a row of the list, whose `hash` is over all that it says and the row before."""

    number: int
    label: str
    paper: str
    job: str
    head: int
    edition: str
    day: str
    at: str
    who: str
    supersedes: int | None
    paper_hash: str
    before: str
    hash: str


@with_config(CLOSED)
class PaperStanding(Paper):
    """And what superseded it, or the fields in which the job is no longer as it was issued; `other_figures` is whether
    the firm has other figures of its own in use than it was made with, or on the grant's bundle the job
    other photographs.
    """

    superseded_by: int | None
    differs: list[str]
    other_figures: bool


@with_config(CLOSED)
class Reason(TypedDict):
    """Why a paper is a draft and not to be issued."""

    gate: Gate
    says: str


@with_config(CLOSED)
class FromMemory(TypedDict):
    """A row or a clause that rests on memory and that the firm has not confirmed, what it says, and where it stands in
    print."""

    what: str
    says: str
    where: str


@with_config(CLOSED)
class IssuedOfJob(TypedDict):
    """What stands in the way of issuing, the papers that nothing holds, and what was issued, the newest first."""

    reasons: list[Reason]
    ready: list[str]
    papers: list[PaperStanding]


@with_config(CLOSED)
class Made(TypedDict):
    """The papers issued; one of this very state is the one that there was."""

    papers: list[Paper]


@with_config(CLOSED)
class IssuedList(TypedDict):
    """The papers of the firm in the order of issue, and whether the whole list agrees with itself."""

    papers: list[Paper]
    next: int | None
    agrees: bool


@with_config(CLOSED)
class Held(TypedDict):
    """A signature: when, who was signed in, and whether it was drawn or typed."""

    at: str
    who: str
    drawn: bool


@with_config(CLOSED)
class Signer(TypedDict):
    """A person of the job, what they sign for, and their signature under what the certificate says now."""

    role: str
    name: str
    duties: list[str]
    holds: Held | None


@with_config(CLOSED)
class Signatures(TypedDict):
    """Who may sign; `seen` is the hash of what is signed, sent back with a signature."""

    seen: str
    people: list[Signer]


@with_config(CLOSED)
class ToConfirm(TypedDict):
    """What is left to confirm, and how many of those sent were new."""

    confirmed: int
    left: list[FromMemory]
