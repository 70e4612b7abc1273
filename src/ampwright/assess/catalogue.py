"""The catalogue: what may be chosen for a job, what each choice fixes in the record, and what it costs.

A plain CSV that the user edits; one row is one choice on one axis. The one shipped beside this file names no make,
and every price and time in it is an INVENTED DEMO PRICE, as its notes say: put your own in before you quote.
Money is in whole pence, net of VAT; work is in whole minutes.

- `sets`: `path=value; path=value`, fields of the record. `none` clears a field (but is a word where the field's
  closed list has it). In axis cable `route[].` is the stretch at hand, in axis load cap `sensors[].link` how
  its sensor at the supply will talk, which leaves the record alone.
- `offered_where`: `path op value`, joined by `;`, op one of `= != < >`, `|` between alternatives. What nobody looked
  at counts as offered, and so does a range with any value in it that would do.
- Axis trench has a row for each surface, `route[].surface=lawn`, or one row without a condition for all.
- `*_per_m`: for a cable, each metre of its stretch; for a trench, each metre that is buried; else each metre whose
  cable carries no data. `*_per_end`: each
  termination of a cable. In axis labour `pence` is the price of an hour.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import Any, get_args

from ampwright.assess.catalogue_cable import cable_misses
from ampwright.assess.catalogue_cells import OF_SENSORS, Condition, conditions_in, price, sets_in
from ampwright.assess.user_csv import Sort
from ampwright.job.faults import Fault, shortened
from ampwright.job.paths import at, changed
from ampwright.job.record import Job
from ampwright.job.sketch import Surface
from ampwright.reading import Reading

AXES = ("labour", "always", "charging", "protection", "earthing", "load cap", "tails", "main switch", "main bonding",
        "board", "cable", "joint", "trench")  # fmt: skip
PRICES = ("pence", "minutes", "pence_per_m", "minutes_per_m", "pence_per_end", "minutes_per_end")
SORT = Sort("catalogue", "catalogue.csv", ("axis", "id", "words", "sets", "offered_where", *PRICES, "note"))
ONE_ROW = ("labour", "joint")
EVERY_CABLE_SETS = tuple(f"route[].cable.{name}"
                         for name in ("kind", "size_mm2", "cores_count", "cpc", "cpc_mm2", "carries_data"))  # fmt: skip


@dataclass(frozen=True, slots=True)
class Cost:
    """Net price in whole pence and work in whole minutes."""

    pence: int = 0
    minutes: int = 0


@dataclass(frozen=True, slots=True)
class Choice:
    """One row. `sets` are path patterns and values of the record; costs are fixed, a metre and a termination."""

    axis: str
    id: str
    words: str
    sets: tuple[tuple[str, Any], ...]
    offered_where: tuple[Condition, ...]
    fixed: Cost
    per_m: Cost
    per_end: Cost
    note: str

    def changes(self, section_index: int | None = None) -> dict[str, Any]:
        """What it fixes, by concrete path. Raises ValueError for a cable without the number of its stretch."""
        return {_here(path, section_index): value for path, value in self.sets if not path.startswith(OF_SENSORS)}

    @property
    def sensor_link(self) -> str | None:
        """How a load cap's sensor at the supply talks, if the row says: of what is to be fitted, not of the record."""
        return dict(self.sets).get(f"{OF_SENSORS}link")


@dataclass(frozen=True, slots=True)
class Catalogue:
    """All choices in the order of the file, which is the order of preference where two are equal."""

    choices: tuple[Choice, ...]

    def axis(self, name: str) -> tuple[Choice, ...]:
        """The choices on one axis. Raises KeyError for an axis that is not in `AXES`."""
        if name not in AXES:
            raise KeyError(name)
        return tuple(choice for choice in self.choices if choice.axis == name)

    @property
    def labour_pence_per_h(self) -> int:
        """The net price of an hour's work."""
        return self.axis("labour")[0].fixed.pence


def offered(choice: Choice, job: Job, section_index: int | None = None) -> bool:
    """Whether the choice may be had on this job (for a cable: on that stretch), as far as anybody looked."""
    return all(each.holds(at(job, _here(each.path, section_index))) for each in choice.offered_where)


def held(job: Job, path: str, value: Any) -> bool:
    """Whether the record has there already what a choice fixes: a reading of the same number is the same."""
    there = at(job, path)
    if isinstance(there, Reading) and isinstance(value, Reading):
        return (there.low, there.high) == (value.low, value.high)
    return bool(there == value)


def applied(job: Job, choice: Choice, section_index: int | None = None) -> Job:
    """The same job with what the choice fixes."""
    return changed(job, choice.changes(section_index))


