"""Published numbers, each with its source and how it was seen."""

from ampwright.facts.tables import (
    NoRow,
    Row,
    TableError,
    all_tables,
    cited,
    constant,
    look_up,
    look_up_at_least,
    look_up_text,
    put_in_place,
    rows,
    sources,
)

__all__ = [
    "NoRow", "Row", "TableError", "all_tables", "cited", "constant", "look_up", "look_up_at_least", "look_up_text",
    "put_in_place", "rows", "sources",
]  # fmt: skip
