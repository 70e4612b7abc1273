"""What each role may do, and which right each page and form asks for: two tables, and nothing else decides."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib import resources

from ampwright.deliver.store.people import ROLES

ANYONE = "anyone"  # also who is not signed in
OWN = "own"  # whoever is signed in, about themselves


@dataclass(frozen=True, slots=True)
class Right:
    """One thing that can be done, in words, and the roles that may do it."""

    name: str
    says: str
    roles: frozenset[str]


@cache
def rights() -> dict[str, Right]:
    """Every right, by name."""
    return {row["right"]: Right(row["right"], row["says"], frozenset(each for each in ROLES if row[each] == "yes"))
            for row in _rows("rights.csv")}  # fmt: skip


@cache
def doors() -> dict[tuple[str, str], str]:
    """The right that each method and address of a page asks for."""
    return {(row["method"], row["path"]): row["right"] for row in _rows("doors.csv")}


def asked_for(method: str, path: str) -> str | None:
    """The right that a page or form asks for; None for one that no table names, which nobody gets."""
    return doors().get(("GET" if method == "HEAD" else method, path))


def may(role: str, right: str) -> bool:
    """Whether a role has a right."""
    return right in (ANYONE, OWN) or (right in rights() and role in rights()[right].roles)


def _rows(name: str) -> list[dict[str, str]]:
    text = resources.files("ampwright.deliver.web").joinpath(name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))
