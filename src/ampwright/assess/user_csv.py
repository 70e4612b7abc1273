"""Reading a CSV that the user edits: its text, its rows with their lines, and all that is wrong with its shape."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from importlib import resources
from pathlib import Path

from ampwright.job.faults import MOST_SHOWN_COUNT, Fault, shortened


class BadTable(ValueError):
    """A file of the user's that cannot be read. `faults` holds all that is wrong with it; as text, the first 50."""

    def __init__(self, faults: list[Fault], file: str, name: str) -> None:
        self.faults = tuple(sorted(faults, key=lambda each: each.line or 0))
        more = len(faults) - MOST_SHOWN_COUNT
        shown = [f"  {each}" for each in self.faults[:MOST_SHOWN_COUNT]] + ([f"  and {more} more"] if more > 0 else [])
        super().__init__("\n".join([f"{file} cannot be read as a {name}:", *shown]))


@dataclass(frozen=True, slots=True)
class Sort:
    """A sort of table that the user edits: what it is called, the one shipped in this package, its columns."""

    name: str
    shipped: str
    columns: tuple[str, ...]

    def text(self) -> str:
        """The one shipped."""
        return resources.files("ampwright.assess").joinpath(self.shipped).read_text(encoding="utf-8")

    @contextmanager
    def reading(self, source: str | Path | None) -> Iterator[Found]:
        """The rows of a text, of a file or of the one shipped. Leaving raises BadTable with every fault at once."""
        faults: list[Fault] = []
        text = self.text() if source is None else source if isinstance(source, str) else _text_in(source, faults)
        rows = list(rows_of(text, self.columns, faults)) if text is not None else []
        yield Found(rows, faults, text is not None and not any(each.line == 1 for each in faults))
        if faults:
            raise BadTable(faults, str(source) if isinstance(source, Path) else f"the {self.name}", self.name)


@dataclass(frozen=True, slots=True)
class Found:
    """Each row with its line, what is wrong so far, and whether there is a table that can be judged as a whole."""

    rows: list[tuple[int, dict[str, str]]]
    faults: list[Fault]
    whole: bool

    def judge_doubles(self, columns: tuple[str, ...], says: Callable[[dict[str, str], int], Fault]) -> None:
        """Tell of each row that has the same in these columns as one before it; `says` gets the line of that one."""
        first: dict[tuple[str, ...], int] = {}
        for line, row in self.rows:
            before = first.setdefault(tuple(row[each] for each in columns), line)
            if before != line:
                self.faults.append(replace(says(row, before), line=line))


def _text_in(file: Path, faults: list[Fault]) -> str | None:
    try:
        return file.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        faults.append(Fault(None, "", "this is not plain text; save it as CSV in UTF-8"))
    except OSError as wrong:
        faults.append(Fault(None, "", f"it cannot be opened: {wrong.strerror}"))
    return None


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
