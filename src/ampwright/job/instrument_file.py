"""Readings that an instrument wrote as CSV, put into the job by a map of columns.

The map is CSV as well, with the columns `column, field, factor`: which column of the file holds which field of the
record, and by what its figure is to be multiplied (1000 where the file has seconds and the field wants ms). A line
with the field `circuit` names the column that says which circuit a row is of.
"""

from __future__ import annotations

import csv
import datetime
import math
import re
from dataclasses import dataclass
from pathlib import Path

from ampwright.job.faults import shortened
from ampwright.job.fields import bare, field, leaves
from ampwright.job.paths import changed
from ampwright.job.record import Job
from ampwright.job.words import misfit, out_of_bounds
from ampwright.reading import Reading, measured

CIRCUIT = "circuit"
ALSO = ("supply.ze_ohm", "supply.pfc_ka", "electrode.measured_ohm")
LARGEST_BYTES_COUNT = 4 * 1024 * 1024
_EMPTY = {"", "-", "--", "---", "n/a", "na"}
_YES = {"yes": True, "pass": True, "ok": True, "true": True, "no": False, "fail": False, "false": False}
_FIGURE = re.compile(r"([<>]?)\s*(-?\d+(?:\.\d+)?)")


class BadInstrumentFile(Exception):
    """A file or a map that cannot be used; `says` holds every reason, with its line."""

    def __init__(self, says: tuple[str, ...]) -> None:
        self.says = says
        super().__init__(*says)


@dataclass(frozen=True, slots=True)
class Column:
    """One line of the map."""

    column: str
    path: str
    factor_ratio: float


def read_into(job: Job, readings: Path, columns: Path, circuit: str | None = None) -> Job:
    """The job with the readings of one row: the only one, or that of the named circuit.

    A figure over the instrument's range (">999") is a range up to what the field calls sane. Raises BadInstrumentFile
    with all that is wrong, OSError where a file cannot be opened.
    """
    wanted = _map(columns)
    row, line = _row(readings, wanted, circuit)
    found, faults = {}, []
    for each in wanted:
        text = row[each.column].strip()
        if each.path == CIRCUIT or text.lower() in _EMPTY:
            continue
        value, fault = _value(each, text, readings.name)
        if fault:
            faults.append(f"{readings.name}, line {line}, column {shortened(each.column)}: {fault}")
        found[each.path] = value
    if faults:
        raise BadInstrumentFile(tuple(faults))
    return changed(job, found)


def _rows(file: Path) -> list[dict[str, str]]:
    """The rows of a CSV file by its headings; refuses what is no table."""
    if file.stat().st_size > LARGEST_BYTES_COUNT:
        raise BadInstrumentFile((f"{file.name} is larger than any file of readings; is it the right one?",))
    try:
        text = file.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as bad:
        raise BadInstrumentFile((f"{file.name} is not text in UTF-8; save it as CSV UTF-8",)) from bad
    try:
        lines = list(csv.reader(text.splitlines(), delimiter=";" if _semicolons(text) else ","))
    except csv.Error as bad:
        raise BadInstrumentFile((f"{file.name} is not a table of columns ({bad}); save it as CSV UTF-8",)) from bad
    if not lines:
        raise BadInstrumentFile((f"{file.name} is empty",))
    headings = [each.strip() for each in lines[0]]
    twice = sorted({each for each in headings if each and headings.count(each) > 1})
    uneven = [number for number, line in enumerate(lines, start=1) if line and len(line) != len(headings)]
    says = [f"{file.name}: the heading {shortened(each)} stands twice" for each in twice]
    says += [f"{file.name}, line {each}: it has not as many columns as the headings" for each in uneven]
    if says:
        raise BadInstrumentFile(tuple(says))
    return [dict(zip(headings, line, strict=True)) for line in lines[1:] if any(each.strip() for each in line)]


def _semicolons(text: str) -> bool:
    first = text.split("\n", 1)[0]
    return first.count(";") > first.count(",")


def _map(file: Path) -> tuple[Column, ...]:
    rows = _rows(file)
    if not rows or not {"column", "field"} <= set(rows[0]):
        wants = "column, field and, where a figure is to be multiplied, factor"
        raise BadInstrumentFile((f"{file.name}: a map has the headings {wants}",))
    says: list[str] = []
    columns: list[Column] = []
    for number, row in enumerate(rows, start=1):
        path, factor = row["field"].strip(), row.get("factor", "").strip() or "1"
        if path != CIRCUIT and not _may_be_read(path):
            says.append(f"{file.name}, entry {number}: {shortened(path)} is no field that a test instrument reads")
        factor_ratio = float(factor) if _FIGURE.fullmatch(factor) and factor[0] not in "<>" else 0.0
        if not factor_ratio > 0:
            says.append(f"{file.name}, entry {number}: the factor {shortened(factor)} is not a number above zero")
        columns.append(Column(row["column"].strip(), path, factor_ratio))
    paths = [each.path for each in columns]
    says += [f"{file.name}: {each} is filled from two columns" for each in sorted(set(paths)) if paths.count(each) > 1]
    if says:
        raise BadInstrumentFile(tuple(says))
    return tuple(columns)


def _may_be_read(path: str) -> bool:
    """Single values of the tests, and the few readings that stand elsewhere in the record."""
    known = leaves().get(path)
    return known is not None and "[]" not in path and (path.startswith("tests.") or path in ALSO)


def _row(file: Path, columns: tuple[Column, ...], circuit: str | None) -> tuple[dict[str, str], int]:
    rows = _rows(file)
    missing = [each.column for each in columns if rows and each.column not in rows[0]]
    if missing:
        raise BadInstrumentFile(tuple(f"{file.name} has no column {shortened(each)}" for each in missing))
    name = next((each.column for each in columns if each.path == CIRCUIT), None)
    if circuit is not None and name is None:
        raise BadInstrumentFile(("the map names no column for the field circuit, so no circuit can be picked",))
    fits = [(row, number) for number, row in enumerate(rows, start=2)
            if circuit is None or row[name or ""].strip().lower() == circuit.strip().lower()]  # fmt: skip
    if len(fits) == 1:
        return fits[0]
    known = ", ".join(shortened(row[name]) for row in rows) if name and rows else ""
    says = f"{file.name}: {len(fits)} rows {'are of that circuit' if circuit else 'stand there'}, and one is wanted"
    raise BadInstrumentFile((f"{says}; name one of {known}" if known else says,))


def _value(column: Column, text: str, source: str) -> tuple[object, str]:
    """What a cell says, and what is wrong with it."""
    hint = bare(leaves()[column.path])
    if hint is bool:
        known = _YES.get(text.lower())
        return known, "" if known is not None else misfit(hint, text)
    if hint is str:
        return text, ""
    if hint is datetime.date:
        try:
            return datetime.date.fromisoformat(text), ""
        except ValueError:
            return None, misfit(hint, text)
    figure = _FIGURE.fullmatch(text)
    if figure is None:
        return None, misfit(hint, text)
    value = float(figure[2]) * column.factor_ratio
    asked = field(column.path)
    low, high = asked.low if asked.low is not None else -math.inf, asked.high if asked.high is not None else math.inf
    if not low <= value <= high:
        return None, out_of_bounds(column.path, value, low, high)
    if hint is float:
        return value, ""
    if figure[1]:
        ends = (value, high) if figure[1] == ">" else (low, value)
        return Reading(*ends, because=f"{text} in {source}: beyond the instrument's range"), ""
    return measured(value, source), ""
