"""The named figures that a take-off adds to what was measured: allowances.csv beside this file."""

from __future__ import annotations

import csv
from functools import lru_cache
from importlib import resources


@lru_cache(maxsize=1)
def allowances() -> dict[str, float]:
    """Every value of allowances.csv by its name; the units stand in the file."""
    text = resources.files("ampwright.assess.materials").joinpath("allowances.csv").read_text(encoding="utf-8")
    return {row["name"]: float(row["value"]) for row in csv.DictReader(text.splitlines())}
