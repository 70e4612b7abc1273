"""The list of issued papers on both databases: no gap, no double, no change, and what was changed all the same."""

import datetime
import os
import random
import signal
import subprocess
import sys
import time
from dataclasses import replace

import pytest
import sqlalchemy as sql

from ampwright.deliver.store.ledger import START, Ledger, Order, Rendered, hash_of

DAY = datetime.date(2026, 11, 21)
WORKER = """
import datetime, sys
from ampwright.deliver.store.ledger import Ledger, Order, Rendered
from ampwright.deliver.store.store import Store
place, count = sys.argv[1], int(sys.argv[2])
store = Store(place if "://" in place else __import__("pathlib").Path(place))
(job,) = store.names()
for number in range(count):
    order = Order("", "tests", f"job-{number}", job, 1, "x", "an edition", datetime.date(2026, 11, 21), "a worker")
    Ledger(store.engine).issue(order, lambda at: Rendered(at.label.encode() * 2000, at.label))
"""


@pytest.fixture
def ledger(desk):
    return Ledger(desk.store.engine)


def order(desk, key="a", **also):
    return replace(Order("", "tests", key, desk.job, 1, "x", "an edition", DAY, "Ann"), **also)


def render(place):
    return Rendered(f"paper {place.label}".encode(), place.label)


def test_numbers_run_by_firm_year_and_kind_and_the_chain_through_all(desk, ledger):
    rows = [ledger.issue(order(desk, key, **also), render) for key, also in (
        ("a", {}), ("b", {"kind": "labels"}), ("c", {}), ("d", {"day": datetime.date(2027, 1, 2)}),
        ("e", {"firm": "other"}), ("f", {}))]  # fmt: skip
    assert [each.label for each in rows] == ["tests 2026-0001", "labels 2026-0001", "tests 2026-0002",
                                             "tests 2027-0001", "tests 2026-0001", "tests 2026-0003"]  # fmt: skip
    assert [each.number for each in rows] == [1, 2, 3, 4, 5, 6]
    assert [each.before for each in rows] == [START, *(each.hash for each in rows[:-1])]
    assert ledger.check() is None
    assert ledger.rows() == tuple(rows)
    assert len(ledger.rows("other")) == 1


def test_the_same_key_is_issued_once_and_its_paper_not_rendered_again(desk, ledger):
    first = ledger.issue(order(desk), render)
    assert ledger.issue(order(desk), lambda _: pytest.fail("rendered twice")) == first
    assert ledger.paper(first.number) == Rendered(b"paper tests 2026-0001", "tests 2026-0001")


def test_a_paper_that_cannot_be_rendered_takes_no_number(desk, ledger):
    with pytest.raises(ZeroDivisionError):
        ledger.issue(order(desk), lambda _: 1 / 0)
    assert ledger.issue(order(desk, "b"), render).label == "tests 2026-0001"


@pytest.mark.parametrize("words", ["UPDATE issued SET who = 'x'", "DELETE FROM issued", "DELETE FROM signature",
                                   "UPDATE signature SET name = 'x'", "DELETE FROM confirmation",
                                   "UPDATE confirmation SET says = 'x'"])  # fmt: skip
def test_the_database_itself_refuses_to_change_a_row(desk, ledger, words):
    from ampwright.deliver.store.trust import TrustBook

    ledger.issue(order(desk), render)
    book = TrustBook(desk.store.engine)
    book.sign(desk.job, "installer", "Ann", "", "x", "Ann")
    book.confirm("", [("a row", "1 A")], "a copy", "Ann")
    with pytest.raises(sql.exc.DatabaseError, match="only grows"), desk.store.engine.begin() as link:
        link.execute(sql.text(words))


TAMPERED = {
    "UPDATE issued SET who = 'Bob' WHERE number = 2": (2, "not what was written"),
    "UPDATE issued SET words = 'other' WHERE number = 3": (3, "words are not those"),
    "UPDATE issued SET day = '2026-11-22', hash = 'f' WHERE number = 1": (1, "not what was written"),
    "DELETE FROM issued WHERE number = 2": (3, "row 2 is missing"),
}


@pytest.mark.parametrize(("words", "found"), TAMPERED.items())
def test_what_was_altered_in_the_database_is_named(desk, ledger, kind, words, found):
    for key in "abc":
        ledger.issue(order(desk, key, job=desk.job), render)
    meddle(desk, kind, words)
    broken = ledger.check()
    assert broken.number == found[0]
    assert found[1] in broken.says


def meddle(desk, kind, *lines):
    """As somebody with the file in their hands: the triggers are taken away first, and links are not looked at."""
    from ampwright.deliver.store.append_only import allow_overwriting

    with desk.store.engine.connect().execution_options(writes=True) as link, link.begin():
        allow_overwriting(link, "issued")
        if kind == "postgresql":
            link.execute(sql.text('ALTER TABLE issued DROP CONSTRAINT "fk_issued_supersedes_issued"'))
        else:
            link.execute(sql.text("PRAGMA defer_foreign_keys = ON"))
        for each in lines:
            if each.startswith("DELETE") and kind == "sqlite":
                link.execute(sql.text("UPDATE issued SET supersedes = NULL WHERE number = 3"))
            link.execute(sql.text(each))


def test_a_row_made_to_fit_breaks_the_one_after_it(desk, ledger, kind):
    for key in "abc":
        ledger.issue(order(desk, key), render)
    first = ledger.rows()[0]
    row = {each: getattr(first, each) for each in first.__slots__} | {"who": "Bob"}
    meddle(desk, kind, f"UPDATE issued SET who = 'Bob', hash = '{hash_of(row)}' WHERE number = 1")
    assert (ledger.check().number, ledger.check().says) == (2, "it does not follow the row before it")


def test_rows_cut_from_the_end_are_missed_by_who_noted_the_last_hash(desk, ledger, kind):
    hashes = [ledger.issue(order(desk, key, kind=key), render).hash for key in ("tests", "labels")]
    assert ledger.check(hashes[-1]) is None
    assert ledger.check(hashes[0][:16]) is None
    meddle(desk, kind, "DELETE FROM issued WHERE number = 2")
    assert ledger.check() is None
    assert "taken from the end" in ledger.check(hashes[-1]).says


def test_workers_killed_at_random_lose_nothing_and_double_nothing(desk, ledger):
    count, chance, killed = 120, random.Random(8), 0
    end = time.monotonic() + 120
    while len(ledger.rows()) < count and time.monotonic() < end:
        workers = [subprocess.Popen([sys.executable, "-c", WORKER, str(desk.place), str(count)]) for _ in range(2)]
        before = len(ledger.rows())
        while killed < 8 and len(ledger.rows()) == before and workers[0].poll() is None:
            time.sleep(0.05)
        time.sleep(chance.uniform(0, 0.15))
        for each in workers:
            if killed < 8 and each.poll() is None:
                os.kill(each.pid, signal.SIGKILL)
                killed += 1
            each.wait()
    rows = ledger.rows()
    assert killed >= 2
    assert sorted(each.key for each in rows) == sorted(f"job-{number}" for number in range(count))
    assert [each.serial for each in rows] == list(range(1, count + 1))
    assert ledger.check() is None
