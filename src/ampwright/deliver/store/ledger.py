"""The list of issued papers: numbered without gaps, each row's hash over the row before, nothing ever changed."""

from __future__ import annotations

import datetime
import hashlib
import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sql

from ampwright.deliver.store.clock import utc_now, written
from ampwright.deliver.store.databases import writing
from ampwright.deliver.store.issued_tables import issued

START = "0" * 64
LOCK = "issue a paper"
COVERED = ("number", "firm", "year", "kind", "serial", "key", "job", "head", "job_hash", "edition", "day", "at", "who",
           "supersedes", "paper_hash", "words_hash", "before")  # fmt: skip
_ROW = [each for each in issued.columns if each.name not in ("body", "words")]


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be issued: which paper of which job as it stood after which change, and by whom. Once for a key."""

    firm: str
    kind: str
    key: str
    job: str
    head: int
    job_hash: str
    edition: str
    day: datetime.date
    who: str


@dataclass(frozen=True, slots=True)
class Issued:
    """One row of the list, without the paper itself."""

    number: int
    firm: str
    year: int
    kind: str
    serial: int
    key: str
    job: str
    head: int
    job_hash: str
    edition: str
    day: str
    at: str
    who: str
    supersedes: int | None
    paper_hash: str
    words_hash: str
    before: str
    hash: str

    @property
    def label(self) -> str:
        """Its number as printed."""
        return label_of(self.kind, self.year, self.serial)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a paper comes to stand: its number, the number that it supersedes, and the hash of the row before."""

    label: str
    supersedes: str
    before: str


@dataclass(frozen=True, slots=True)
class Rendered:
    """A paper as it was issued, and the words that it was laid out from."""

    body: bytes
    words: str


@dataclass(frozen=True, slots=True)
class Broken:
    """The first row that does not agree, and how."""

    number: int
    label: str
    says: str


class Ledger:
    """The issued papers of a store."""

    def __init__(self, opened: sql.Engine) -> None:
        self._engine = opened

    def issue(self, order: Order, render: Callable[[Place], Rendered]) -> Issued:
        """Issue a paper; the same key again gives the row that there is. One issuer at a time, so no number is lost."""
        with writing(self._engine, LOCK) as link:
            if there := _one(link, issued.c.key == order.key):
                return there
            last = _one(link, sql.true())
            old = _one(link, sql.and_(issued.c.job == order.job, issued.c.kind == order.kind))
            serials = sql.select(sql.func.max(issued.c.serial)).where(
                issued.c.firm == order.firm, issued.c.year == order.day.year, issued.c.kind == order.kind)  # fmt: skip
            serial = (link.scalar(serials) or 0) + 1
            place = Place(label_of(order.kind, order.day.year, serial), old.label if old else "",
                          last.hash if last else START)  # fmt: skip
            made = render(place)
            row = _row(order, serial, made) | {
                "number": last.number + 1 if last else 1, "supersedes": old.number if old else None,
                "before": place.before}  # fmt: skip
            row["hash"] = hash_of(row)
            link.execute(sql.insert(issued), {**row, "words": made.words, "body": made.body})
            return Issued(**row)

    def rows(self, firm: str | None = None, job: str | None = None) -> tuple[Issued, ...]:
        """All rows, of a firm or of a job, in the order in which they were issued."""
        wanted = sql.select(*_ROW).order_by(issued.c.number)
        for column, value in ((issued.c.firm, firm), (issued.c.job, job)):
            wanted = wanted if value is None else wanted.where(column == value)
        with self._engine.begin() as link:
            return tuple(Issued(**row) for row in link.execute(wanted).mappings())

    def paper(self, number: int) -> Rendered | None:
        """The paper of a row, byte for byte as it was issued."""
        with self._engine.begin() as link:
            found = link.execute(sql.select(issued.c.body, issued.c.words).where(issued.c.number == number)).first()
        return Rendered(bytes(found.body), found.words) if found else None

    def check(self, ends_in: str = "", job: str | None = None) -> Broken | None:
        """The first row that does not agree with itself, its paper or the row before; None if all do.

        With a job only the papers of that job are read, and of the others what the rows say. Rows cut off at the end
        leave no trace inside: `ends_in`, a hash noted earlier, must be found on the way.
        """
        before, count, met = START, 0, not ends_in
        serials: dict[tuple[str, int, str], int] = {}
        with self._engine.begin() as link:
            lines = sql.select(*_ROW).order_by(issued.c.number)
            for count, row in enumerate(link.execute(lines).mappings().all(), start=1):
                here = row["firm"], row["year"], row["kind"]
                serials[here] = serials.get(here, 0) + 1
                wrong = next(_wrong(dict(row), count, before, serials[here]), "")
                if not wrong and job in (None, row["job"]):
                    wrong = _wrong_paper(link, dict(row))
                if wrong:
                    return Broken(row["number"], label_of(row["kind"], row["year"], row["serial"]), wrong)
                before = row["hash"]
                met = met or before.startswith(ends_in)
        says = f"no row has the hash {ends_in}: rows were taken from the end, or the list is another one"
        return None if met else Broken(count, "", says)


def label_of(kind: str, year: int, serial: int) -> str:
    """A number as printed: tests 2026-0007."""
    return f"{kind} {year}-{serial:04d}"


def hash_of(row: dict[str, Any]) -> str:
    """SHA-256 over all that a row says, the hash of the row before included."""
    return _sha(json.dumps([row[name] for name in COVERED], ensure_ascii=False).encode())


def _wrong(row: dict[str, Any], number: int, before: str, serial: int) -> Iterator[str]:
    if row["number"] != number:
        yield f"row {number} is missing"
    if row["before"] != before:
        yield "it does not follow the row before it"
    if row["hash"] != hash_of(row):
        yield "what the row says is not what was written"
    if row["serial"] != serial:
        yield f"it should have the running number {serial}"


def _wrong_paper(link: sql.Connection, row: dict[str, Any]) -> str:
    body, words = link.execute(sql.select(issued.c.body, issued.c.words).where(issued.c.number == row["number"])).one()
    if row["paper_hash"] != _sha(bytes(body)):
        return "the paper is not the one that was issued"
    return "" if row["words_hash"] == _sha(words.encode()) else "the words are not those that were issued"


def _row(order: Order, serial: int, made: Rendered) -> dict[str, Any]:
    return {"firm": order.firm, "year": order.day.year, "kind": order.kind, "serial": serial, "key": order.key,
            "job": order.job, "head": order.head, "job_hash": order.job_hash, "edition": order.edition,
            "day": order.day.isoformat(), "who": order.who, "paper_hash": _sha(made.body),
            "at": written(utc_now()),
            "words_hash": _sha(made.words.encode())}  # fmt: skip


def _one(link: sql.Connection, where: Any) -> Issued | None:
    found = link.execute(sql.select(*_ROW).where(where).order_by(issued.c.number.desc()).limit(1)).mappings().first()
    return Issued(**found) if found else None


def _sha(held: bytes) -> str:
    return hashlib.sha256(held).hexdigest()
