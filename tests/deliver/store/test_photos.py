"""Photos only come, once each, and go with a backup."""

import pytest
import sqlalchemy as sql
from drawn_photos import jpeg

from ampwright.deliver.store.photos import PhotoReused
from ampwright.deliver.store.store import Store
from ampwright.deliver.store.values import NoSuchPlace
from ampwright.deliver.web.images import redrawn

SMALL = jpeg(1, (40, 30))


def add(store, job, *, path="supply.ze_ohm", sent=SMALL, operation="photo-0001"):
    return store.photos.add(job, path, redrawn(sent), sent=sent, operation=operation, who="Ann", origin="a phone")


def test_a_repeat_is_harmless_and_another_photo_under_its_id_is_refused(tmp_path, terrace_store):
    store, job = terrace_store
    first = add(store, job)
    assert add(store, job) == first
    with pytest.raises(PhotoReused):
        add(store, job, sent=jpeg(2, (40, 30)))
    with pytest.raises(PhotoReused):
        add(store, job, path="supply.pfc_ka")
    assert store.photos.of_job(job) == (first,)


def test_a_photo_is_of_a_field_and_of_a_job(terrace_store):
    store, job = terrace_store
    with pytest.raises(NoSuchPlace):
        add(store, job, path="supply.nothing")
    with pytest.raises(LookupError):
        add(store, "0" * 16)
    assert store.photos.of_job(job) == ()


def test_nothing_is_overwritten(terrace_store):
    store, job = terrace_store
    add(store, job)
    for deed in ("DELETE FROM photo", "UPDATE photo SET who = 'another'"):
        with pytest.raises(sql.exc.IntegrityError, match="only grows"), store._engine.begin() as link:
            link.exec_driver_sql(deed)


def test_a_backup_has_the_photos(tmp_path, terrace_store):
    store, job = terrace_store
    kept = add(store, job)
    store.back_up(tmp_path / "copy.db")
    copy = Store(tmp_path / "copy.db")
    assert copy.photos.of_job(job) == (kept,)
    assert copy.photos.content(job, kept.id) == store.photos.content(job, kept.id)
    copy.close()


@pytest.fixture
def terrace_store(tmp_path):
    from ampwright.deliver.demo import demo_files

    store = Store(tmp_path / "jobs.db")
    yield store, store.take_in(demo_files()["terrace.yaml"], operation="first", who="Ann", origin="a file")
    store.close()
