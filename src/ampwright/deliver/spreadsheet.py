"""CSV for a spreadsheet: a cell that it would reckon with is marked as text."""

from __future__ import annotations

import re

FORMULA = re.compile(r"^[=@\t\r]|^[+-](?![\d\s()]*$)")


def as_text(cell: str) -> str:
    """The cell, with an apostrophe where a spreadsheet would take it for a formula."""
    return f"'{cell}" if FORMULA.match(cell) else cell
