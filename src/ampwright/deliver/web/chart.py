"""A chart as a page has it: the numbers to draw, and the same in a sentence and in a table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Key:
    """What one line or area means: its words, and the classes of its look."""

    words: str
    look: str


@dataclass(frozen=True, slots=True)
class Chart:
    """A chart of a page. `address` gives its numbers as JSON; the table is for those who do not see it."""

    id: str
    title: str
    summary: str
    address: str
    keys: tuple[Key, ...]
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    table_says: str = "The same as a table"
    table_open: bool = False


def line(words: str, values: Sequence[Any], colour: str, **more: Any) -> dict[str, Any]:
    """One line of a chart, for the page's own script: `look`, `width`, `filled`, `steps`, `points`, `unit`."""
    return {"words": words, "values": list(values), "colour": colour, **more}


def by(values: Sequence[Any], count: int) -> list[Sequence[Any]]:
    """The values, so many at a time."""
    return [values[start:start + count] for start in range(0, len(values), count)]
