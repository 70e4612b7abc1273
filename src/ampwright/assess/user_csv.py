"""Reading a CSV that the user edits: its text, its rows with their lines, and all that is wrong with its shape."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from importlib import resources
from pathlib import Path

from ampwright.job.faults import MOST_SHOWN_COUNT, Fault, shortened


class BadTable(ValueError):
    """A file of the user's that cannot be read. `faults` holds all that is wrong with it; as text, the first 50."""

    kind = "a table"

    def __init__(self, faults: list[Fault], file: str) -> None:
        self.faults = tuple(sorted(faults, key=lambda each: each.line or 0))
        more = len(faults) - MOST_SHOWN_COUNT
        shown = [f"  {each}" for each in self.faults[:MOST_SHOWN_COUNT]] + ([f"  and {more} more"] if more > 0 else [])
        super().__init__("\n".join([f"{file} cannot be read as {self.kind}:", *shown]))


def text_of(source: str | Path | None, shipped: str) -> tuple[str | None, list[Fault]]:
    """The text itself, of the file, or of the one shipped in this package; with what is wrong where there is none."""
    if isinstance(source, str):
        return source, []
    if source is None:
        return resources.files("ampwright.assess").joinpath(shipped).read_text(encoding="utf-8"), []
    try:
        return source.read_text(encoding="utf-8-sig"), []
    except UnicodeDecodeError:
        return None, [Fault(None, "", "this is not plain text; save it as CSV in UTF-8")]
    except OSError as wrong:
        return None, [Fault(None, "", f"it cannot be opened: {wrong.strerror}")]


def rows_of(text: str, columns: tuple[str, ...], faults: list[Fault]) -> Iterator[tuple[int, dict[str, str]]]:
    """Each row with its line, cells stripped; blank lines are passed over."""
    table = _table(text, faults)
    heads = [cell.strip() for cell in table[0][1]] if table else []
    says = f"the first line must name the columns {', '.join(columns)}"
    if wrong := [*(f"{each} is missing" for each in columns if each not in heads),
                 *(f"'{shortened(each)}' is none of them" for each in heads if each not in columns),
                 *(f"{each} stands twice" for each in columns if heads.count(each) > 1)]:  # fmt: skip
        faults.append(Fault(1, "", f"{says}; {'; '.join(wrong)}"))
        return
    for line, cells in table[1:]:
        if any(cell.strip() for cell in cells):
            if len(cells) != len(heads):
                faults.append(Fault(line, "", f"{len(cells)} cells stand here and {len(heads)} are wanted; "
                                    "put words that have a comma in them in double quotes"))  # fmt: skip
            padded = [cell.strip() for cell in cells] + [""] * len(heads)
            yield line, dict(zip(heads, padded, strict=False))


def _table(text: str, faults: list[Fault]) -> list[tuple[int, list[str]]]:
    reader = csv.reader(text.splitlines(), strict=True)
    table = []
    try:
        for cells in reader:
            table.append((reader.line_num, cells))
    except csv.Error:
        faults.append(Fault(reader.line_num, "", "the double quotes up to here do not pair; nothing after was read"))
    return table
