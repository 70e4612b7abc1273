"""Jobs read by replay of their field changes. Nothing is overwritten: an undo is a change, and so is a decision."""

from __future__ import annotations

import json
import secrets
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

import sqlalchemy as sql

from ampwright.deliver.store.clock import utc_now, written
from ampwright.deliver.store.databases import engine, writing
from ampwright.deliver.store.history import Change, Operation, Outcome, operations_of, replayed
from ampwright.deliver.store.job_files import Brought, JobFiles, keep
from ampwright.deliver.store.people import Person
from ampwright.deliver.store.photos import Photos
from ampwright.deliver.store.shape import Place
from ampwright.deliver.store.tables import changes, jobs, operations
from ampwright.deliver.store.values import (
    NoSuchPlace,
    Values,
    at_the_end,
    is_place,
    leaves_of,
    overlap,
    plain,
    put,
    value_at,
)
from ampwright.job.fields import in_words
from ampwright.job.files import BadJobFile, built, dump, parse, values_of
from ampwright.job.record import VERSION, Job

KEPT_COUNT = 256
Wanted = list[tuple[str, Any]]
Rows = list[tuple[str, Any, Any, bool]]


class NoSuchJob(LookupError):
    """No job of this name is in the store."""


class OperationReused(ValueError):
    """An operation id came again with other contents."""


class CannotUndo(ValueError):
    """Something changed since, or there is nothing to take back; as text it says what."""


