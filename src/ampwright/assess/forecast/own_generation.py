"""The generation's own readings, at any step up to an hour, as a year of minutes; gaps stay gaps and are listed."""

from __future__ import annotations

import csv
import datetime
import hashlib
import math
import re
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np

from ampwright.assess.forecast.place import MINUTES_COUNT, MONTH_DAYS
from ampwright.assess.forecast.weather import Provenance
from ampwright.job.british_clock import changes_utc, from_clock
from ampwright.job.faults import shortened
from ampwright.job.half_hourly import Gap
from ampwright.physics.sun import Numbers

MINUTE = datetime.timedelta(minutes=1)
_LARGEST_BYTES_COUNT = 64 * 1024 * 1024
_LONGEST_MIN = 60
_MOST_KW = 1000.0
_MOST_FAULTS_COUNT = 20
_BRITISH = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{4})[ T]+(\d{1,2}):(\d{2})(?::(\d{2}))?")
_UNIT = re.compile(r"(?:^|[^a-z])(kwh|wh|kw|w)(?:$|[^a-z])")
_PER_UNIT = {"kwh": 1.0, "wh": 0.001, "kw": 1.0, "w": 0.001}
_BEFORE_MONTH = np.cumsum((0, *MONTH_DAYS))
_Timed = tuple[datetime.datetime, float]
_Line = tuple[int, datetime.datetime, float]


class BadGeneration(Exception):
    """A file of readings that cannot be used; `says` holds every reason, with lines of that file."""

    def __init__(self, says: tuple[str, ...]) -> None:
        self.says = says
        super().__init__(*says)


@dataclass(frozen=True, slots=True, eq=False)
class OwnGeneration:
    """A year by minute, kW, each step's mean spread evenly over it; not a number in the gaps, which are listed with
    the minutes that each lacks. `first` is when the readings of the file begin, `last` when they end, UTC.
    """

    made_kw: Numbers
    step_min: int
    gaps: tuple[Gap, ...]
    came_from: Provenance
    first: datetime.datetime
    last: datetime.datetime

    def with_gaps_from(self, modelled_kw: Numbers) -> Numbers:
        """The readings, and where there are none a model's; to be used only where the page says so."""
        return np.where(np.isnan(self.made_kw), modelled_kw, self.made_kw)


def read_generation(path: Path) -> OwnGeneration:
    """The last 365 days of a file of readings. Raises BadGeneration with every line that is wrong.

    One column is headed as a start or time, one names its unit: kWh or Wh of each step, kW or W as its mean. Times
    are ISO, with or without a zone, or day/month/year; without a zone the British clock is told by the hour it
    shows twice or leaves out, and is else taken as UTC.
    """
    raw = _bytes(path)
    faults: list[str] = []
    rows, unit, note = _rows(raw, path.name, faults)
    starts = [start for start, _ in rows]
    if not faults and len(rows) < 2:
        faults.append(f"{path.name} has fewer than two readings")
    step = min((after - before for before, after in pairwise(starts)), default=MINUTE)
    step_min = round(step / MINUTE)
    if not faults and (step_min < 1 or step_min > _LONGEST_MIN or step != step_min * MINUTE):
        faults.append(f"{path.name} has readings {step.total_seconds() / 60:g} minutes apart;"
                      " bring whole minutes, at most sixty")  # fmt: skip
    scale_ratio = _PER_UNIT[unit] * (60 / max(step_min, 1) if unit.endswith("h") else 1)
    if not faults and max(value for _, value in rows) * scale_ratio > _MOST_KW:
        faults.append(f"{path.name} has a reading above {_MOST_KW:g} kW; check that '{unit}' is its unit, and that it"
                      " counts each step and not the sum so far")  # fmt: skip
    if faults:
        more = len(faults) - _MOST_FAULTS_COUNT
        raise BadGeneration((*faults[:_MOST_FAULTS_COUNT], *([f"and {more} more of the kind"] if more > 0 else [])))
    last = starts[-1] + step
    since = last - datetime.timedelta(days=366 if _crosses_leap(last) else 365)
    rows = [row for row in rows if row[0] >= since]
    edges = [since - step, *(start for start, _ in rows)]
    gaps = tuple(Gap(before + step, round((after - before - step) / MINUTE))
                 for before, after in pairwise(edges) if after - before > step)  # fmt: skip
    return OwnGeneration(_minutes(rows, step_min, scale_ratio), step_min, gaps, Provenance(
        f"readings of the generation in {path.name}", hashlib.sha256(raw).hexdigest(), notes=(note,)),
        starts[0], last)  # fmt: skip


def _crosses_leap(last: datetime.datetime) -> bool:
    """Whether a 29 February, which has no place in a year of 365 days, lies in the year before."""
    leap = [year for year in (last.year - 1, last.year) if year % 4 == 0 and (year % 100 or not year % 400)]
    return any(last - datetime.timedelta(days=366) <= datetime.datetime(year, 2, 29) < last for year in leap)


def _minutes(rows: list[_Timed], step_min: int, scale_ratio: float) -> Numbers:
    made = np.full(MINUTES_COUNT, np.nan)
    for start, value in rows:
        if (start.month, start.day) == (2, 29):
            continue
        first = int((_BEFORE_MONTH[start.month - 1] + start.day - 1) * 1440) + start.hour * 60 + start.minute
        made[np.arange(first, first + step_min) % MINUTES_COUNT] = value * scale_ratio
    return made


