"""A folder of tables that are to stand in place of those held, looked through before anything is judged by them."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path

from ampwright.assess.book import BOOK
from ampwright.facts import Row, all_tables, rows, sources
from ampwright.working import Trust

EDITIONS, CLAUSES, SOURCES = "gb/editions", "gb/clauses", "sources"
COLUMN_OF_SOURCE = "source"


class BadTables(Exception):
    """The tables cannot stand in place of those held; as text, everything that is wrong."""


def editions_given(folder: Path | None) -> tuple[str, ...]:
    """The editions that are known with these tables, after they were found sound. Raises BadTables."""
    given = _read(folder) if folder is not None else {}
    nothing = folder is not None and not given
    faults = [f"{folder}: there is no table in it, as gb/max_zs.csv would be"] if nothing else []
    faults += [fault for name, table in given.items() for fault in _faults(name, table, given)]
    known = tuple(row["edition"] for row in given.get(EDITIONS, rows(EDITIONS)) if row.get("edition"))
    has = {(row.get("rule"), row.get("edition")) for row in given.get(CLAUSES, rows(CLAUSES))}
    for edition in known:
        wanting = [each.name for each in BOOK.regulations if (each.name, edition) not in has]
        if wanting:
            faults.append(f"{CLAUSES} has no clause under {edition} for {', '.join(wanting)}")
    if faults:
        raise BadTables("\n".join(faults))
    return known


def _read(folder: Path) -> dict[str, list[Row]]:
    found = {}
    for file in sorted(folder.rglob("*.csv")):
        try:
            text = file.read_text(encoding="utf-8-sig")
        except (UnicodeDecodeError, OSError) as wrong:
            raise BadTables(f"{file} is not plain text in UTF-8") from wrong
        found[file.relative_to(folder).with_suffix("").as_posix()] = list(csv.DictReader(text.splitlines()))
    return found


def _faults(name: str, table: list[Row], given: dict[str, list[Row]]) -> Iterator[str]:
    if name not in (*all_tables(), SOURCES):
        yield f"{name}: there is no such table to stand in place of; `ampwright facts` lists them"
        return
    held = rows(name)
    if not table or list(table[0]) != list(held[0]):
        yield f"{name}: its columns must be {', '.join(held[0])}, and a row below them"
        return
    numbers = [column for column in held[0] if all(_is_number(row[column]) for row in held)]
    known = {row["id"] for row in given[SOURCES]} if SOURCES in given else set(sources())
    for line, row in enumerate(table, start=2):
        if None in row or None in row.values():
            yield f"{name}, line {line}: it has more or fewer cells than columns"
            continue
        yield from (f"{name}, line {line}: {column} is '{row[column]}', and a number is wanted"
                    for column in numbers if not _is_number(row[column]))  # fmt: skip
        if COLUMN_OF_SOURCE in row and row[COLUMN_OF_SOURCE] not in known:
            yield f"{name}, line {line}: sources.csv has no source '{row[COLUMN_OF_SOURCE]}'"
        if "trust" in row and row["trust"] not in set(Trust):
            yield f"{name}, line {line}: trust is one of {', '.join(Trust)}"


def _is_number(text: str) -> bool:
    try:
        float(text or 0)
    except ValueError:
        return False
    return True
