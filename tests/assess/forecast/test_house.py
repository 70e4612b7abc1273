"""House load by minute: the energy and the shape it is forced to, and readings that keep every half hour."""

import datetime

import numpy as np
import pytest

from ampwright.assess.forecast import house
from ampwright.assess.forecast.clock import by_month, seasons, to_utc_min, wall
from ampwright.assess.forecast.metered import by_minute, metered
from ampwright.facts import rows
from ampwright.job.british_clock import to_clock
from ampwright.job.half_hourly import Gap, Readings

START = datetime.datetime(2025, 11, 1)


def home(number, annual_kwh=4000.0, purposes=frozenset({"cooking"})):
    return house.house_year(annual_kwh=annual_kwh, chance=np.random.default_rng([number]), purposes=purposes)


def test_the_clock_of_2025():
    # 30 March 2025, 01:00 UTC: the wall jumps from 00:59 to 02:00; 26 October, 01:00 UTC: it shows 01:00 again
    march, october = (88 * 1440 + 59, 298 * 1440 + 59)
    assert [int(wall().minute[at]) for at in (march, march + 1, october, october + 1)] == [59, 120, 119, 60]
    assert int(wall().weekday[0]) == 2  # 1 January 2025 was a Wednesday
    assert (to_utc_min(0, 8.0), to_utc_min(180, 8.0)) == (480, 180 * 1440 + 420)


def test_the_settlement_seasons_of_2025():
    # August bank holiday 25 August 2025: high summer from the sixth Saturday before, 19 July, for 44 days
    names = seasons()
    first = {name: names.index(name) for name in ("spring", "summer", "high_summer", "autumn")}
    day = {name: (datetime.date(2025, 1, 1) + datetime.timedelta(days=at)).isoformat() for name, at in first.items()}
    assert day == {"spring": "2025-03-30", "summer": "2025-05-10", "high_summer": "2025-07-19",
                   "autumn": "2025-09-01"}  # fmt: skip
    assert names[-1] == names[0] == "winter"


def test_the_profile_sums_to_the_published_year():
    # research notes on Profile Class 1: 3,905 kWh a year; the days of 2025 differ a little from theirs
    assert house.profile_kw().sum() / 60 == pytest.approx(3905, rel=0.01)


@pytest.mark.parametrize("number", range(4))
def test_a_home_has_its_kilowatt_hours_and_the_shape_of_the_day(number):
    load_kw = home(number)
    assert load_kw.sum() / 60 == pytest.approx(4000, abs=1e-6)
    assert load_kw.min() > 0
    half_hours = load_kw.reshape(365, 48, 30).mean(axis=(0, 2))
    shape = house.profile_kw().reshape(365, 48, 30).mean(axis=(0, 2))
    assert np.abs(half_hours / half_hours.mean() - shape / shape.mean()).max() < 0.15
    # by season too: winter months against summer months as in the profile
    months, wanted = by_month(load_kw), by_month(house.profile_kw())
    assert months / months.sum() == pytest.approx(wanted / wanted.sum(), abs=0.02)


def test_events_have_their_ratings():
    # one event model must show spikes: half of the minutes are below the mean by far, the peak is several appliances
    load_kw = home(1)
    assert np.median(load_kw) < 0.7 * load_kw.mean()
    assert load_kw.max() > 3.0
    alone = {row["name"]: float(row["power_w"]) for row in rows("gb/house_events") if row["kind"] == "event"}
    # 3 kW is the most that a 13 A plug gives at 230 V (Sustainable Energy, chapter 7); showers are wired in
    assert max(watts for name, watts in alone.items() if name != "electric shower") <= 3000


def test_the_load_factor_of_minutes_is_near_a_tenth():
    # 8 UK houses by the minute: mean over peak about 0.1 (abstract of a 2007 study, in the research notes)
    factors = [load_kw.mean() / load_kw.max() for load_kw in map(home, range(6))]
    assert np.mean(factors) == pytest.approx(0.1, abs=0.06)


def test_an_electric_shower_is_used_only_where_there_is_one():
    # about seven minutes a day at 8.5 kW: some two thousand minutes a year
    with_it = home(1, purposes=frozenset({"instantaneous_water_heating"}))
    assert (with_it > 8.0).sum() > 1500 > 10 * (home(1) > 8.0).sum()


def readings_of(kwh, gap=()):
    starts = [START + datetime.timedelta(minutes=30 * number) for number in range(365 * 48)]
    held = {start: kwh(start) for number, start in enumerate(starts) if number not in gap}
    gaps = (Gap(starts[gap[0]], len(gap)),) if gap else ()
    return Readings(held, True, gaps)


def some_kwh(start):
    return 0.05 + 0.01 * ((start.toordinal() * 48 + start.hour * 2 + start.minute // 30) % 97)


def test_every_half_hour_keeps_its_energy():
    year = metered(readings_of(some_kwh))
    load_kw = by_minute(year.half_hour_kwh, np.random.default_rng([1]))
    assert load_kw.reshape(-1, 30).sum(axis=1) / 60 == pytest.approx(year.half_hour_kwh, abs=1e-12)
    assert load_kw.min() >= 0
    # and inside it is not flat: an appliance in one block
    spread_kw = load_kw.reshape(-1, 30).max(axis=1) - load_kw.reshape(-1, 30).min(axis=1)
    assert np.mean(spread_kw > 0.09) > 0.5


def test_a_day_comes_from_the_same_day_of_the_week_near_it():
    year = metered(readings_of(lambda start: 1.0 + start.weekday()))
    days = year.half_hour_kwh.reshape(365, 48)
    known = days[:, 0] == 1.0 + (np.arange(365) + 2) % 7
    assert known.all()
    assert year.filled_count == 0


def test_gaps_are_counted_and_never_zero():
    gap = tuple(range(48 * 100, 48 * 130))
    year = metered(readings_of(some_kwh, gap))
    # thirty days are missing; the days at their ends have a neighbour a week off
    assert 48 * 10 <= year.filled_count <= 48 * 30
    assert year.gaps[0].missing_count == 48 * 30
    assert year.half_hour_kwh.min() > 0


@pytest.mark.parametrize("year", [2022, 2023, 2024])
def test_supper_stands_at_supper_on_every_day_whatever_year_was_read(year):
    # 1 kWh from 18:00 to 18:30 by the clock on the wall, every day; the clocks of that year change on other dates
    first = datetime.datetime(year, 1, 1)
    starts = [first + half * datetime.timedelta(minutes=30) for half in range(365 * 48)]
    kwh = {start: 1.0 if (to_clock(start).hour, start.minute) == (18, 0) else 0.1 for start in starts}
    found = metered(Readings(kwh, zoned=True, gaps=())).half_hour_kwh

    supper = wall().minute[15::30] // 30 == 36
    assert found[supper] == pytest.approx(1.0)
    assert found[~supper] == pytest.approx(0.1)
