"""Half-hourly readings: what is read, on which clock, what is missing, and what is told."""

import datetime

import pytest

from ampwright.job.british_clock import changes_utc, from_clock, is_summer, to_clock
from ampwright.job.files import BadJobFile, parse
from ampwright.job.half_hourly import BadReadings, Gap, read, readings

HALF = datetime.timedelta(minutes=30)
AT = datetime.datetime


def clock_day(year, month, day):
    """The half hours that a British clock shows on a day, counted by a zone-free rule of thumb in the test."""
    shown = [AT(year, month, day) + HALF * count for count in range(48)]
    if (month, day) == (3, 29):  # 2026: 01:00 to 01:59 is left out
        return [start for start in shown if start.hour != 1]
    if (month, day) == (10, 25):  # 2026: 01:00 to 01:59 comes twice
        return shown[:4] + shown[2:4] + shown[4:]
    return shown


def write(tmp_path, starts, form="%Y-%m-%dT%H:%M", heading="start,kwh", kwh="0.25"):
    lines = [heading, *(f"{start:{form}},{kwh}" for start in starts)]
    path = tmp_path / "meter.csv"
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


def told(tmp_path, text):
    (tmp_path / "meter.csv").write_text(text, encoding="utf-8")
    with pytest.raises(BadReadings) as caught:
        read(tmp_path, "meter.csv")
    return "\n".join(caught.value.says)


def test_the_clock_changes_on_the_last_sundays():
    # published dates of British Summer Time: 30 Mar to 26 Oct 2025, 29 Mar to 25 Oct 2026, 28 Mar to 31 Oct 2027
    assert changes_utc(2025) == (AT(2025, 3, 30, 1), AT(2025, 10, 26, 1))
    assert changes_utc(2026) == (AT(2026, 3, 29, 1), AT(2026, 10, 25, 1))
    assert changes_utc(2027) == (AT(2027, 3, 28, 1), AT(2027, 10, 31, 1))


def test_the_clock_agrees_with_the_zone_database():
    zoneinfo = pytest.importorskip("zoneinfo")
    try:
        london = zoneinfo.ZoneInfo("Europe/London")
    except zoneinfo.ZoneInfoNotFoundError:
        pytest.skip("no zone database here")
    for count in range(0, 48 * 365 * 3, 7):
        utc = AT(2025, 1, 1) + HALF * count
        there = utc.replace(tzinfo=datetime.UTC).astimezone(london)
        assert to_clock(utc) == there.replace(tzinfo=None)
        assert is_summer(utc) is bool(there.dst())
        assert from_clock(there.replace(tzinfo=None), second_time=bool(there.fold)) == utc
    assert from_clock(AT(2026, 3, 29, 1, 30)) is None


@pytest.mark.parametrize(("month", "day", "count"), [(3, 29, 46), (10, 25, 50), (6, 1, 48)])
@pytest.mark.parametrize("form", ["%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M:%S", "%d/%m/%Y %H:%M"])
def test_short_and_long_days_on_the_british_clock(month, day, count, form, tmp_path):
    before = AT(2026, month, day) - datetime.timedelta(days=1)
    after = AT(2026, month, day) + datetime.timedelta(days=1)
    starts = [*clock_day(2026, before.month, before.day), *clock_day(2026, month, day),
              *clock_day(2026, after.month, after.day)]  # fmt: skip
    assert len(starts) == 96 + count
    found = readings(write(tmp_path, starts, form))
    assert len(found.kwh) == 96 + count
    assert found.gaps == ()
    assert read(tmp_path, "meter.csv").days_count == pytest.approx((96 + count) / 48)


@pytest.mark.parametrize("backwards", [False, True])
def test_the_hour_that_comes_twice_keeps_its_order(backwards, tmp_path):
    starts = clock_day(2026, 10, 25)
    rows = [f"{start:%Y-%m-%dT%H:%M},{number}" for number, start in enumerate(starts)]
    path = tmp_path / "meter.csv"
    path.write_text("\n".join(["start,kwh", *(reversed(rows) if backwards else rows)]), encoding="utf-8")
    assert list(readings(path).kwh.values()) == list(range(50))


