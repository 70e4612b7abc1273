"""Photos only come, once each, in both databases, and go with every copy."""

import pytest
import sqlalchemy as sql
from drawn_photos import jpeg

from ampwright.deliver.store.copying import CannotCopy, copy_all
from ampwright.deliver.store.databases import raw
from ampwright.deliver.store.photos import PhotoReused
from ampwright.deliver.store.shape import migrate, shape_of
from ampwright.deliver.store.store import Store
from ampwright.deliver.store.tables import NEWEST, photos
from ampwright.deliver.store.values import NoSuchPlace
from ampwright.deliver.web.images import redrawn

SMALL = jpeg(1, (40, 30))
BEFORE_PHOTOS = "0004"


def add(desk, *, job=None, path="supply.ze_ohm", sent=SMALL, operation="photo-0001"):
    return desk.store.photos.add(job or desk.job, path, redrawn(sent), sent=sent, operation=operation, who="Ann",
                                 origin="a phone")  # fmt: skip


def moved_to(place, to):
    opened = raw(place, foreign_keys=False)
    migrate(opened, to)
    opened.dispose()


def test_a_repeat_is_harmless_and_another_photo_under_its_id_is_refused(desk):
    first = add(desk)
    assert add(desk) == first
    with pytest.raises(PhotoReused):
        add(desk, sent=jpeg(2, (40, 30)))
    with pytest.raises(PhotoReused):
        add(desk, path="supply.pfc_ka")
    assert desk.store.photos.of_job(desk.job) == (first,)


def test_a_photo_is_of_a_field_and_of_a_job(desk):
    with pytest.raises(NoSuchPlace):
        add(desk, path="supply.nothing")
    with pytest.raises(LookupError):
        add(desk, job="0" * 16)
    assert desk.store.photos.of_job(desk.job) == ()


@pytest.mark.parametrize("words", ["DELETE FROM photo", "UPDATE photo SET who = 'another'"])
def test_nothing_is_overwritten(desk, words):
    kept = add(desk)
    opened = raw(desk.place)
    with pytest.raises(sql.exc.IntegrityError, match="only grows"), opened.begin() as link:
        link.exec_driver_sql(words)
    opened.dispose()
    assert desk.store.photos.of_job(desk.job) == (kept,)


@pytest.mark.parametrize("there", ["sqlite", "postgresql"])
def test_photos_go_there_and_come_back(desk, kind, places, there):
    kept = [add(desk, sent=jpeg(number, (40, 30)), operation=f"photo-{number:04}") for number in range(60)]
    other, home = places(there), places(kind)
    copy_all(desk.place, other)
    copy_all(other, home)
    back = Store(home)
    assert set(back.photos.of_job(desk.job)) == set(kept)
    for each in kept:
        assert back.photos.content(desk.job, each.id) == desk.store.photos.content(desk.job, each.id)
    back.close()


def test_a_photo_that_is_lost_on_the_way_takes_the_copy_back(desk, kind, places, monkeypatch):
    add(desk)
    none_of_them = sql.select(photos).where(sql.false())
    true_select = sql.select
    asked: list[str] = []

    def select(*what):
        if what[0] is photos and not asked:
            asked.append("once")
            return none_of_them
        return true_select(*what)

    monkeypatch.setattr(sql, "select", select)
    other = places(kind)
    with pytest.raises(CannotCopy, match="read back"):
        copy_all(desk.place, other)
    assert asked
    monkeypatch.undo()
    store = Store(other)
    assert store.names() == ()
    store.close()


def test_a_store_from_before_photos_takes_them_from_now_on(desk):
    desk.store.close()
    moved_to(desk.place, BEFORE_PHOTOS)
    opened = raw(desk.place)
    with opened.connect() as link:
        assert shape_of(link) == BEFORE_PHOTOS
        assert not sql.inspect(link).has_table("photo")
    opened.dispose()

    desk.store = Store(desk.place)
    kept = add(desk)
    assert desk.store.photos.of_job(desk.job) == (kept,)


def test_no_way_down_takes_a_photo_with_it(desk):
    kept = add(desk)
    desk.store.close()
    with pytest.raises(ValueError, match="there are photos"):
        moved_to(desk.place, BEFORE_PHOTOS)
    opened = raw(desk.place)
    with opened.connect() as link:
        assert shape_of(link) == NEWEST
    opened.dispose()
    desk.store = Store(desk.place)
    assert desk.store.photos.of_job(desk.job) == (kept,)
