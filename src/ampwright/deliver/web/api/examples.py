"""Examples in the OpenAPI document: of what is sent, and of what comes back where that fits on a page."""

from __future__ import annotations

from typing import Any

JOB, OPERATION = "0123456789abcdef", "5f0c2f0e-7d0b-4b7e-9d5e-0a4b6c1d2e3f"
RECORD = {"version": 2, "title": "3 Example Terrace", "supply": {"ze_ohm": 0.28, "phases": 1}}
MOVED = {"seq": 41, "path": "supply.ze_ohm", "old": None, "new": 0.28, "held": False}
KEPT = {"seq": 42, "path": "supply.cutout.rating_a", "old": 60, "new": 80, "held": True}
TALLY = {"met": 20, "not met": 0, "not yet known": 11, "does not apply": 9, "for the designer to judge": 2}
SENT: dict[str, Any] = {
    "NewJob": {"operation": OPERATION, "record": RECORD},
    "Changes": {"operation": OPERATION, "base": 40, "changes": {
        "supply.ze_ohm": {"value": 0.28, "with": "loop tester 2", "when": "2026-06-03"}, "supply.cutout.rating_a": 80}},
    "Undo": {"operation": OPERATION, "of": "3a7d1c52-0f66-4d0e-8d57-1f1f0d1b2c3d"},
    "Decide": {"operation": OPERATION, "conflict": 42, "take": "held"},
}  # fmt: skip
GIVEN: dict[str, Any] = {
    "JobList": {"jobs": [{"id": JOB, "title": "3 Example Terrace", "reference": "T-3", "head": 41}], "next": None},
    "JobRead": {"id": JOB, "title": "3 Example Terrace", "reference": None, "head": 41, "record": RECORD,
                "conflicts": []},
    "Outcome": {"job": JOB, "operation": OPERATION, "head": 42, "taken": [MOVED], "held": [KEPT], "checks": {
        "status": 2, "tally": TALLY, "turned": [], "asked_now": [], "no_longer_asked": ["supply.ze_ohm"]}},
    "History": {"operations": [{"id": OPERATION, "who": "Ann", "at": "2026-06-03T13:05:00.000+00:00",
                                "origin": "a program on this machine", "undoes": None, "settles": None,
                                "changes": [MOVED]}], "next": None},
    "Due": {"format": 1, "on": "2026-06-03", "status": 0, "jobs": []},
}  # fmt: skip


def put_into(document: dict[str, Any]) -> None:
    """Put each example beside the shape that it is of."""
    for name, example in {**SENT, **GIVEN}.items():
        document["components"]["schemas"][name]["examples"] = [example]