def read_catalogue(source: str | Path | None = None) -> Catalogue:
    """The catalogue in a text or in a file, or the one shipped. Raises BadTable with every fault at once."""
    with SORT.reading(source) as found:
        choices = [_choice(line, row, found.faults) for line, row in found.rows]
        if found.whole:
            _judge_together([(line, each) for (line, _), each in zip(found.rows, choices, strict=True)], found.faults)
    return Catalogue(tuple(choices))


def dug_by(choice: Choice, surface: Surface) -> bool:
    """Whether a row of axis trench is for ground with that surface; one without a condition is for any."""
    return all(each.holds(surface) for each in choice.offered_where)


def _here(path: str, section_index: int | None) -> str:
    if "[]" not in path:
        return path
    if section_index is None:
        raise ValueError(f"{path} is a stretch's own: say which stretch")
    return path.replace("[]", f"[{section_index}]")


def _choice(line: int, row: dict[str, str], faults: list[Fault]) -> Choice:
    """The row as a choice, with what could be read of it; what could not is in `faults`."""

    def says(column: str, words: str) -> None:
        faults.append(Fault(line, column, words))

    axis = row["axis"]
    if axis not in AXES:
        close = get_close_matches(axis.lower(), AXES, n=1)
        hint = f"did you mean {close[0]}?" if close else f"the axes are {', '.join(AXES)}"
        says("axis", f"'{shortened(axis)}' is no axis; {hint}")
    for column in ("id", "words"):
        if not row[column]:
            says(column, "this is empty; every choice needs a short name and its words")
    for column in ("id", "words", "note"):
        if not row[column].isprintable():
            says(column, "this holds a sign that cannot be printed; write it in plain letters on one line")
    pence, minutes, *per = (price(row[column], column, says) for column in PRICES)
    return Choice(axis, row["id"], row["words"], tuple(sets_in(axis, row["sets"], says)),
                  tuple(conditions_in(axis, row["offered_where"], says)), Cost(pence, minutes), Cost(*per[:2]),
                  Cost(*per[2:]), row["note"])  # fmt: skip


def _judge_together(found: list[tuple[int, Choice]], faults: list[Fault]) -> None:
    """What only the rows together show: doubles, axes that are missing, two axes that set one field."""
    first: dict[tuple[str, str], int] = {}
    owners: dict[str, tuple[str, int]] = {}
    for line, choice in found:
        before = first.setdefault((choice.axis, choice.id), line)
        if before != line and choice.id and choice.axis not in ONE_ROW:
            faults.append(Fault(line, "id", f"'{shortened(choice.id)}' stands already on line {before} in this axis"))
        for path, _ in choice.sets:
            owner, where = owners.setdefault(path, (choice.axis, line))
            if owner != choice.axis:
                faults.append(Fault(line, "sets", f"{path} is set by axis {owner} already, on line {where}"))
    for axis in AXES:
        lines = [line for line, choice in found if choice.axis == axis]
        if not lines:
            faults.append(Fault(None, "", f"there is no row of axis {axis}"))
        if axis == "trench" and lines:
            faults += _trench_faults([(line, choice) for line, choice in found if choice.axis == axis])
        if axis in ONE_ROW:
            faults += [Fault(line, "axis", f"{axis} has one row, and that is line {lines[0]}") for line in lines[1:]]
    faulty = {(each.line, each.path) for each in faults}
    faults += [Fault(line, column, says) for line, choice in found for column, says in _misses(choice)
               if (line, column) not in faulty]  # fmt: skip


def _trench_faults(rows: list[tuple[int, Choice]]) -> Iterator[Fault]:
    """One row for each surface, neither none nor two."""
    for surface in get_args(Surface):
        lines = [line for line, choice in rows if dug_by(choice, surface)]
        if not lines:
            yield Fault(None, "", f"there is no trench for {surface}: give it a row, or one row for every surface")
        for line in lines[1:]:
            yield Fault(line, "offered_where", f"a trench for {surface} stands already on line {lines[0]}")


def _misses(choice: Choice) -> Iterator[tuple[str, str]]:
    """The columns in which a row of its axis lacks something, or has what would never be counted."""
    unsaid = [path for path in EVERY_CABLE_SETS if path not in dict(choice.sets)]
    if choice.axis == "cable" and unsaid:
        yield "sets", f"a cable must say all of itself; {', '.join(unsaid)} not given"
    if choice.axis == "cable":
        yield from cable_misses(dict(choice.sets), choice.offered_where)
    if choice.axis == "labour" and not choice.fixed.pence:
        yield "pence", "the price of an hour is wanted here"
    if choice.axis == "labour" and choice.fixed.minutes:
        yield "minutes", "labour has only the price of an hour"
    if choice.axis in ONE_ROW and choice.per_m != Cost():
        yield "pence_per_m", f"nothing is counted by the metre in axis {choice.axis}"
    if choice.axis != "cable" and choice.per_end != Cost():
        yield "pence_per_end", "only a cable has terminations"
