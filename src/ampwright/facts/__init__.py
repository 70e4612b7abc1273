"""Published numbers, each with its source and how it was seen."""

from ampwright.facts.tables import (
    TableError,
    all_tables,
    cited,
    look_up,
    look_up_at_least,
    look_up_text,
    rows,
    sources,
)

__all__ = [
    "TableError", "all_tables", "cited", "look_up", "look_up_at_least", "look_up_text", "rows", "sources",
]  # fmt: skip