def test_utc_throughout_is_known_by_the_hour_that_the_clock_leaves_out(tmp_path):
    starts = [AT(2026, 3, 28) + HALF * count for count in range(96)]
    found = readings(write(tmp_path, starts))
    assert found.zoned
    assert len(found.kwh) == 96
    assert found.gaps == ()


@pytest.mark.parametrize(
    ("stamp", "at"),
    [
        ("2026-07-01T17:30Z", "2026-07-01 18:30 BST"),
        ("2026-07-01T17:30+01:00", "2026-07-01 17:30 BST"),
        ("2026-01-01T17:30+00:00", "2026-01-01 17:30 GMT"),
        ("2026-01-01 17:30:00", "2026-01-01 17:30"),
        ("01/02/2026 17:30", "2026-02-01 17:30"),
    ],
)
def test_the_highest_half_hour_is_shown_on_the_british_clock(stamp, at, tmp_path):
    (tmp_path / "meter.csv").write_text(f"start,kwh\n{stamp},2.5\n", encoding="utf-8")
    found = read(tmp_path, "meter.csv")
    assert (found.highest_kwh, found.highest_at) == (2.5, at)


def test_a_month_on_the_british_clock(tmp_path):
    (tmp_path / "meter.csv").write_text("start,kwh\n2026-04-30T23:00Z,1\n2026-04-30T23:30Z,1\n", encoding="utf-8")
    assert read(tmp_path, "meter.csv").months == (5,)


def test_gaps_are_listed_and_never_filled(tmp_path):
    starts = [AT(2026, 1, 1) + HALF * count for count in range(96) if count not in (10, 11, 12, 40)]
    found = readings(write(tmp_path, starts))
    assert found.gaps == (Gap(AT(2026, 1, 1, 5), 3), Gap(AT(2026, 1, 1, 20), 1))
    assert len(found.kwh) == 92
    half_hourly = read(tmp_path, "meter.csv")
    # by hand: 96 half hours are 2 days, four of them without a reading
    assert (half_hourly.days_count, half_hourly.missing_count) == (2, 4)
    assert half_hourly.months == (1,)


def test_an_empty_cell_is_a_gap(tmp_path):
    path = write(tmp_path, [AT(2026, 1, 1), AT(2026, 1, 1, 0, 30)])
    path.write_text(path.read_text(encoding="utf-8") + "\n2026-01-01T01:00,\n2026-01-01T01:30,0.1\n", encoding="utf-8")
    assert readings(path).gaps == (Gap(AT(2026, 1, 1, 1), 1),)


