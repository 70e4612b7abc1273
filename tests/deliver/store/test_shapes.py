"""Migrations up and down on both databases, and files from before there were any."""

import json
import signal
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
import sqlalchemy as sql
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext

from ampwright.deliver.store.copying import digest
from ampwright.deliver.store.databases import raw
from ampwright.deliver.store.shape import NOTHING_YET, migrate, shape_of
from ampwright.deliver.store.store import CannotUndo, Store
from ampwright.deliver.store.tables import META, NEWEST, VERSIONS

SHIPPED = Path(__file__).with_name("shipped_shape.sql").read_text(encoding="utf-8")
IN_ORDER = ["taken-in", "loop-test", "a-van", "settled", "no-change", "taken-back"]


@pytest.fixture
def shipped(tmp_path):
    """A file that Ampwright wrote before there were migrations: dumped by sqlite3 from one, and made again."""
    file = tmp_path / "shipped.db"
    with sqlite3.connect(file) as link:
        link.executescript(SHIPPED)
    return file


def rows_of(file, table, columns="*"):
    with sqlite3.connect(file) as link:
        return link.execute(f'SELECT {columns} FROM "{table}" ORDER BY rowid').fetchall()


def differences(place):
    opened = raw(place)
    with opened.connect() as link:
        told = {"opts": {"version_table": VERSIONS, "target_metadata": META}}
        found = compare_metadata(MigrationContext.configure(link, opts=told["opts"]), META)
    opened.dispose()
    return found


def moved_to(place, to):
    opened = raw(place, foreign_keys=False)
    migrate(opened, to)
    opened.dispose()


def digest_of(place):
    opened = raw(place)
    with opened.connect() as link:
        found = digest(link)
    opened.dispose()
    return found


def test_the_migrations_end_in_the_tables_that_the_store_knows(desk):
    assert differences(desk.place) == []


def test_a_shipped_file_is_adopted_and_nothing_in_it_is_lost(shipped):
    before = {table: rows_of(shipped, table) for table in ("job", "operation", "change")}
    assert [len(each) for each in before.values()][:2] == [2, 8]
    store = Store(shipped)

    assert rows_of(shipped, "job") == before["job"]
    assert rows_of(shipped, "change") == before["change"]
    assert [row[:-1] for row in rows_of(shipped, "operation")] == before["operation"]
    assert differences(shipped) == []
    name = before["operation"][0][1]
    assert [each.id for each in reversed(store.history(name))] == IN_ORDER
    assert store.values(name)["supply"]["ze_ohm"] == 0.28


def test_a_shipped_file_works_on_and_still_only_grows(shipped):
    store = Store(shipped)
    name = store.names()[0]
    highest = max(row[0] for row in rows_of(shipped, "change"))
    outcome = store.change(name, {"supply.ze_ohm": 0.31}, base=store.read(name)[1], operation="next", who="Ann",
                           origin="here")  # fmt: skip
    assert outcome.taken[0].seq == highest + 1
    with pytest.raises(CannotUndo, match="taken back before"):
        store.undo(name, "settled", operation="again", who="Ann", origin="here")
    with sqlite3.connect(shipped) as link:
        for words in ("UPDATE operation SET who = 'x'", "DELETE FROM change", "DELETE FROM job"):
            with pytest.raises(sqlite3.IntegrityError, match="only grows"):
                link.execute(words)
        with pytest.raises(sqlite3.IntegrityError, match="UNIQUE"):
            link.execute("INSERT INTO operation SELECT 'new', job, who, at, origin, base, asked, NULL, NULL, number "
                         "FROM operation WHERE id = 'taken-in'")  # fmt: skip
        assert "AUTOINCREMENT" in link.execute("SELECT sql FROM sqlite_master WHERE name = 'change'").fetchone()[0]


def test_a_shipped_file_taken_down_again_is_what_it_was(shipped):
    before = {table: rows_of(shipped, table) for table in ("job", "operation", "change")}
    Store(shipped).close()
    moved_to(shipped, "0001")
    assert {table: rows_of(shipped, table) for table in before} == before
    with sqlite3.connect(shipped) as link:
        assert link.execute("PRAGMA user_version").fetchone() == (1,)


def test_down_and_up_again_loses_nothing(desk):
    desk.change({"supply.ze_ohm": 0.28}, operation="a")
    desk.undo("a")
    before = digest_of(desk.place), desk.store.history(desk.job)
    desk.store.close()
    moved_to(desk.place, "0001")
    opened = raw(desk.place)
    with opened.connect() as link:
        assert shape_of(link) == "0001"
        assert "number" not in {each["name"] for each in sql.inspect(link).get_columns("operation")}
    opened.dispose()

    again = Store(desk.place)
    assert (digest_of(desk.place), again.history(desk.job)) == before
    again.close()


DIES = """
import os, signal, sys
from ampwright.deliver.store import append_only
append_only.forbid_overwriting = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
from ampwright.deliver.store.store import Store
Store(sys.argv[1])
"""


def test_a_migration_that_is_killed_half_way_has_changed_nothing(desk, kind):
    desk.change({"supply.ze_ohm": 0.28}, operation="a")
    before = desk.store.history(desk.job)
    desk.store.close()
    moved_to(desk.place, "0001")
    died = subprocess.run([sys.executable, "-c", DIES, str(desk.place)], check=False)
    assert died.returncode == -signal.SIGKILL

    opened = raw(desk.place)
    with opened.connect() as link:
        assert shape_of(link) == "0001"
        assert "number" not in {each["name"] for each in sql.inspect(link).get_columns("operation")}
    opened.dispose()
    again = Store(desk.place)
    assert again.history(desk.job) == before
    assert differences(desk.place) == []
    again.close()


def test_no_way_down_takes_a_job_with_it(desk):
    desk.store.close()
    before = digest_of(desk.place)
    with pytest.raises(ValueError, match="there are jobs"):
        moved_to(desk.place, NOTHING_YET)
    assert digest_of(desk.place) == before


def test_an_empty_store_goes_all_the_way_down(place):
    Store(place).close()
    moved_to(place, NOTHING_YET)
    opened = raw(place)
    with opened.connect() as link:
        assert set(sql.inspect(link).get_table_names()) <= {VERSIONS}
        assert shape_of(link) == NOTHING_YET
    opened.dispose()
    Store(place).close()
    assert differences(place) == []


def test_the_newest_shape_is_the_newest_migration(place):
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    told = Config()
    told.set_main_option("script_location", "ampwright.deliver.store:migrations")
    assert ScriptDirectory.from_config(told).get_current_head() == NEWEST


def test_texts_of_any_length_are_kept(desk):
    who = "Ann " * 200
    desk.change({"supply.looped": True}, who=who)
    assert desk.store.history(desk.job)[0].who == who
    assert json.dumps(desk.store.values(desk.job))
