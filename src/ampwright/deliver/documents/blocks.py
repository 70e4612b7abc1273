"""What a paper is made of: blocks of plain words, laid out by paper.typ."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading inside a paper; level 2 opens a section."""

    text: str
    level: int = 2


@dataclass(frozen=True, slots=True)
class Text:
    """A paragraph."""

    text: str


@dataclass(frozen=True, slots=True)
class Note:
    """A paragraph in small type."""

    text: str


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution, standing where the hazard is."""

    text: str


@dataclass(frozen=True, slots=True)
class Listing:
    """A list, each item a paragraph of its own."""

    items: tuple[str, ...]
    numbered: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A table under a head. `widths_ratio` are shares of the line, 0 for no more than a column needs; `right` are the
    columns of figures; rows whose first cell stands in `strong` are sums.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    widths_ratio: tuple[float, ...]
    right: tuple[int, ...] = ()
    strong: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Stretch:
    """Lines of working under one heading."""

    under: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Judged:
    """One check with all that is to be said of it."""

    asks: str
    verdict: str
    says: str
    clause: str
    find_out: str = ""
    cautions: tuple[str, ...] = ()
    working: tuple[Stretch, ...] = ()


@dataclass(frozen=True, slots=True)
class Label:
    """A label to cut out, as wide as it is printed."""

    text: str
    width_mm: float = 86


@dataclass(frozen=True, slots=True)
class BoxRow:
    """One box of a form: what stands in it, or who owes it."""

    label: str
    value: str | None
    owed_by: str = ""
    compulsory: bool = False


@dataclass(frozen=True, slots=True)
class Boxes:
    """A section of a form."""

    rows: tuple[BoxRow, ...]


@dataclass(frozen=True, slots=True)
class Signature:
    """A signature under a duty: the lines as they were drawn on 600 by 200, none where the name was typed.

    `how` is who was signed in, or on whose phone or machine it was made.
    """

    duty: str
    name: str
    when: str
    lines: tuple[tuple[tuple[int, int], ...], ...] = ()
    how: str = ""


@dataclass(frozen=True, slots=True)
class Slot:
    """A place for a photograph: what it is to show, and what is said of the one that stands there, or of its lack.

    `picture` is a JPEG as base64, nothing for an open place; its sides are in points of the picture.
    """

    wanted: str
    says: str
    picture: str = ""
    wide_count: int = 0
    high_count: int = 0


@dataclass(frozen=True, slots=True)
class Break:
    """A new page."""


Block = Heading | Text | Note | Caution | Listing | Table | Judged | Label | Boxes | Signature | Slot | Break


@dataclass(frozen=True, slots=True)
class Paper:
    """One paper: its name on the command line, its title, one sentence on what it is, and its blocks.

    `beside` are plain files that go with it, by the end of their name.
    """

    name: str
    title: str
    says: str
    blocks: tuple[Block, ...]
    beside: tuple[tuple[str, str], ...] = ()
