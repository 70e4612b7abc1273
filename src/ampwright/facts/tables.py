"""Find one row of a table, or raise. Tables are CSV beside this file; the last columns say who says so."""

from __future__ import annotations

import csv
from functools import lru_cache
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

from ampwright.working import Fact, Trust

Key = str | float | int
Row = dict[str, str]


class TableError(LookupError):
    """No such table or column, or more rows than one: a fault of ours."""


class NoRow(TableError):
    """The table has no row (or a blank) for what was asked: the tables held here end before the job does."""


_IN_PLACE: dict[str, Path] = {}


def put_in_place(folder: Path) -> None:
    """From here on in this process, the tables of this folder (gb/max_zs.csv) stand in place of those held.

    To be called before anything was looked up: what was is kept.
    """
    _IN_PLACE.update({str(file.relative_to(folder).with_suffix("")): file for file in sorted(folder.rglob("*.csv"))})


@lru_cache(maxsize=256)
def rows(table: str) -> tuple[Row, ...]:
    """Every row of `table` ("iec/copper_resistance") as text, in the order printed.

    Raises TableError if there is no such table.
    """
    path = _IN_PLACE.get(table) or _root().joinpath(f"{table}.csv")
    if not path.is_file():
        raise TableError(f"there is no table {table!r}")
    return tuple(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))


def all_tables() -> tuple[str, ...]:
    """The names of all tables, sorted."""
    folders = [folder for folder in _root().iterdir() if folder.is_dir() and not folder.name.startswith("_")]
    return tuple(sorted(f"{folder.name}/{file.name[:-4]}"
                        for folder in folders for file in folder.iterdir() if file.name.endswith(".csv")))  # fmt: skip


@lru_cache(maxsize=1)
def sources() -> dict[str, Row]:
    """What each source id stands for: title and address."""
    return {row["id"]: row for row in rows("sources")}


@lru_cache(maxsize=8192)
def look_up(table: str, column: str, **keys: Key) -> Fact:
    """The number in `column` of the one row that has these keys.

    Raises NoRow if no row has them or the cell is blank, TableError if several have them.
    """
    return _fact(table, column, _one(table, keys), keys)


def constant(table: str, name: str, column: str = "value") -> Fact:
    """The number that a table of named constants has under `name`. Raises TableError if it has none: our fault."""
    if not _matching(table, {"name": name}):
        raise TableError(f"{table} has no constant {name!r}")
    return look_up(table, column, name=name)


def look_up_text(table: str, column: str, **keys: Key) -> str:
    """The text in `column` of the one row that has these keys. Raises TableError as `look_up` does."""
    return _one(table, keys)[column]


def look_up_at_least(table: str, column: str, at_least: str, value: float, **keys: Key) -> Fact:
    """The number in the first row whose `at_least` column is not below `value` (the row an electrician
    would take when the value falls between two). Raises NoRow when the table ends before it."""
    above = [row for row in _matching(table, keys) if float(row[at_least]) >= value - 1e-9 and row[column]]
    if not above:
        raise NoRow(f"{table} has no row for {at_least} {value:g} or more with {_words(keys)}")
    row = min(above, key=lambda each: float(each[at_least]))
    return _fact(table, column, row, {**keys, at_least: row[at_least]})


def cited(row: Row) -> str:
    """Where a row stands, to be read aloud: "BS 7671 Table 4D5"."""
    name = sources()[row["source"]]["title"].split(",")[0]
    where = row["where"].split(";")[0]
    return where if where.startswith(name) else f"{name} {where}".strip()


def _root() -> Traversable:
    return resources.files("ampwright.facts")


@lru_cache(maxsize=1024)
def _index(table: str, columns: tuple[str, ...]) -> dict[tuple[str, ...], list[Row]]:
    found: dict[tuple[str, ...], list[Row]] = {}
    for row in rows(table):
        missing = [column for column in columns if column not in row]
        if missing:
            raise TableError(f"{table} has no column {missing[0]!r}")
        found.setdefault(tuple(_plain(row[column]) for column in columns), []).append(row)
    return found


def _matching(table: str, keys: dict[str, Key]) -> list[Row]:
    columns = tuple(sorted(keys))
    return _index(table, columns).get(tuple(_plain(keys[column]) for column in columns), [])


def _one(table: str, keys: dict[str, Key]) -> Row:
    found = _matching(table, keys)
    if not found:
        raise NoRow(f"{table} has no row for {_words(keys)}")
    if len(found) > 1:
        raise TableError(f"{table} has {len(found)} rows for {_words(keys)}")
    return found[0]


def _fact(table: str, column: str, row: Row, keys: dict[str, Key]) -> Fact:
    if not row.get(column):
        raise NoRow(f"{table} gives no {column} for {_words(keys)}")
    return Fact(value=float(row[column]), table=table, column=column, row=_words(keys), source=row["source"],
                where=cited(row), trust=Trust(row["trust"]))  # fmt: skip


def _words(keys: dict[str, Key]) -> str:
    return ", ".join(f"{name} {_plain(value)}" for name, value in keys.items()) or "everything"


def _plain(value: Key) -> str:
    """6, 6.0 and "6.0" are the same key."""
    try:
        return f"{float(value):g}"
    except ValueError:
        return str(value)