class Store:
    """The jobs in a file or behind an address. Each method is one transaction; what it has returned from is on disk.

    Raises WrongShape for a store of another version, BadAddress, and SQLAlchemy's DatabaseError.
    """

    firm = ""  # whose jobs these are, where there are accounts
    person: Person | None = None  # who is signed in

    def __init__(self, place: Place) -> None:
        self._engine = engine(place)
        self.photos = Photos(self._engine, self._known)
        self.files = JobFiles(self._engine, self._known)
        self._job_after = lru_cache(maxsize=KEPT_COUNT)(self._replayed_job)

    @property
    def engine(self) -> sql.Engine:
        """The database underneath, for what else is kept in it."""
        return self._engine

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()

    def names(self) -> tuple[str, ...]:
        """The ids of all jobs, the oldest first."""
        with self._engine.begin() as link:
            return tuple(link.scalars(sql.select(jobs.c.id).order_by(jobs.c.created, jobs.c.id)))

    def heads(self) -> dict[str, int]:
        """The number of the newest change of every job, the oldest job first."""
        newest = sql.select(changes.c.job, sql.func.max(changes.c.seq).label("seq")).group_by(changes.c.job).subquery()
        head = sql.func.coalesce(newest.c.seq, 0).label("head")
        wanted = sql.select(jobs.c.id, head).outerjoin(newest, newest.c.job == jobs.c.id)
        with self._engine.begin() as link:
            return {row.id: row.head for row in link.execute(wanted.order_by(jobs.c.created, jobs.c.id))}

    def read(self, name: str, upto: int | None = None) -> tuple[Job, int]:
        """A job as it stands, or as it stood after a change, and the number of its newest. Raises NoSuchJob."""
        of_job = changes.c.job == name
        newest = sql.select(sql.func.max(changes.c.seq)).where(of_job if upto is None else
                                                               sql.and_(of_job, changes.c.seq <= upto))  # fmt: skip
        with self._engine.begin() as link:
            self._known(link, name)
            head = link.scalar(newest) or 0
        return self._job_after(name, head), head

    def values(self, name: str, upto: int | None = None) -> Values:
        """The plain values of a job as it stands, or as it stood after a change. Raises NoSuchJob."""
        with self._engine.begin() as link:
            return replayed(link, self._known(link, name), upto)[0]

    def history(self, name: str) -> tuple[Operation, ...]:
        """Every operation on a job, the newest first. Raises NoSuchJob."""
        with self._engine.begin() as link:
            return operations_of(link, self._known(link, name))

    def open_conflicts(self, name: str) -> tuple[Change, ...]:
        """Changes that are held back because the same field was changed elsewhere, until somebody decides."""
        told = self.history(name)
        settled = {each.settles for each in told}
        return tuple(change for each in reversed(told) for change in each.changes
                     if change.held and change.seq not in settled)  # fmt: skip

    def take_in(self, text: str, *, operation: str, who: str, origin: str, folder: Path | None = None) -> str:
        """Make a job of the text of a job file; its id. Raises BadJobFile with all faults, OperationReused.

        The user's own files that it names are kept with it, where they stand in `folder`.
        """
        job = parse(text, folder)
        files = _beside(job, folder) if folder else ()
        values = values_of(job)
        found = [(path, plain(value)) for path, value in leaves_of(values)]
        tried({"version": VERSION}, found)
        asked = _asked("", 0, found)
        with writing(self._engine, operation) as link:
            if before := _before(link, operation, asked):
                return str(before.job)
            name = secrets.token_hex(8)
            link.execute(sql.insert(jobs).values(id=name, created=written(utc_now())))
            _write(link, name, operation, who, origin, 0, asked, [(path, None, new, False) for path, new in found])
            keep(link, name, files, operation=operation, who=who, origin=origin)
        return name

    def give_out(self, name: str) -> str:
        """The job as the text of a job file, which `take_in` makes an equal job of. Raises NoSuchJob."""
        return dump(self.read(name)[0])

    def change(self, name: str, new: Mapping[str, Any], *, operation: str, base: int, who: str,
               origin: str) -> Outcome:  # fmt: skip
        """Set fields of a job, by path, that were entered when `base` was its newest change.

        A field that somebody changed since to something else is held back as a conflict; the others are taken. A path
        that ends with "[]" is one more of a list, whatever came to it since, and conflicts with nothing. The same
        operation again changes nothing and has the same outcome. Raises NoSuchJob, OperationReused, and
        BadJobFile with everything that is wrong with what was entered: then nothing is taken.
        """
        return self.bring((), name, new, operation=operation, base=base, who=who, origin=origin)

    def bring(self, files: tuple[Brought, ...], name: str, new: Mapping[str, Any], *, operation: str, base: int,
              who: str, origin: str) -> Outcome:  # fmt: skip
        """Set fields of a job as `change` does, and keep files with it: both or neither. Raises FileReused too."""
        wanted = [(path, plain(value)) for path, value in new.items()]
        asked = _asked(name, base, [*wanted, *((f"file {each.name}", each.hash) for each in files)])
        with writing(self._engine, operation) as link:
            if _before(link, operation, asked):
                return self._outcome(link, operation)
            values, head = replayed(link, self._known(link, name, alone=True))
            if not 0 <= base <= head:
                raise NoSuchPlace("", f"there is no change {base} of this job; load the page again")
            held = _held(link, name, base, head, values, wanted)
            wanted = at_the_end(values, wanted)
            rows = [(path, value_at(values, path), value, path in held) for path, value in wanted
                    if path in held or value_at(values, path) != value]  # fmt: skip
            _write(link, name, operation, who, origin, base, asked, rows)
            keep(link, name, files, operation=operation, who=who, origin=origin)
            return self._outcome(link, operation)

    def undo(self, name: str, of: str, *, operation: str, who: str, origin: str) -> Outcome:
        """Take an operation back, as a new one. Raises NoSuchJob, CannotUndo, BadJobFile, OperationReused."""
        asked = _asked(name, 0, [("undo", of)])
        with writing(self._engine, operation) as link:
            if _before(link, operation, asked):
                return self._outcome(link, operation)
            told = operations_of(link, self._known(link, name, alone=True))
            values, head = replayed(link, name)
            done = next((each for each in told[:-1] if each.id == of), None)
            taken = tuple(each for each in reversed(done.changes) if not each.held) if done else ()
            if not taken:
                raise CannotUndo("there is nothing here to take back")
            if any(each.undoes == of for each in told):
                raise CannotUndo("this was taken back before")
            since = [each.path for each in taken if value_at(values, each.path) != each.new]
            if since:
                raise CannotUndo(f"{', '.join(map(in_words, since))}: changed again since; take that back first")
            tried(values, [(each.path, each.old) for each in taken])
            rows = [(each.path, each.new, each.old, False) for each in taken]
            _write(link, name, operation, who, origin, head, asked, rows, undoes=of)
            return self._outcome(link, operation)

    def settle(self, name: str, seq: int, *, keep_held: bool, operation: str, who: str, origin: str) -> Outcome:
        """Decide a conflict: take the change that was held back, or leave what stands.

        Raises NoSuchJob, CannotUndo where there is no such conflict (any more), BadJobFile, OperationReused.
        """
        asked = _asked(name, seq, [("settle", keep_held)])
        with writing(self._engine, operation) as link:
            if _before(link, operation, asked):
                return self._outcome(link, operation)
            told = operations_of(link, self._known(link, name, alone=True))
            held = next((each for one in told for each in one.changes if each.seq == seq and each.held), None)
            if held is None or any(each.settles == seq for each in told):
                raise CannotUndo("this was decided before")
            values, head = replayed(link, name)
            rows = [(held.path, value_at(values, held.path), held.new, False)] if keep_held else []
            tried(values, [(held.path, held.new)] if keep_held else [])
            _write(link, name, operation, who, origin, head, asked, rows, settles=seq)
            return self._outcome(link, operation)

    def _replayed_job(self, name: str, seq: int) -> Job:
        """The job after a change, which stays what it was for ever."""
        with self._engine.begin() as link:
            return built(replayed(link, name, seq)[0])

    def _known(self, link: sql.Connection, name: str, *, alone: bool = False) -> str:
        """The name, if there is such a job; `alone` lets no other change of it begin until this one has ended."""
        wanted = sql.select(jobs.c.id).where(jobs.c.id == name)
        if link.scalar(wanted.with_for_update(key_share=True) if alone else wanted) is None:
            raise NoSuchJob(f"there is no job {name[:40]}")
        return name

    def _outcome(self, link: sql.Connection, operation: str) -> Outcome:
        rows = link.execute(sql.select(changes).where(changes.c.operation == operation).order_by(changes.c.seq))
        found = tuple(Change.of(row) for row in rows)
        job = link.execute(sql.select(operations.c.job).where(operations.c.id == operation)).scalar_one()
        return Outcome(tuple(each for each in found if not each.held), tuple(each for each in found if each.held),
                       replayed(link, job)[1])  # fmt: skip


