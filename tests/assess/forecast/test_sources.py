"""The user's own files go before the climate tables, are named with their hash, and their gaps are said."""

import datetime
import hashlib
from pathlib import Path

import numpy as np
import pvlib
import pytest
from jobs import house

from ampwright.assess.forecast.forecast import CannotForecast
from ampwright.assess.forecast.levers import scaled
from ampwright.assess.forecast.roof import generation_kw
from ampwright.assess.forecast.skies import source_of
from ampwright.assess.forecast.weather_files import read_weather
from ampwright.job.record import Vehicle

DATA = Path(pvlib.__file__).parent / "data"
TMY3 = "703165TY.csv"


def sunny(**changes):
    return house({"vehicles": (Vehicle(name="a car"),), "site.sun_region": 6, **changes})


def readings(folder, missing=()):
    """Made up: 2 kW from ten to noon, every day of 2023, in half hours."""
    first = datetime.datetime(2023, 1, 1)
    starts = [first + datetime.timedelta(minutes=30 * number) for number in range(365 * 48)]
    lines = [f"{each.isoformat()}Z,{1 if 10 <= each.hour < 12 else 0}" for each in starts if each.date() not in missing]
    (folder / "made.csv").write_text("\n".join(["start,kWh", *lines]))
    return hashlib.sha256((folder / "made.csv").read_bytes()).hexdigest()


def test_own_readings_stand_in_every_year_and_grow_with_the_array(tmp_path):
    digest = readings(tmp_path)
    job = sunny(**{"generation.own_csv": "made.csv"})
    source = source_of(job, 1, tmp_path)

    assert source.sun_of(job, 1, 0).sum() / 60 == pytest.approx(1460)  # 2 kW x 2 h x 365
    assert source.sun_of(job, 1, 7).sum() / 60 == pytest.approx(1460)
    assert source.sun_of(scaled(job, 1.25), 1, 0).sum() / 60 == pytest.approx(1825)
    assert source.sha256 == digest
    assert "made.csv" in source.words
    assert "nothing of the weather's spread" in source.words


def test_gaps_in_own_readings_are_drawn_and_listed(tmp_path):
    readings(tmp_path, missing={datetime.date(2023, 6, 1), datetime.date(2023, 6, 2)})
    job = sunny(**{"generation.own_csv": "made.csv"})
    source = source_of(job, 1, tmp_path)

    made = source.sun_of(job, 1, 0).reshape(365, 1440)
    assert np.isfinite(made).all()
    assert made[150:153, 600:720].mean(axis=1) != pytest.approx([2.0, 2.0, 2.0])  # 1 June is day 151 from nought
    assert "2880 minutes have no reading and were drawn from the weather (2880 minutes from 2023-06-01" in source.words


def test_a_weather_file_goes_before_the_tables(tmp_path):
    (tmp_path / TMY3).write_bytes((DATA / TMY3).read_bytes())
    job = sunny(**{"site.weather_file": TMY3})
    source = source_of(job, 4, tmp_path)

    assert source.sun_of(job, 4, 0) == pytest.approx(generation_kw(job, read_weather(tmp_path / TMY3, 4)))
    assert source.words.startswith(f"TMY3 file {TMY3}")
    assert source.sha256 == hashlib.sha256((DATA / TMY3).read_bytes()).hexdigest()


@pytest.mark.parametrize("field", ["generation.own_csv", "site.weather_file"])
def test_a_file_that_is_not_there_is_said(field, tmp_path):
    with pytest.raises(CannotForecast, match="nowhere"):
        source_of(sunny(**{field: "nowhere.csv"}), 1, tmp_path)
