"""Every table: keys, sources, trust, numbers, and totals added up before the tables were made."""

from __future__ import annotations

import csv
import re
from datetime import date
from pathlib import Path

import pytest

from ampwright.facts import all_tables, rows, sources
from ampwright.working import Trust

PROVENANCE = ["source", "where", "trust"]
UNITS = [
    "v", "a", "ma", "ka", "ohm", "mohm", "w", "kw", "kwh", "va", "mm", "mm2", "m", "km", "c", "k", "s", "ms",
    "min", "h", "percent", "gbp", "deg", "ratio", "count", "a2s", "ohm_m", "m_per_w", "per_km", "per_a_m",
]  # fmt: skip
PURE_NUMBERS = {"value", "k", "z", "e", "g"}
CHECKSUMS = list(csv.DictReader((Path(__file__).parent / "checksums.csv").open(encoding="utf-8", newline="")))
KEYS = {row["table"]: row["keys"].split() for row in CHECKSUMS}


def is_number_column(name: str) -> bool:
    return name in PURE_NUMBERS or ("_" in name and any(name.endswith(f"_{unit}") for unit in UNITS))


@pytest.mark.parametrize("table", sorted(KEYS))
def test_no_key_stands_twice(table: str) -> None:
    seen = [tuple(row[key] for key in KEYS[table]) for row in rows(table)]

    assert len(seen) == len(set(seen))


@pytest.mark.parametrize("table", all_tables())
def test_every_row_says_who_says_so(table: str) -> None:
    columns = list(rows(table)[0])
    if columns[-3:] == ["edition", "from", "until"]:
        columns = columns[:-3]

    assert columns[-3:] == PROVENANCE
    for row in rows(table):
        assert row["source"] in sources(), row
        assert row["where"], row
        assert row["trust"] in set(Trust), row


@pytest.mark.parametrize("table", all_tables())
def test_every_copy_named_is_described(table: str) -> None:
    named = {copy for row in rows(table) for copy in re.findall(r"copy_\w+", " ".join(row.values()))}

    assert named <= set(sources())


@pytest.mark.parametrize("table", all_tables())
def test_a_number_seen_in_no_copy_is_not_called_reprinted(table: str) -> None:
    for row in rows(table):
        if "from memory" in row["where"]:
            assert row["trust"] == "memory", row


@pytest.mark.parametrize("table", all_tables())
def test_every_number_reads_as_a_number(table: str) -> None:
    for row in rows(table):
        for column, cell in row.items():
            if cell and is_number_column(column):
                float(cell)


@pytest.mark.parametrize("table", all_tables())
def test_every_table_of_numbers_has_a_total(table: str) -> None:
    has_numbers = any(is_number_column(column) for column in rows(table)[0])

    assert table in KEYS or not has_numbers


@pytest.mark.parametrize("sum_", CHECKSUMS, ids=lambda row: f"{row['table']}-{row['column']}")
def test_adds_up_to_the_total_taken_from_the_research(sum_: dict[str, str]) -> None:
    table = rows(sum_["table"])

    assert len(table) == int(sum_["rows_count"])
    if sum_["total"]:
        total = sum(float(row[sum_["column"]] or 0) for row in table)
        assert total == pytest.approx(float(sum_["total"]), rel=1e-9)


def test_dates_of_editions_and_orders_are_dates_and_in_order() -> None:
    spans = [(row["published"], row["withdrawn"]) for row in rows("gb/editions")]
    spans += [(row["from"], row["until"]) for row in rows("gb/planning")]

    for start, end in spans:
        known = [date.fromisoformat(day) for day in (start, end) if day]
        assert known == sorted(known)


def test_just_one_edition_is_current_after_the_overlap() -> None:
    # A2 and A3 withdrawn 15 October 2026: trade pages on Amendment 4, named in sources.csv
    current = [row["edition"] for row in rows("gb/editions") if not row["withdrawn"]]

    assert current == ["BS 7671:2018+A4:2026"]


def test_the_fourteen_regions_have_fourteen_letters() -> None:
    # A to P without I and O
    assert sorted(row["company_letter"] for row in rows("gb/dno_regions")) == list("ABCDEFGHJKLMNP")
