"""The tests in the order of the trade: dead, then live, then those of the charge point."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources


@dataclass(frozen=True, slots=True)
class Row:
    """One row of order.csv: how it is done, which rule judges it, and what is to be repeated after it failed. Where no
    rule does, its field says yes or no.

    `limit` is the symbol under which the rule puts its limit, `side` whether that is the most or the least.
    """

    id: str
    stage: str
    title: str
    how: str
    path: str
    unit: str
    rule: str
    limit: str
    side: str
    trial: str
    repeat: tuple[str, ...]
    cautions: tuple[str, ...]


@lru_cache(maxsize=1)
def order() -> tuple[Row, ...]:
    """Every test, in order. Common practice of the trade, from memory."""
    text = resources.files("ampwright.assess.testing").joinpath("order.csv").read_text(encoding="utf-8")
    return tuple(
        Row(row["id"], row["stage"], row["title"], row["how"], row["path"], row["unit"], row["rule"], row["limit"],
            row["side"], row["trial"], tuple(row["repeat"].split()), tuple(row["cautions"].split()))
        for row in csv.DictReader(text.splitlines())
    )  # fmt: skip


def titled(test_id: str) -> str:
    """The title of a test. Raises KeyError for one that is not in the order."""
    return {each.id: each.title for each in order()}[test_id]
