"""A firm's own figures on both databases: each version stays, the newest is in use, and no other firm sees them."""

import threading

import pytest
import sqlalchemy as sql

from ampwright.deliver.store.copying import copy_all
from ampwright.deliver.store.figure_book import ChangedSince, FigureBook, last_number
from ampwright.deliver.store.firms import FirmStore
from ampwright.deliver.store.people import People
from ampwright.deliver.store.shape import migrate
from ampwright.deliver.store.store import OperationReused, Store

HOW = {"who": "Ann", "origin": "the office"}


@pytest.fixture
def book(desk):
    return FigureBook(desk.store)


def firm_of(desk, name):
    return People(desk.store.engine).add(firm=name, login=name, name="Bo", role="owner",
                                         password="a word or two in a row").firm  # fmt: skip


def test_every_version_stays_and_the_newest_is_in_use(book):
    book.put("bits", "one", base=0, operation="a" * 8, **HOW)
    book.put("prices", "other", base=0, operation="b" * 8, **HOW)
    book.put("bits", "two", base=1, operation="c" * 8, **HOW)
    book.put("bits", None, base=3, operation="d" * 8, **HOW)
    assert [(each.number, each.text, each.who) for each in book.versions("bits")] == [
        (4, None, "Ann"), (3, "two", "Ann"), (1, "one", "Ann")]  # fmt: skip
    assert {kind: each.text for kind, each in book.newest().items()} == {"bits": None, "prices": "other"}
    assert book.versions("efforts") == ()


def test_the_same_again_changes_nothing_and_another_under_its_id_is_refused(book, desk):
    for _ in range(2):
        book.put("bits", "one", base=0, operation="a" * 8, **HOW)
    book.put("bits", "one", base=1, operation="e" * 8, **HOW)
    assert len(book.versions("bits")) == last_number(desk.store.engine) == 1
    with pytest.raises(OperationReused):
        book.put("bits", "two", base=1, operation="a" * 8, **HOW)


def test_what_somebody_put_in_since_is_not_replaced_unseen(book):
    book.put("bits", "one", base=0, operation="a" * 8, **HOW)
    with pytest.raises(ChangedSince, match="Ann put in other figures since"):
        book.put("bits", "two", base=0, operation="b" * 8, **HOW)
    book.put("bits", None, base=1, operation="c" * 8, **HOW)
    with pytest.raises(ChangedSince, match="Ann took them back since"):
        book.put("bits", "two", base=1, operation="d" * 8, **HOW)
    with pytest.raises(ChangedSince, match="not the figures in use"):
        book.put("prices", "two", base=1, operation="d" * 8, **HOW)
    assert book.newest()["bits"].text is None


def test_what_was_put_in_before_there_were_accounts_is_the_first_firms_alone(book, desk):
    book.put("bits", "before", base=0, operation="a" * 8, **HOW)
    ours, others = (FigureBook(FirmStore(desk.store, firm_of(desk, name))) for name in ("ours", "others"))
    assert ours.newest()["bits"].text == "before"
    assert others.newest() == {}
    others.put("bits", "theirs", base=0, operation="b" * 8, **HOW)
    ours.put("bits", "ours", base=1, operation="c" * 8, **HOW)
    assert [each.newest()["bits"].text for each in (ours, others)] == ["ours", "theirs"]


def test_on_the_machine_itself_a_job_goes_by_the_figures_of_its_own_firm(desk):
    ours, others = (FirmStore(desk.store, firm_of(desk, name)) for name in ("ours", "others"))
    theirs = others.take_in("version: 1\ntitle: Theirs\n", operation="theirs-01", who="Ann", origin="here")
    for number, store in enumerate((ours, others)):
        FigureBook(store).put("bits", f"of {number}", base=0, operation=f"put-in-0{number}", **HOW)
    assert FigureBook(desk.store, desk.job).newest()["bits"].text == "of 0"
    assert FigureBook(desk.store, theirs).newest()["bits"].text == "of 1"
    assert FigureBook(desk.store).newest()["bits"].text == "of 0"


@pytest.mark.parametrize("words", ["UPDATE figures SET text = 'x'", "DELETE FROM figures"])
def test_the_database_itself_refuses_to_change_a_version(book, desk, words):
    book.put("bits", "one", base=0, operation="a" * 8, **HOW)
    with pytest.raises(sql.exc.DatabaseError, match="only grows"), desk.store.engine.begin() as link:
        link.execute(sql.text(words))


@pytest.mark.parametrize("there", ["sqlite", "postgresql"])
def test_a_copy_has_them_and_goes_on_from_them(book, desk, places, there):
    text = 'kind,"Übel 日本"\r\n'
    book.put("bits", text, base=0, operation="a" * 8, **HOW)
    copy_all(desk.place, place := places(there))
    copied = Store(place)
    assert FigureBook(copied).versions("bits") == book.versions("bits")
    FigureBook(copied).put("bits", None, base=1, operation="b" * 8, **HOW)
    assert [each.number for each in FigureBook(copied).versions("bits")] == [2, 1]
    copied.close()


def test_an_older_shape_is_refused_while_it_would_lose_them(book, desk):
    migrate(desk.store.engine, "0007")
    migrate(desk.store.engine, "0008")
    book.put("bits", "one", base=0, operation="a" * 8, **HOW)
    with pytest.raises(ValueError, match="no shape before this one could hold them"):
        migrate(desk.store.engine, "0007")
    assert book.newest()["bits"].text == "one"


def test_of_two_who_put_theirs_in_at_once_one_is_told(book):
    told = []

    def put(number):
        try:
            book.put("bits", f"of {number}", base=0, operation=f"at-once-{number}", **HOW)
        except ChangedSince as wrong:
            told.append(str(wrong))

    both = [threading.Thread(target=put, args=(number,)) for number in range(2)]
    for each in both:
        each.start()
    for each in both:
        each.join()
    assert len(book.versions("bits")) == len(told) == 1
