"""Which shape a store has, and the migrations from one to another, up and down, each in one transaction."""

from __future__ import annotations

from pathlib import Path

import sqlalchemy as sql

from ampwright.deliver.store.tables import META, NEWEST, VERSIONS

Place = Path | str
FIRST = "0001"
NOTHING_YET = "base"
SHIPPED_VERSION = 1  # user_version of the files from before there were migrations; they have the first shape
LOCK = 7_202_661_109


class WrongShape(Exception):
    """This is a store of another version of Ampwright, or no store."""


def shape_of(link: sql.Connection) -> str | None:
    """The shape of the store, NOTHING_YET where there is none, or None where something else is kept there."""
    found = set(sql.inspect(link).get_table_names())
    if VERSIONS in found:
        version: str | None = link.scalar(sql.text(f"SELECT version_num FROM {VERSIONS}"))
        return version or NOTHING_YET
    if link.dialect.name == "sqlite":
        version_number = link.exec_driver_sql("PRAGMA user_version").scalar_one()
        if version_number == SHIPPED_VERSION:
            return FIRST
        return None if found or version_number else NOTHING_YET
    return None if found & set(META.tables) else NOTHING_YET


def brought_up(opened: sql.Engine, place: Place) -> None:
    """Bring a store to the newest shape. Raises WrongShape, and then nothing has been changed."""
    _run(opened, NEWEST, place)


def migrate(opened: sql.Engine, to: str) -> None:
    """Bring a store to a shape, older or newer. Raises WrongShape, and then nothing has been changed."""
    _run(opened, to, opened.url.render_as_string(hide_password=True))


def _run(opened: sql.Engine, to: str, place: Place) -> None:
    from alembic import command
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    told = Config()
    told.set_main_option("script_location", "ampwright.deliver.store:migrations")
    known = [each.revision for each in ScriptDirectory.from_config(told).walk_revisions()][::-1]
    postgres = opened.dialect.name == "postgresql"
    options = {"isolation_level": "READ COMMITTED"} if postgres else {"writes": True}
    with opened.connect().execution_options(**options) as link, link.begin():
        if postgres:
            link.execute(sql.select(sql.func.pg_advisory_xact_lock(LOCK)))
        now = shape_of(link)
        if now not in (NOTHING_YET, *known):
            raise WrongShape(f"{place} is not a store that this Ampwright can read; bring Ampwright up to date, "
                             "or name another place for the jobs")  # fmt: skip
        told.attributes["link"] = link
        if now != NOTHING_YET and not sql.inspect(link).has_table(VERSIONS):
            command.stamp(told, now)
        order = [NOTHING_YET, *known]
        (command.upgrade if order.index(to) > order.index(now) else command.downgrade)(told, to)
        if not postgres and (broken := link.exec_driver_sql("PRAGMA foreign_key_check").fetchall()):
            raise WrongShape(f"{place} cannot be brought to a new shape: {len(broken)} rows point at nothing")
