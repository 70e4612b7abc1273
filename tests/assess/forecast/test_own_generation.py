"""Readings of the generation at any step: kept, put on the right minute, gaps left as gaps."""

import datetime
import hashlib

import numpy as np
import pytest

from ampwright.assess.forecast.own_generation import BadGeneration, read_generation

UTC = datetime.UTC
YEAR = datetime.datetime(2023, 1, 1)


def noon_sun(start):
    """Made up: 0.5 kWh in the half hour from noon UTC, nothing else."""
    return 0.5 if (start.hour, start.minute) == (12, 0) else 0.0


def written(folder, rows, heading="start,generation kWh", name="made.csv"):
    path = folder / name
    path.write_text("\n".join([heading, *(f"{start},{value}" for start, value in rows)]) + "\n")
    return path


def steps(step_min, first=YEAR, days=365):
    return [first + datetime.timedelta(minutes=step_min * number) for number in range(days * 1440 // step_min)]


@pytest.mark.parametrize("step_min", [5, 15, 30, 60])
@pytest.mark.parametrize(("heading", "per_kw"), [
    ("start,kWh", None), ("Time;Energy (Wh)", None), ("date,power kW", 1.0), ("timestamp,AC power W", 1000.0)])
def test_any_step_and_unit_gives_the_same_power(tmp_path, step_min, heading, per_kw):
    # 2 kW from ten to noon each day; by hand: 2 x 2 h x 365 = 1,460 kWh
    scale = per_kw or {"start,kWh": 1, "Time;Energy (Wh)": 1000}[heading] * step_min / 60
    mark = ";" if ";" in heading else ","
    lines = [f"{start.isoformat()}Z{mark}{2 * scale if 10 <= start.hour < 12 else 0}" for start in steps(step_min)]
    (tmp_path / "made.csv").write_text("\n".join([heading, *lines]))
    made = read_generation(tmp_path / "made.csv")

    assert made.made_kw.sum() / 60 == pytest.approx(1460)
    assert made.made_kw.reshape(365, 1440)[:, 600:720] == pytest.approx(2.0)
    assert made.step_min == step_min
    assert made.gaps == ()


def test_the_british_clock_is_told_by_its_changes(tmp_path):
    # on the clock, noon UTC stands at 13:00 from 26 March to 29 October 2023 (last Sundays)
    rows = []
    for start in steps(30):
        summer = datetime.datetime(2023, 3, 26, 1) <= start < datetime.datetime(2023, 10, 29, 1)
        shown = start + datetime.timedelta(hours=1) if summer else start
        rows.append((f"{shown:%d/%m/%Y %H:%M}", noon_sun(start)))
    made = read_generation(written(tmp_path, rows))

    by_day = made.made_kw.reshape(365, 1440)
    assert np.all(by_day[:, 720:750] == 1.0)
    assert np.nansum(by_day) / 60 == pytest.approx(0.5 * 365)
    assert made.gaps == ()
    assert made.came_from.notes == ("times on the British clock, as its changes show",)


def test_a_clock_that_never_changes_is_taken_as_utc_and_said(tmp_path):
    made = read_generation(written(tmp_path, [(start.isoformat(), noon_sun(start)) for start in steps(30)]))

    assert np.all(made.made_kw.reshape(365, 1440)[:, 720:750] == 1.0)
    assert "taken as UTC" in made.came_from.notes[0]


def test_gaps_are_listed_and_not_filled(tmp_path):
    lost = datetime.datetime(2023, 6, 1, 11, 30)
    rows = [(start.isoformat(), noon_sun(start)) for start in steps(30)
            if not lost <= start < lost + datetime.timedelta(hours=2)]  # fmt: skip
    path = written(tmp_path, rows)
    made = read_generation(path)

    assert [(gap.start, gap.missing_count) for gap in made.gaps] == [(lost, 120)]
    assert np.isnan(made.made_kw).sum() == 120
    assert not np.isnan(made.with_gaps_from(np.ones(525_600))).any()
    assert made.with_gaps_from(np.ones(525_600)).sum() == pytest.approx(np.nansum(made.made_kw) + 120)
    assert made.came_from.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()


def test_a_reading_left_blank_is_a_gap(tmp_path):
    rows = [(start.isoformat(), "" if number == 4000 else 0.1) for number, start in enumerate(steps(30))]

    assert [gap.missing_count for gap in read_generation(written(tmp_path, rows)).gaps] == [30]


def test_half_a_year_lacks_the_other_half(tmp_path):
    made = read_generation(written(tmp_path, [(start.isoformat(), 0.1) for start in steps(30, days=181)]))

    assert np.isnan(made.made_kw).sum() == 184 * 1440
    assert [gap.missing_count for gap in made.gaps] == [184 * 1440]


def test_of_a_longer_file_the_last_year_counts_and_29_february_falls_away(tmp_path):
    starts = steps(60, first=datetime.datetime(2023, 3, 1), days=366 + 60)
    rows = [(f"{start.isoformat()}+00:00", 1.0 if start < datetime.datetime(2023, 4, 30) else 3.0) for start in starts]
    made = read_generation(written(tmp_path, rows))

    assert np.all(made.made_kw == 3.0)


@pytest.mark.parametrize(("heading", "rows", "says"), [
    ("start,amount", [("2023-01-01T00:00", 1)], "head one column"),
    ("start,kWh", [("yesterday", 1), ("2023-01-01T00:30", 1)], "line 2"),
    ("start,kWh", [("2023-01-01T00:00", -1), ("2023-01-01T00:30", 1)], "zero or more"),
    ("start,kWh", [("2023-01-01T00:00", 1), ("2023-01-02T00:00", 1)], "at most sixty"),
    ("start,kWh", [("2023-01-01T00:00", 1), ("2023-01-01T00:30Z", 1)], "use one kind"),
    ("start,kWh", [("2023-01-01T00:00Z", 1), ("2023-01-01T00:00Z", 1)], "already given in line 2"),
    ("start,kWh", [("2023-01-01T00:00Z", 15000), ("2023-01-01T00:30Z", 15001)], "not the sum so far"),
    ("start,kWh", [("2023-01-01T00:00Z", 1)], "fewer than two"),
    ("start,kWh", [("2023-01-01T00:00Z", "nan"), ("2023-01-01T00:30Z", 1)], "zero or more"),
])  # fmt: skip
def test_a_file_that_will_not_do_is_refused_in_words(tmp_path, heading, rows, says):
    with pytest.raises(BadGeneration) as refused:
        read_generation(written(tmp_path, rows, heading))

    assert any(says in each for each in refused.value.says)


def test_every_wrong_line_is_told_at_once(tmp_path):
    with pytest.raises(BadGeneration) as refused:
        read_generation(written(tmp_path, [("x", 1), ("y", 1), ("2023-01-01T00:00", "z")]))

    assert [f"line {number}" in says for number, says in zip((2, 3, 4), refused.value.says, strict=True)] == [True] * 3


def test_what_is_no_file_is_refused(tmp_path):
    (tmp_path / "photo.csv").write_bytes(b"\xff\xfe\x00\x01")

    for name in ("none.csv", "photo.csv"):
        with pytest.raises(BadGeneration, match=name):
            read_generation(tmp_path / name)
