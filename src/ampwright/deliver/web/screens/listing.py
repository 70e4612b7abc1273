"""The screens beside the survey: what each is called, what it tells, and the parts of the line that lead to it."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources


@dataclass(frozen=True, slots=True)
class Screen:
    """A row of screens.csv. `id` is its address below that of the job."""

    id: str
    name: str
    parts: tuple[str, ...]
    says: str


@lru_cache(maxsize=1)
def screens() -> tuple[Screen, ...]:
    """Every screen, in the order of the work."""
    text = resources.files("ampwright.deliver.web").joinpath("screens.csv").read_text(encoding="utf-8")
    return tuple(Screen(row["id"], row["name"], tuple(row["parts"].split("; ")), row["says"])
                 for row in csv.DictReader(text.splitlines()))  # fmt: skip
