"""What only the store in a file has."""

import sqlite3

import pytest
import sqlalchemy

from ampwright.deliver.store.shape import WrongShape
from ampwright.deliver.store.store import Store


@pytest.fixture
def kind():
    return "sqlite"


def test_nothing_in_the_file_can_be_overwritten(desk):
    desk.change({"supply.looped": True})
    with sqlite3.connect(desk.place) as link:
        for words in ("UPDATE change SET new = '1'", "DELETE FROM change", "DELETE FROM operation", "DELETE FROM job"):
            with pytest.raises(sqlite3.IntegrityError, match="only grows"):
                link.execute(words)
        assert link.execute("PRAGMA integrity_check").fetchall() == [("ok",)]


def test_the_settings_that_keep_it(desk):
    with desk.store._engine.begin() as link:
        found = [link.exec_driver_sql(f"PRAGMA {each}").scalar_one() for each in ("journal_mode", "synchronous",
                                                                                   "foreign_keys")]  # fmt: skip
    assert found == ["wal", 2, 1]
    assert sqlalchemy.__version__.startswith("2.")


def test_a_file_of_another_shape_is_refused_and_left_alone(tmp_path):
    file = tmp_path / "other.db"
    with sqlite3.connect(file) as link:
        link.execute("CREATE TABLE something (a)")
    with pytest.raises(WrongShape):
        Store(file)
    with sqlite3.connect(file) as link:
        assert link.execute("SELECT name FROM sqlite_master").fetchall() == [("something",)]