@pytest.mark.parametrize(
    "text",
    [
        "Start,kWh\n2026-01-01T00:00,1\n2026-01-01T00:30,2\n",
        "2026-01-01T00:00,1\n2026-01-01T00:30,2\n",
        "Consumption (kWh), Start , End\n1,2026-01-01T00:00,2026-01-01T00:30\n2,2026-01-01T00:30,2026-01-01T01:00\n",
        "Date,Time,Import kWh,Export kWh\n01/01/2026,00:00,1,9\n01/01/2026,00:30,2,9\n",
        "reading date and time;usage\n2026-01-01 00:00;1\n2026-01-01 00:30;2\n",
        "\ufeffTimestamp,kwh\r\n\r\n2026-01-01T00:00,1\r\n2026-01-01T00:30,2\r\n",
        '"start","kwh"\n"2026-01-01T00:30","2"\n"2026-01-01T00:00","1"\n',
    ],
)
def test_headings_are_guessed(text, tmp_path):
    (tmp_path / "meter.csv").write_text(text, encoding="utf-8")
    assert list(readings(tmp_path / "meter.csv").kwh.items()) == [(AT(2026, 1, 1), 1), (AT(2026, 1, 1, 0, 30), 2)]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "has no readings in it"),
        ("start,kwh\n", "has no readings in it"),
        ("a,b\n1,2\n", "line 1: head one column 'start' and one 'kwh'"),
        ("start,day kwh,night kwh\n2026-01-01T00:00,1,2\n", "no other like them"),
        ("start,wh energy\n2026-01-01T00:00,1\n", "head one column"),
        ("start,kwh\n2026-01-01T00:00,1\n2026-01-01T00:00,1\n", "line 3: this half hour is already given in line 2"),
        ("start,kwh\n2026-01-01T00:10,1\n", "line 2: '2026-01-01T00:10' is not the start of a half hour"),
        ("start,kwh\n31/02/2026 00:00,1\n", "line 2: '31/02/2026 00:00' is not the start"),
        ("start,kwh\n2026-01-01,1\n", "is not the start of a half hour"),
        ("start,kwh\n2026-01-01T00:00,-1\n", "line 2: '-1' is no energy"),
        ("start,kwh\n2026-01-01T00:00,nan\n", "'nan' is no energy"),
        ("start,kwh\n2026-01-01T00:00,1e9\n", "is no energy between 0 and 500 kWh"),
        ('start,kwh\n2026-01-01T00:00,"0,5"\n', "'0,5' is no energy"),
        ("start,kwh\n2026-01-01T00:00\n", "line 2: this line is shorter"),
        ("start,kwh\n2026-01-01T00:00Z,1\n2026-01-01T00:30,1\n", "with a zone and starts without"),
        ("start,kwh\n" + "".join(f"2026-01-01T{hour:02}:00,1\n" for hour in range(9)), "no two readings half an hour"),
        ("start,kwh\n" + "x,1\n" * 50, "and 30 more of the kind"),
        ("start,kwh\n\x002026-01-01T00:00,1\n", "is not a text file"),
        ('start,kwh\n"' + "x" * 200_000 + '",1\n', "cannot be divided into cells"),
    ],
)
def test_what_cannot_be_used_is_told_with_its_line(text, says, tmp_path):
    assert says in told(tmp_path, text)


@pytest.mark.parametrize("name", ["/etc/hosts", "../meter.csv", "a/../../b.csv", "C:\\m.csv", "..", "", ".", "x\0y"])
def test_only_files_beside_the_job(name, tmp_path):
    (tmp_path / "job").mkdir()
    (tmp_path / "meter.csv").write_text("start,kwh\n2026-01-01T00:00,1\n", encoding="utf-8")
    with pytest.raises(BadReadings):
        read(tmp_path / "job", name)


def test_a_link_out_of_the_folder_is_refused(tmp_path):
    (tmp_path / "job").mkdir()
    (tmp_path / "meter.csv").write_text("start,kwh\n2026-01-01T00:00,1\n", encoding="utf-8")
    (tmp_path / "job" / "meter.csv").symlink_to(tmp_path / "meter.csv")
    with pytest.raises(BadReadings, match="leads out of the job's folder"):
        read(tmp_path / "job", "meter.csv")


JOB = "version: 2\ninstallation:\n  half_hourly:\n    csv: meter.csv\n"


def test_the_job_is_filled_from_its_file(tmp_path):
    write(tmp_path, [AT(2026, 1, 1) + HALF * count for count in range(48)], kwh="0.5")
    assert parse(JOB, tmp_path).installation.half_hourly.days_count == 1
    assert parse(JOB + "    days_count: 1\n    months: [1]\n", tmp_path) == parse(JOB, tmp_path)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("highest_kwh: 3", "line 5: installation.half_hourly.highest_kwh: the file of readings gives 0.5 and not 3"),
        ("months: [2]", "gives months 1 and not months 2"),
        ("days_count: 365", "gives 1 and not 365"),
    ],
)
def test_what_is_typed_may_not_say_otherwise(typed, says, tmp_path):
    write(tmp_path, [AT(2026, 1, 1) + HALF * count for count in range(48)], kwh="0.5")
    with pytest.raises(BadJobFile) as caught:
        parse(f"{JOB}    {typed}\n", tmp_path)
    assert says in str(caught.value)


def test_a_missing_file_is_told_at_its_line(tmp_path):
    with pytest.raises(BadJobFile) as caught:
        parse(JOB, tmp_path)
    assert str(caught.value).startswith("line 4: installation.half_hourly.csv: there is no file 'meter.csv' beside")
