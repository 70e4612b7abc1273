"""The rules and the tables, listed for reading."""

from __future__ import annotations

import re
import textwrap
from collections import Counter

from ampwright.assess.book import BOOK
from ampwright.facts import Row, all_tables, look_up_text, rows, sources
from ampwright.working import nomenclature

LAST = ("note", "source", "where", "trust")


def rules_text() -> str:
    """Name, clause in the newest edition, and question of every rule, in reading order."""
    edition = BOOK.editions()[-1]
    lines = [f"The rules, with their clauses in {edition}:"]
    for each in BOOK.regulations:
        clause = look_up_text("gb/clauses", "clause", rule=each.name, edition=edition)
        lines += [f"\n{each.name}", f"    {each.asks}", *textwrap.wrap(clause, 90, initial_indent="    ",
                                                                       subsequent_indent="    ")]  # fmt: skip
    return "\n".join(lines)


def tables_text() -> str:
    """Every table: how many rows, and how many of them were seen in what way."""
    lines = []
    for name in all_tables():
        seen = Counter(row["trust"] for row in rows(name))
        how = ", ".join(f"{count} {trust}" for trust, count in sorted(seen.items()))
        lines.append(f"{name:<34}{len(rows(name)):>5} rows: {how}")
    return "\n".join(lines)


def table_text(name: str) -> str:
    """A table in columns, each row with its source, where it stands there, and how it was seen."""
    table = rows(name)
    columns = [column for column in table[0] if column not in LAST] + [c for c in LAST if c in table[0]]
    cells = [columns, *([row[column] for column in columns] for row in table)]
    widths = [max(len(line[place]) for line in cells) for place in range(len(columns))]
    lines = ["  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip() for line in cells]
    return "\n".join([*lines, "", *_sources_of(table)])


def _sources_of(table: tuple[Row, ...]) -> list[str]:
    """What each source id of a table stands for, the copies seen among them."""
    ids = {name for row in table for name in (row["source"], *re.findall(r"copy_\w+", row["where"]))}
    return [f"{name}: {row['title']}. {row['address']} ({row['seen']})".replace(".  (", " (")
            for name, row in sources().items() if name in ids]  # fmt: skip


def rules_markdown() -> str:
    """The page docs/rules.md: every rule, its clause by edition and how that was seen, and what it needs."""
    lines = ["# The rules", "", "Written by `make docs` from the book; do not edit.", ""]
    for each in BOOK.regulations:
        lines += [f"## {each.name}", "", f"*{each.asks}* {_first_line(each.judge.__doc__)}", ""]
        for edition in BOOK.editions():
            clause, trust = (look_up_text("gb/clauses", column, rule=each.name, edition=edition)
                             for column in ("clause", "trust"))  # fmt: skip
            lines.append(f"- {edition}: {clause} ({trust})")
        lines += [f"- needs: {', '.join(f'`{path}`' for path in each.needs) or 'nothing'}", ""]
    return "\n".join(lines)


def nomenclature_markdown() -> str:
    """The page docs/nomenclature.md: every symbol printed, its one unit and its one meaning."""
    lines = ["# Nomenclature", "", "Written by `make docs` from symbols.csv; do not edit.", "",
             "| symbol | unit | meaning |", "|---|---|---|"]  # fmt: skip
    lines += [f"| {each.name} | {each.unit} | {each.meaning} |" for each in nomenclature().values()]
    return "\n".join(lines) + "\n"


def _first_line(docstring: str | None) -> str:
    return " ".join((docstring or "").split("\n\n")[0].split())
