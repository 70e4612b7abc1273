"""A firm's own figures as they came, every version of them: the newest of a kind is in use, or what is shipped."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import sqlalchemy as sql

from ampwright.deliver.store.clock import utc_now, written
from ampwright.deliver.store.databases import writing
from ampwright.deliver.store.firms import firm_at, first_firm
from ampwright.deliver.store.store import OperationReused, Store
from ampwright.deliver.store.tables import figures


class ChangedSince(ValueError):
    """Somebody put in other figures since; as text it says who."""


@dataclass(frozen=True, slots=True)
class Version:
    """Figures of one kind as they were put in, or, where there is no text, taken back to those shipped."""

    number: int
    kind: str
    text: str | None
    at: str
    who: str
    origin: str


class FigureBook:
    """The figures of the firm of a store, or of the firm that a job of it belongs to. Nothing in it is changed.

    What was put in before there were accounts is the first firm's, as its jobs are. Raises NoSuchJob.
    """

    def __init__(self, store: Store, job: str = "") -> None:
        self._engine, self._firm = store.engine, firm_at(store, job)

    def newest(self) -> dict[str, Version]:
        """The newest version of each kind that was ever put in, by kind."""
        last = sql.select(sql.func.max(figures.c.number)).where(self._mine()).group_by(figures.c.kind)
        with self._engine.begin() as link:
            found = link.execute(sql.select(figures).where(figures.c.number.in_(last)))
            return {row.kind: _version(row) for row in found}

    def versions(self, kind: str) -> tuple[Version, ...]:
        """Every version of a kind, the newest first."""
        wanted = sql.select(figures).where(self._mine(), figures.c.kind == kind).order_by(figures.c.number.desc())
        with self._engine.begin() as link:
            return tuple(map(_version, link.execute(wanted)))

    def put(self, kind: str, text: str | None, *, base: int, operation: str, who: str, origin: str) -> None:
        """Put figures in use in the place of those of the number `base`, 0 where there were none; None takes them back.

        The same operation again, and what is in use already, change nothing. Raises OperationReused, ChangedSince.
        """
        row = {"firm": self._firm, "kind": kind, "text": text}
        newest = sql.select(figures).where(self._mine(), figures.c.kind == kind).order_by(figures.c.number.desc())
        with writing(self._engine, f"figures {self._firm} {kind}") as link:
            before = link.execute(sql.select(figures).where(figures.c.operation == operation)).one_or_none()
            if before is not None:
                if any(getattr(before, name) != value for name, value in row.items()):
                    raise OperationReused("this was sent before with other contents; load the page again")
                return
            there = link.execute(newest.limit(1)).one_or_none()
            if (there.text if there else None) == text:
                return
            if there is not None and there.number != base:
                did = "put in other figures" if there.text is not None else "took them back"
                raise ChangedSince(f"{there.who} {did} since; look at what is in use now, then send yours again")
            if there is None and base:
                raise ChangedSince("these are not the figures in use; load the page again")
            link.execute(sql.insert(figures).values(**row, operation=operation, at=written(utc_now()), who=who,
                                                    origin=origin))  # fmt: skip

    def _mine(self) -> sql.ColumnElement[bool]:
        before = sql.and_(figures.c.firm == "", sql.literal(self._firm) == first_firm())
        return sql.or_(figures.c.firm == self._firm, before)


def last_number(opened: sql.Engine) -> int:
    """The number of the newest version that any firm put in, 0 where there is none."""
    with opened.begin() as link:
        return link.scalar(sql.select(sql.func.max(figures.c.number))) or 0


def _version(row: Any) -> Version:
    return Version(row.number, row.kind, row.text, row.at, row.who, row.origin)
