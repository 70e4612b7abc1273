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


def form_name(title: str) -> str:
    """What a form is called on the command line and in a file's name: its title with dashes."""
    words = "".join(each if each.isalnum() else " " for each in title.lower()).split()
    return "-".join(("form", *words))


def part_of(boxes: Iterable[FormBox], number: str, *sections: str, only: tuple[str, ...] = ()) -> tuple[BoxRow, ...]:
    """The boxes of these sections of the form with this number, as another paper prints them: an empty one only where
    it must be filled. With `only`, those with these labels alone.
    """
    return tuple(BoxRow(each.label, each.value, each.owed_by, each.compulsory) for each in boxes
                 if each.paper.startswith(number) and each.section in sections
                 and (each.value is not None or each.compulsory) and (not only or each.label in only))  # fmt: skip


def form(title: str, boxes: Iterable[FormBox]) -> Paper:
    """One form, its boxes in the order in which they come, section by section."""
    sections: dict[str, list[BoxRow]] = {}
    for each in boxes:
        sections.setdefault(each.section, []).append(BoxRow(each.label, each.value, each.owed_by, each.compulsory))
    rows = [row for of in sections.values() for row in of]
    wanting = sum(row.value is None and row.compulsory for row in rows)
    blocks: list[Block] = [Text(f"{len(rows)} boxes, {sum(row.value is not None for row in rows)} of them filled; "
                                f"{wanting} that must be filled are empty.")]  # fmt: skip
    for name, of in sections.items():
        blocks += [Heading(name), Boxes(tuple(of))] if name else [Boxes(tuple(of))]
    return Paper(form_name(title), title, SAYS, tuple(blocks))