def _bytes(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            raw = file.read(_LARGEST_BYTES_COUNT + 1)
    except OSError as wrong:
        raise BadGeneration((f"{path.name} cannot be read; check its name and who may read it",)) from wrong
    if len(raw) > _LARGEST_BYTES_COUNT:
        raise BadGeneration((f"{path.name} is over 64 MiB, too long for a year of minutes",))
    return raw


def _rows(raw: bytes, file: str, faults: list[str]) -> tuple[list[_Timed], str, str]:
    """The readings in order of time, UTC; the unit; and what was made of the clock."""
    try:
        lines = raw.decode("utf-8-sig").splitlines()
        cells = [(number, row) for number, row in enumerate(csv.reader(lines, delimiter=_mark(lines)), 1) if row]
    except (UnicodeDecodeError, csv.Error) as wrong:
        raise BadGeneration((f"{file} is not CSV in UTF-8; save it so",)) from wrong
    time, value, unit = _columns(cells[0][1] if cells else [], file)
    found: list[_Line] = []
    for number, row in cells[1:]:
        if len(row) <= max(time, value):
            faults.append(f"{file} line {number}: this line is shorter than the heading")
        elif (start := _start(row[time].strip())) is None:
            faults.append(f"{file} line {number}: '{shortened(row[time])}' is no time;"
                          " write 2026-01-31T17:30 or 31/01/2026 17:30")  # fmt: skip
        elif row[value].strip():
            number_read = _number(row[value])
            if number_read is None:
                faults.append(f"{file} line {number}: '{shortened(row[value])}' is no reading of zero or more")
            else:
                found.append((number, start, number_read))
    rows, note = _in_utc(found, file, faults)
    return rows, unit, note


def _mark(lines: list[str]) -> str:
    return ";" if lines and ";" in lines[0] and "," not in lines[0] else ","


def _columns(heading: list[str], file: str) -> tuple[int, int, str]:
    names = [cell.strip().lower() for cell in heading]
    times = [place for place, name in enumerate(names) if re.search(r"start|time|date", name)]
    units = {place: found[1] for place, name in enumerate(names)
             if (found := _UNIT.search(name)) and place not in times}  # fmt: skip
    if len(times) != 1 or len(units) != 1:
        raise BadGeneration((f"{file} line 1: head one column 'start' and one with its unit, as in 'generation kWh'"
                             " (kWh, Wh, kW or W), no other like them",))  # fmt: skip
    return times[0], *units.popitem()


def _start(text: str) -> datetime.datetime | None:
    try:
        if found := _BRITISH.fullmatch(text):
            day, month, year, hour, minute, second = (int(part or 0) for part in found.groups())
            start = datetime.datetime(year, month, day, hour, minute, second)
        elif len(text) > len("2026-01-31"):
            start = datetime.datetime.fromisoformat(text)
        else:
            return None
    except ValueError:
        return None
    return start if 1990 <= start.year <= 2200 and not start.second and not start.microsecond else None


def _number(text: str) -> float | None:
    try:
        number = float(text)
    except ValueError:
        return None
    return number if math.isfinite(number) and number >= 0 else None


def _in_utc(found: list[_Line], file: str,
            faults: list[str]) -> tuple[list[_Timed], str]:  # fmt: skip
    zoned = {start.tzinfo is not None for _, start, _ in found}
    if len(zoned) > 1:
        raise BadGeneration((f"{file} has times with a zone and times without; use one kind",))
    if zoned == {True}:
        found = [(line, start.astimezone(datetime.UTC).replace(tzinfo=None), value) for line, start, value in found]
        note = "times with a zone"
    elif _british({start for _, start, _ in found}, len(found)):
        found, note = _from_the_clock(found), "times on the British clock, as its changes show"
    else:
        note = "times without a zone, taken as UTC; if they are on the British clock, summer stands an hour late"
    seen: dict[datetime.datetime, int] = {}
    for line, start, _ in found:
        if start in seen:
            faults.append(f"{file} line {line}: this time is already given in line {seen[start]}; keep one")
        seen.setdefault(start, line)
    return sorted((start, value) for _, start, value in found), note


def _british(starts: set[datetime.datetime], rows_count: int) -> bool:
    """Whether the clock shows an hour twice in October, or leaves one out in March with readings on both sides."""
    if len(starts) < rows_count:
        return True
    for year in {start.year for start in starts}:
        begins, _ = changes_utc(year)
        hour = {start for start in starts if begins <= start < begins + datetime.timedelta(hours=1)}
        around = [any(begins + by * MINUTE <= start < begins + (by + 60) * MINUTE for start in starts)
                  for by in (-60, 60)]  # fmt: skip
        if all(around) and not hour:
            return True
    return False


def _from_the_clock(found: list[_Line]) -> list[_Line]:
    seen: set[datetime.datetime] = set()
    turned = []
    backwards = found[0][1] > found[-1][1]
    for line, start, value in reversed(found) if backwards else found:
        utc = from_clock(start, second_time=start in seen) or start
        seen.add(start)
        turned.append((line, utc, value))
    return turned
