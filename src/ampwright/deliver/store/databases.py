"""The database under the store: a file of SQLite or an address of PostgreSQL, with what keeps the acknowledged."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import sqlalchemy as sql

from ampwright.deliver.store.shape import Place, brought_up, shape_of
from ampwright.deliver.store.tables import NEWEST

WAIT_MS = 10_000
LINKS_COUNT, MORE_LINKS_COUNT = 10, 40


class BadAddress(ValueError):
    """The place of the jobs is no file and no address of PostgreSQL that can be used; as text it says why."""


def engine(place: Place) -> sql.Engine:
    """Open the store, made where there is none and brought to the newest shape where it has an older one.

    Raises WrongShape for what is no store or a newer one, BadAddress, and SQLAlchemy's DatabaseError.
    """
    opened = raw(place)
    try:
        with opened.connect() as link, link.begin():
            ready = shape_of(link) == NEWEST
        if not ready:
            migrating = raw(place, foreign_keys=False)
            brought_up(migrating, place)
            migrating.dispose()
    except BaseException:
        opened.dispose()
        raise
    return opened


def is_address(place: Place) -> bool:
    """Whether the jobs are behind an address and not in a file."""
    return "://" in str(place) and not isinstance(place, Path)


def shown(place: Place) -> str:
    """The place as it may be printed: without the password."""
    return _url(str(place)).render_as_string(hide_password=True) if is_address(place) else str(place)


def plain_address(address: str) -> str:
    """The address as PostgreSQL's own programs read it, password and all: not to be printed."""
    return _url(address).set(drivername="postgresql").render_as_string(hide_password=False)


def raw(place: Place, *, foreign_keys: bool = True) -> sql.Engine:
    """Open the database as it stands. SQLite rebuilds a table only while its foreign keys are not looked at."""
    if is_address(place):
        try:
            opened = sql.create_engine(_url(str(place)), isolation_level="REPEATABLE READ", pool_pre_ping=True,
                                       pool_size=LINKS_COUNT, max_overflow=MORE_LINKS_COUNT)  # fmt: skip
        except ImportError as wrong:
            says = "the driver for PostgreSQL is not installed; run: pip install 'ampwright[postgres]'"
            raise BadAddress(says) from wrong
        sql.event.listen(opened, "connect", _to_the_disk)
        return opened
    opened = sql.create_engine(f"sqlite:///{place}")
    sql.event.listen(opened, "connect", _settings_with if foreign_keys else _settings_without)
    sql.event.listen(opened, "begin", _begin)
    return opened


@contextmanager
def writing(opened: sql.Engine, operation: str) -> Iterator[sql.Connection]:
    """One transaction that writes under an operation's id; the same id elsewhere waits until it has ended."""
    postgres = opened.dialect.name == "postgresql"
    options: dict[str, Any] = {"isolation_level": "READ COMMITTED"} if postgres else {"writes": True}
    with opened.connect().execution_options(**options) as link, link.begin():
        if postgres:
            link.execute(sql.select(sql.func.pg_advisory_xact_lock(sql.func.hashtextextended(operation, 0))))
        yield link


def _url(address: str) -> sql.URL:
    try:
        url = sql.make_url(address)
    except (sql.exc.ArgumentError, ValueError) as wrong:
        raise BadAddress("the address of the jobs cannot be read; it looks like postgresql://name@host/jobs") from wrong
    if url.get_backend_name() not in ("postgresql", "postgres"):
        raise BadAddress(f"jobs are kept in a file or in PostgreSQL, and {url.get_backend_name()} is neither")
    return url.set(drivername="postgresql+psycopg")


def _to_the_disk(link: Any, _record: Any) -> None:
    """What is acknowledged is on the disk, also where the server is set up to answer before it is."""
    link.execute("SELECT set_config('synchronous_commit', 'on', false) "
                 "WHERE current_setting('synchronous_commit') = 'off'")  # fmt: skip
    link.commit()


def _settings_with(link: Any, _record: Any) -> None:
    _settings(link, "ON")


def _settings_without(link: Any, _record: Any) -> None:
    _settings(link, "OFF")


def _settings(link: Any, keys: str) -> None:
    link.isolation_level = None  # transactions are begun by _begin alone
    for setting in (f"busy_timeout = {WAIT_MS}", "journal_mode = WAL", "synchronous = FULL", f"foreign_keys = {keys}"):
        link.execute(f"PRAGMA {setting}")


def _begin(link: sql.Connection) -> None:
    link.exec_driver_sql("BEGIN IMMEDIATE" if link.get_execution_options().get("writes") else "BEGIN")