def _beside(job: Job, folder: Path) -> tuple[Brought, ...]:
    from ampwright.deliver.own_files import brought

    files, faults = brought(job, folder)
    if faults:
        raise BadJobFile(faults)
    return files


def _held(link: sql.Connection, name: str, base: int, head: int, values: Values, wanted: Wanted) -> set[str]:
    """The places, of those wanted, that somebody changed since `base` to something else.

    It is every place where what was right on its own base cannot stand beside what came since. Raises BadJobFile.
    """
    before = replayed(link, name, base)[0] if base != head else values
    placed = at_the_end(before, wanted)
    for path, _ in placed:
        if not is_place(path):
            raise NoSuchPlace(path[:80], "the job record has no such field")
    tried(before, placed)
    if base == head:
        return set()
    changed = [each for each in wanted if not each[0].endswith("[]")]
    since = list(link.scalars(sql.select(changes.c.path).where(changes.c.job == name, changes.c.seq > base,
                                                               changes.c.held.is_(False))))  # fmt: skip
    held = {path for path, value in changed
            if value_at(values, path) != value and any(overlap(path, other) for other in since)}  # fmt: skip
    placed = at_the_end(values, wanted)
    try:
        tried(values, [each for each in placed if each[0] not in held])
    except BadJobFile:
        return {path for path, _ in placed}
    return held


def tried(values: Values, wanted: Wanted) -> Job:
    """The job with these changes. Raises BadJobFile where it would not stand with them."""
    changed = json.loads(json.dumps(values))
    for path, value in wanted:
        put(changed, path, value)
    return built(changed)


def _before(link: sql.Connection, operation: str, asked: str) -> Any:
    """The operation of this id, if it was done before. Raises OperationReused where it asked for something else."""
    found = link.execute(sql.select(operations).where(operations.c.id == operation)).one_or_none()
    if found is not None and found.asked != asked:
        raise OperationReused("this was sent before with other contents; load the page again")
    return found


def _write(link: sql.Connection, name: str, operation: str, who: str, origin: str, base: int, asked: str,
           rows: Rows, undoes: str | None = None, settles: int | None = None) -> None:  # fmt: skip
    before = link.scalar(sql.select(sql.func.max(operations.c.number)).where(operations.c.job == name)) or 0
    link.execute(sql.insert(operations).values(id=operation, job=name, who=who, at=written(utc_now()), origin=origin,
                                               base=base, asked=asked, undoes=undoes, settles=settles,
                                               number=before + 1))  # fmt: skip
    if rows:
        link.execute(sql.insert(changes), [{"operation": operation, "job": name, "path": path, "old": json.dumps(old),
                                            "new": json.dumps(new), "held": held}
                                           for path, old, new, held in rows])  # fmt: skip


def _asked(name: str, base: int, wanted: Wanted) -> str:
    return json.dumps([name, base, wanted])
