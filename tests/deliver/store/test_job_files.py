"""The files of a job in both databases: kept with the change that names them, once each, and carried by every copy."""

import pytest
import sqlalchemy as sql
from meters import days

from ampwright.deliver import own_files
from ampwright.deliver.demo import METER, write_demo
from ampwright.deliver.own_files import BadFile, files_of
from ampwright.deliver.store.copying import copy_all
from ampwright.deliver.store.databases import raw
from ampwright.deliver.store.firms import FirmStore
from ampwright.deliver.store.job_files import LARGEST_BYTES_COUNT, Brought, FileReused, is_name
from ampwright.deliver.store.people import People
from ampwright.deliver.store.shape import migrate
from ampwright.deliver.store.store import NoSuchJob, OperationReused, Store
from ampwright.job.files import BadJobFile

HOW = {"who": "Ann", "origin": "a page"}
CSV = "installation.half_hourly.csv"


def put(desk, content, *, name="meter.csv", which="half-hourly", operation="put-00001", base=None):
    return own_files.put(desk.store, desk.job, which, name, content, operation=operation,
                         base=desk.head() if base is None else base, **HOW)  # fmt: skip


def test_a_file_and_its_name_in_the_record_come_together_and_a_repeat_is_harmless(desk):
    base = desk.head()
    first = put(desk, days(2))
    assert put(desk, days(2), base=base) == first
    record = desk.store.read(desk.job)[0]
    # two days of half hours, each of the number of the hour in watt-hours: the highest is 0.023 kWh
    assert (record.installation.half_hourly.csv, record.installation.half_hourly.days_count) == ("meter.csv", 2)
    assert record.installation.half_hourly.highest_kwh == pytest.approx(0.023)
    kept = desk.store.files.of_job(desk.job)
    assert [(each.name, each.operation, each.who) for each in kept.values()] == [("meter.csv", "put-00001", "Ann")]
    assert kept["meter.csv"].says == ("half-hourly readings from 2026-01-01 00:00 to 2026-01-03 00:00 by the British "
                                      "clock, 2 days; no half hour is missing")  # fmt: skip
    assert desk.store.files.content(desk.job, "meter.csv") == days(2)
    with pytest.raises(OperationReused):
        put(desk, days(3))
    with pytest.raises(FileReused, match=r"somebody put in meter\.csv since"):
        put(desk, days(3), base=base, operation="put-00002")
    assert desk.store.files.of_job(desk.job) == kept


def test_another_file_of_that_name_gets_its_own_so_that_what_was_taken_back_reads_the_old_one(desk):
    put(desk, days(2))
    put(desk, days(3), operation="put-00002")
    assert desk.store.values(desk.job)["installation"]["half_hourly"]["csv"] == "meter-2.csv"
    desk.undo("put-00002")
    record = desk.store.read(desk.job)[0]
    assert record.installation.half_hourly.days_count == 2
    files = files_of(desk.store, desk.job, record)
    with files.folder(desk.store, desk.job) as folder:
        assert [each.name for each in folder.iterdir()] == ["meter.csv"]
        assert (folder / "meter.csv").read_bytes() == days(2)
    assert not folder.exists()
    put(desk, days(3), operation="put-00003")
    assert list(desk.store.files.of_job(desk.job)) == ["meter.csv", "meter-2.csv"]


def test_of_a_bad_file_everything_is_told_and_nothing_is_kept(desk):
    before = desk.store.history(desk.job)
    with pytest.raises(BadFile) as bad:
        put(desk, days(1).replace(b",0.003", b",three").replace(b",0.005", b",-5"))
    assert [each.partition(":")[0] for each in bad.value.says] == [f"meter.csv line {line}" for line in (8, 9, 12, 13)]
    with pytest.raises(BadFile, match="over 16 MiB"):
        put(desk, b"1" * (LARGEST_BYTES_COUNT + 1))
    assert desk.store.files.of_job(desk.job) == {}
    assert desk.store.history(desk.job) == before


