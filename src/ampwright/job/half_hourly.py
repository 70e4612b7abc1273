"""A year of the supplier's half-hourly readings: read as they are, gaps listed, nothing filled in.

A file has the start of each half hour and the kWh taken in it, under any heading that names them. Starts are
ISO (with or without a zone) or day/month/year. Without a zone the clock is told from the nights when it changes.
"""

from __future__ import annotations

import csv
import datetime
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import NamedTuple

from ampwright.job.british_clock import changes_utc, from_clock, is_summer, to_clock
from ampwright.job.faults import shortened
from ampwright.job.record import HalfHourly

LARGEST_BYTES_COUNT = 16 * 1024 * 1024
MOST_KWH = 500.0
MOST_FAULTS_COUNT = 20
LAST_HOUR = 23
HALF_HOUR = datetime.timedelta(minutes=30)
_BRITISH = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{4})[ T,]+(\d{1,2}):(\d{2})(?::00)?")
_STARTS = ("start", "time", "date", "from")
_ENERGY = ("kwh", "consumption", "usage", "energy", "import")


class BadReadings(Exception):
    """A file of readings that cannot be used; `says` holds every reason, with lines of that file."""

    def __init__(self, says: tuple[str, ...]) -> None:
        self.says = says
        super().__init__(*says)


@dataclass(frozen=True, slots=True)
class Gap:
    """Half hours, or minutes, without a reading: the first of them (UTC, or the file's own clock) and how many."""

    start: datetime.datetime
    missing_count: int


@dataclass(frozen=True, slots=True)
class Readings:
    """Energy in kWh by the start of the half hour, in order of time; `zoned` if the starts are surely UTC."""

    kwh: dict[datetime.datetime, float]
    zoned: bool
    gaps: tuple[Gap, ...]


class _Row(NamedTuple):
    line: int
    start: datetime.datetime
    kwh: float


def read(folder: Path, name: str) -> HalfHourly:
    """What the rules ask of the readings in a file beside the job. Raises BadReadings."""
    return summary(readings(_inside(folder, name)), name)


def summary(found: Readings, name: str) -> HalfHourly:
    """The highest half hour, the days covered (first start to last end), the half hours missing and the months."""
    first, last = min(found.kwh), max(found.kwh)
    highest_at = max(found.kwh, key=lambda start: found.kwh[start])
    shown = to_clock(highest_at) if found.zoned else highest_at
    zone = (" BST" if is_summer(highest_at) else " GMT") if found.zoned else ""
    # the British clock and UTC can be in different months only in the last hour of a day
    months = {(to_clock(start) if found.zoned and start.hour == LAST_HOUR else start).month for start in found.kwh}
    return HalfHourly(
        csv=name,
        highest_kwh=found.kwh[highest_at],
        highest_at=f"{shown:%Y-%m-%d %H:%M}{zone}",
        days_count=(last - first + HALF_HOUR) / datetime.timedelta(days=1),
        missing_count=float(sum(gap.missing_count for gap in found.gaps)),
        months=tuple(sorted(months)),
    )


