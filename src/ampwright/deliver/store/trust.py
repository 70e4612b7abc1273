"""Drawn signatures, and numbers from memory that a firm has confirmed against its own copy."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sql

from ampwright.deliver.store.clock import utc_now, written
from ampwright.deliver.store.databases import writing
from ampwright.deliver.store.issued_tables import confirmations, signatures

WIDE, HIGH = 600, 200
LEAST_POINTS_COUNT, LONGEST_COUNT = 6, 60_000
_STROKES = re.compile(r"M\d{1,3} \d{1,3}( L\d{1,3} \d{1,3})*( M\d{1,3} \d{1,3}( L\d{1,3} \d{1,3})*)*")
_POINT = re.compile(r"([ML])(\d+) (\d+)")


class BadSignature(ValueError):
    """What was sent is no signature; as text it says what is wanting."""


@dataclass(frozen=True, slots=True)
class Signature:
    """Who signed what and when. `strokes` is an SVG path on 600 by 200, empty where the name was typed instead."""

    number: int
    role: str
    name: str
    strokes: str
    signed: str
    at: str
    who: str


def strokes_of(path: str) -> tuple[tuple[tuple[int, int], ...], ...]:
    """The lines of a drawn signature as points. Raises BadSignature."""
    if len(path) > LONGEST_COUNT or not _STROKES.fullmatch(path):
        raise BadSignature("the drawing cannot be read; draw it again")
    lines: list[list[tuple[int, int]]] = []
    for move, across, down in _POINT.findall(path):
        if move == "M":
            lines.append([])
        lines[-1].append((int(across), int(down)))
    if any(across > WIDE or down > HIGH for line in lines for across, down in line):
        raise BadSignature("the drawing runs out of its box; draw it again")
    if len({point for line in lines for point in line}) < LEAST_POINTS_COUNT:
        raise BadSignature("that is a dot and no signature; draw your name in the box")
    return tuple(tuple(line) for line in lines)


class TrustBook:
    """The signatures and confirmations of a store. Nothing in it is changed or taken away."""

    def __init__(self, opened: sql.Engine) -> None:
        self._engine = opened

    def sign(self, job: str, role: str, name: str, strokes: str, signed: str, who: str) -> None:
        """Keep a signature under the hash of what was signed; the same again is kept once. Raises BadSignature."""
        if strokes:
            strokes_of(strokes)
        row = {"job": job, "role": role, "name": name, "strokes": strokes, "signed": signed}
        there = sql.select(signatures.c.number).where(*(signatures.c[key] == value for key, value in row.items()))
        with writing(self._engine, f"signature {job}") as link:
            if link.scalar(there) is None:
                link.execute(sql.insert(signatures), {**row, "at": written(utc_now()), "who": who})

    def signatures(self, job: str) -> tuple[Signature, ...]:
        """Every signature on a job, the newest first."""
        wanted = sql.select(signatures).where(signatures.c.job == job).order_by(signatures.c.number.desc())
        with self._engine.begin() as link:
            return tuple(Signature(row.number, row.role, row.name, row.strokes, row.signed, row.at, row.who)
                         for row in link.execute(wanted))  # fmt: skip

    def newest(self) -> tuple[dict[str, int], int]:
        """The number of the newest signature on each job that has one, and of the newest confirmation; 0 for none."""
        last = sql.func.max(signatures.c.number).label("last")
        of_jobs = sql.select(signatures.c.job, last).group_by(signatures.c.job)
        with self._engine.begin() as link:
            return ({row.job: row.last for row in link.execute(of_jobs)},
                    link.scalar(sql.select(sql.func.max(confirmations.c.number))) or 0)  # fmt: skip

    def confirm(self, firm: str, items: Iterable[tuple[str, str]], copy: str, who: str) -> int:
        """Keep that these rows (name and what they say) agree with the copy named; how many were not confirmed yet."""
        with writing(self._engine, f"confirm {firm}") as link:
            there = _confirmed(link, firm)
            new: list[dict[str, Any]] = [
                {"firm": firm, "what": what, "says": says, "copy": copy, "at": written(utc_now()), "who": who}
                for what, says in dict.fromkeys(items) if (what, says) not in there]  # fmt: skip
            if new:
                link.execute(sql.insert(confirmations), new)
        return len(new)

    def confirmed(self, firm: str) -> frozenset[tuple[str, str]]:
        """What a firm has confirmed: the row and what it said."""
        with self._engine.begin() as link:
            return _confirmed(link, firm)


def _confirmed(link: sql.Connection, firm: str) -> frozenset[tuple[str, str]]:
    found = link.execute(sql.select(confirmations.c.what, confirmations.c.says).where(confirmations.c.firm == firm))
    return frozenset((row.what, row.says) for row in found)
