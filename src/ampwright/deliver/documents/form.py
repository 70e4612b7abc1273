"""A paper of boxes: any form, section by section, each box filled or saying who owes it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from ampwright.deliver.documents.blocks import Block, Boxes, BoxRow, Heading, Paper, Text

SAYS = "Filled from the record of the job, in a layout of our own. An empty box says who owes it."


class FormBox(Protocol):
    """A box of any form, as far as it is printed. Without a value it is empty, and owed by somebody."""

    @property
    def paper(self) -> str: ...
    @property
    def section(self) -> str: ...
    @property
    def label(self) -> str: ...
    @property
    def value(self) -> str | None: ...
    @property
    def owed_by(self) -> str: ...
    @property
    def compulsory(self) -> bool: ...


def forms(boxes: Iterable[FormBox]) -> tuple[Paper, ...]:
    """A paper for each that the boxes name, in the order in which they first come."""
    papers: dict[str, list[FormBox]] = {}
    for each in boxes:
        papers.setdefault(each.paper, []).append(each)
    return tuple(form(name, of) for name, of in papers.items())


def form(title: str, boxes: Iterable[FormBox]) -> Paper:
    """One form. Its name on the command line and in a file's name is its title with dashes."""
    sections: dict[str, list[BoxRow]] = {}
    for each in boxes:
        sections.setdefault(each.section, []).append(BoxRow(each.label, each.value, each.owed_by, each.compulsory))
    rows = [row for of in sections.values() for row in of]
    wanting = sum(row.value is None and row.compulsory for row in rows)
    blocks: list[Block] = [Text(f"{len(rows)} boxes, {sum(row.value is not None for row in rows)} of them filled; "
                                f"{wanting} that must be filled are empty.")]  # fmt: skip
    for name, of in sections.items():
        blocks += [Heading(name), Boxes(tuple(of))] if name else [Boxes(tuple(of))]
    words = "".join(each if each.isalnum() else " " for each in title.lower()).split()
    return Paper("-".join(words), title, SAYS, tuple(blocks))
