"""What a program sends to the API."""

import itertools
from typing import Any

API = "/api/v1"
SMALL = {"version": 2, "title": "A small job", "reference": "S-1", "supply": {"ze_ohm": 0.3, "phases": 1}}
_numbers = itertools.count(1)


def operation() -> str:
    """A new id for an operation."""
    return f"operation-{next(_numbers):08}"


def change(client: Any, address: str, base: int, changes: dict[str, Any], name: str | None = None) -> Any:
    """Send changes to a job; the answer."""
    body = {"operation": operation() if name is None else name, "base": base, "changes": changes}
    return client.post(f"{address}/changes", json=body)