def test_nothing_is_kept_where_the_change_is_refused_or_the_name_is_taken_meanwhile(desk):
    brought = Brought("meter.csv", b"one", "one")
    with pytest.raises(BadJobFile):
        desk.store.bring((brought,), desk.job, {"supply.ze_ohm": -1}, operation="refused-1", base=desk.head(), **HOW)
    assert desk.store.files.of_job(desk.job) == {}
    put(desk, days(2))
    before = desk.store.history(desk.job)
    with pytest.raises(FileReused):
        desk.store.bring((brought,), desk.job, {"title": "x"}, operation="refused-2", base=desk.head(), **HOW)
    assert desk.store.history(desk.job) == before


@pytest.mark.parametrize(("name", "may"), [
    ("meter.csv", True), ("2025/meter 1.csv", True), ("../meter.csv", False), ("/etc/meter.csv", False),
    ("a/../../meter.csv", False), ("a//b.csv", False), ("c:meter.csv", False), ("a\\b.csv", False), ("", False),
    (".", False), ("a\nb.csv", False), ("x" * 201, False)])  # fmt: skip
def test_a_name_leads_nowhere_else(name, may):
    assert is_name(name) is may


@pytest.mark.parametrize("words", ["UPDATE job_file SET who = 'x'", "DELETE FROM job_file"])
def test_nothing_is_overwritten(desk, words):
    put(desk, days(2))
    opened = raw(desk.place)
    with pytest.raises(sql.exc.IntegrityError, match="only grows"), opened.begin() as link:
        link.exec_driver_sql(words)
    opened.dispose()


def test_another_firm_sees_none_of_it(desk):
    ours, others = (FirmStore(desk.store, People(desk.store.engine).add(
        firm=name, login=name, name="Bo", role="owner", password="a word or two in a row").firm)
        for name in ("ours", "others"))  # fmt: skip
    put(desk, days(2))
    assert list(ours.files.of_job(desk.job)) == ["meter.csv"]
    for asked in (lambda: others.files.of_job(desk.job), lambda: others.files.content(desk.job, "meter.csv")):
        with pytest.raises(NoSuchJob):
            asked()


@pytest.mark.parametrize("there", ["sqlite", "postgresql"])
def test_a_copy_has_them(desk, kind, places, there):
    put(desk, days(2))
    copy_all(desk.place, other := places(there))
    copy_all(other, home := places(kind))
    back = Store(home)
    assert back.files.of_job(desk.job) == desk.store.files.of_job(desk.job)
    assert back.files.content(desk.job, "meter.csv") == days(2)
    back.close()


def test_the_shape_goes_up_and_down_while_nothing_is_lost(desk):
    migrate(desk.store.engine, "0008")
    assert not sql.inspect(desk.store.engine).has_table("job_file")
    migrate(desk.store.engine, "0009")
    put(desk, days(2))
    with pytest.raises(ValueError, match="no shape before this one could hold them"):
        migrate(desk.store.engine, "0008")
    assert desk.store.files.content(desk.job, "meter.csv") == days(2)


def test_a_job_file_brings_what_stands_beside_it_and_nothing_from_elsewhere(desk, tmp_path):
    write_demo(folder := tmp_path / "demo")
    text = (folder / "house_with_garage.yaml").read_text(encoding="utf-8")
    taken = desk.store.take_in(text, operation="demo-0001", folder=folder, **HOW)
    assert desk.store.files.content(taken, METER) == (folder / METER).read_bytes()
    (tmp_path / "else.csv").write_bytes(b"start,generation kWh\n")
    outside = "version: 2\ntitle: x\ngeneration:\n  own_csv: ../else.csv\n"
    assert desk.store.files.of_job(desk.store.take_in(outside, operation="demo-0002", folder=folder, **HOW)) == {}
    (folder / "bad.csv").write_bytes(b"start,generation kWh\nnever,1\n")
    with pytest.raises(BadJobFile, match="'never' is no time"):
        desk.store.take_in(outside.replace("../else", "bad"), operation="demo-0003", folder=folder, **HOW)
