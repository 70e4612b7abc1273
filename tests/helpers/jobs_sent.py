"""What a program sends to the API, and how it is told that something cannot be done."""

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


def refused(answer: Any, *statuses: int) -> str:
    """That an answer is a problem as RFC 9457 has it, with one of these statuses; its faults as one text."""
    assert answer.status_code in statuses
    assert answer.headers["content-type"] == "application/problem+json"
    told = answer.json()
    assert set(told) == {"type", "title", "status", "detail", "faults"}
    assert told["status"] == answer.status_code
    assert "Traceback" not in answer.text
    assert answer.headers["x-content-type-options"] == "nosniff"
    return " ".join(f"{each['path']} {each['says']}" for each in told["faults"])