def readings(path: Path) -> Readings:
    """All half hours of a file of readings, in order. Raises BadReadings with every line that is wrong."""
    faults: list[str] = []
    rows, aware = _rows(_lines(path), path.name, faults)
    zoned, kwh = _on_one_clock(rows, aware, path.name, faults)
    if not rows and not faults:
        faults.append(f"{path.name} has no readings in it; ask the supplier for a year of half-hourly readings")
    starts = sorted(kwh)
    steps = [after - before for before, after in pairwise(starts)]
    if len(steps) > 1 and min(steps) > HALF_HOUR:
        faults.append(f"{path.name} has no two readings half an hour apart; ask the supplier for half-hourly ones")
    if faults:
        more = len(faults) - MOST_FAULTS_COUNT
        raise BadReadings((*faults[:MOST_FAULTS_COUNT], *([f"and {more} more of the kind"] if more > 0 else [])))
    gaps = tuple(Gap(start + HALF_HOUR, step // HALF_HOUR - 1)
                 for start, step in zip(starts, steps, strict=False) if step > HALF_HOUR)  # fmt: skip
    return Readings({start: kwh[start] for start in starts}, zoned, gaps)


def _inside(folder: Path, name: str) -> Path:
    parts = PurePosixPath(name).parts
    if (not parts or PurePosixPath(name).is_absolute() or PureWindowsPath(name).drive or "\\" in name
            or ".." in parts or not name.isprintable()):  # fmt: skip
        raise BadReadings(("name a file beside the job file, without .. and without a drive or a leading slash",))
    path = folder / name
    try:
        beside = path.resolve().is_relative_to(folder.resolve())
        there = path.is_file()
    except (OSError, RuntimeError) as wrong:
        raise BadReadings((f"'{shortened(name)}' cannot be opened; check its name",)) from wrong
    if not beside:
        raise BadReadings((f"'{shortened(name)}' leads out of the job's folder; copy the file beside the job",))
    if not there:
        raise BadReadings((f"there is no file '{shortened(name)}' beside the job; check its name",))
    return path


def _lines(path: Path) -> list[str]:
    try:
        with path.open("rb") as file:
            held = file.read(LARGEST_BYTES_COUNT + 1)
        if len(held) > LARGEST_BYTES_COUNT:
            raise BadReadings((f"{path.name} is over 16 MiB, too long for a few years of half hours",))
        return held.decode("utf-8-sig").splitlines()
    except UnicodeDecodeError as wrong:
        raise BadReadings((f"{path.name} is not UTF-8 text; save it as CSV in UTF-8",)) from wrong
    except OSError as wrong:
        raise BadReadings((f"{path.name} cannot be read; check who may read it",)) from wrong


def _rows(lines: list[str], file: str, faults: list[str]) -> tuple[list[_Row], bool]:
    """Every reading, on the file's own clock or (True) in UTC. A cell left blank is a gap."""
    if any("\0" in line for line in lines):
        raise BadReadings((f"{file} is not a text file",))
    cells = [(number, row) for number, row in _split(lines, file) if "".join(row).strip()]
    columns, body = _columns(cells, file)
    found: list[_Row] = []
    zones: set[bool] = set()
    *starts, last = columns
    for number, row in body:
        try:
            text = " ".join([row[column].strip() for column in starts])
            energy = row[last].strip()
        except IndexError:
            faults.append(f"{file} line {number}: this line is shorter than the heading")
            continue
        start, kwh = _start(text), _kwh(energy)
        if start is None:
            faults.append(f"{file} line {number}: '{shortened(text)}' is not the start of a half hour;"
                          " write 2026-01-31T17:30 or 31/01/2026 17:30")  # fmt: skip
        elif kwh is None and energy:
            faults.append(f"{file} line {number}: '{shortened(energy)}' is no energy between 0 and {MOST_KWH:g} kWh")
        else:
            zones.add(start.tzinfo is not None)
            if kwh is not None:
                found.append(_Row(number, start, kwh))
    if len(zones) > 1:
        raise BadReadings((f"{file} has starts with a zone and starts without; use one kind",))
    aware = zones == {True}
    if aware:
        found = [row._replace(start=row.start.astimezone(datetime.UTC).replace(tzinfo=None)) for row in found]
    return found, aware


def _split(lines: list[str], file: str) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(lines, delimiter=";" if lines and ";" in lines[0] and "," not in lines[0] else ",")
    try:
        for row in reader:
            yield reader.line_num, row
    except csv.Error as wrong:
        raise BadReadings((f"{file} line {reader.line_num}: this line cannot be divided into cells",)) from wrong


def _columns(cells: list[tuple[int, list[str]]], file: str) -> tuple[list[int], list[tuple[int, list[str]]]]:
    """Where the start stands (one column, or a date and a time) and, last, the kWh; and the lines below the heading."""
    if not cells or _start(cells[0][1][0].strip()) is not None:
        return [0, 1], cells
    names = [cell.strip().lower() for cell in cells[0][1]]
    starts = [place for place, name in enumerate(names)
              if any(word in name for word in _STARTS) and not re.search(r"\bend|_end|\bto\b", name)]  # fmt: skip
    energy = [place for place, name in enumerate(names) if "kwh" in name and "export" not in name] or [
        place for place, name in enumerate(names)
        if any(word in name for word in _ENERGY) and "export" not in name and not re.search(r"\bwh\b", name)
    ]  # fmt: skip
    energy = [place for place in energy if place not in starts]
    if not starts or len(energy) != 1:
        raise BadReadings((f"{file} line {cells[0][0]}: head one column 'start' and one 'kwh', no other like them",))
    if len(starts) > 1:
        date_and_time = [next((place for place in starts if names[place] == word), None) for word in ("date", "time")]
        both = [place for place in date_and_time if place is not None]
        starts = both if len(both) == 2 else starts[:1]
    return [*starts, energy[0]], cells[1:]


def _start(text: str) -> datetime.datetime | None:
    try:
        if found := _BRITISH.fullmatch(text):
            day, month, year, hour, minute = (int(part) for part in found.groups())
            start = datetime.datetime(year, month, day, hour, minute)
        elif len(text) > len("2026-01-31"):
            start = datetime.datetime.fromisoformat(text)
        else:
            return None
    except ValueError:
        return None
    sane = start.minute in (0, 30) and not start.second and not start.microsecond and 1990 <= start.year <= 2200
    return start if sane else None


def _kwh(text: str) -> float | None:
    try:
        kwh = float(text)
    except ValueError:
        return None
    return kwh if math.isfinite(kwh) and 0 <= kwh <= MOST_KWH else None


def _on_one_clock(rows: list[_Row], aware: bool, file: str,
                  faults: list[str]) -> tuple[bool, dict[datetime.datetime, float]]:  # fmt: skip
    """Whether the starts are surely UTC, and the energies by start. A half hour given twice is a fault."""
    british = not aware and _british(rows)
    zoned = aware or british or _shows_lost_hour(rows)
    seen: dict[datetime.datetime, int] = {}
    kwh: dict[datetime.datetime, float] = {}
    backwards = len(rows) > 1 and rows[0].start > rows[-1].start
    for row in reversed(rows) if backwards else rows:
        start = row.start
        if british:
            first = from_clock(start)
            start = (first if first not in seen else from_clock(start, second_time=True)) or start
        if start in seen:
            faults.append(f"{file} line {row.line}: this half hour is already given in line {seen[start]}; keep one")
            continue
        seen[start] = row.line
        kwh[start] = row.kwh
    return zoned, kwh


def _shows_lost_hour(rows: list[_Row]) -> bool:
    """Whether the hour in March that the British clock leaves out is there: then the starts are in UTC."""
    lost = {changes_utc(year)[0] for year in {row.start.year for row in rows}}
    return any(row.start - row.start.minute * datetime.timedelta(minutes=1) in lost for row in rows)


def _british(rows: list[_Row]) -> bool:
    """Whether bare starts keep the British clock: an hour is twice in October, or left out in March."""
    if _shows_lost_hour(rows):
        return False
    stamps = [row.start for row in rows]
    have = set(stamps)
    for year in {start.year for start in stamps}:
        begins, ends = changes_utc(year)
        twice = [start for start in stamps if start in (ends, ends + HALF_HOUR)]
        if len(twice) > len(set(twice)):
            return True
        if begins - HALF_HOUR in have and begins + 2 * HALF_HOUR in have:
            return True
    return False
