"""The whole forecast: the same bytes for a seed, bands, what is kept when broken off, bars, goal, and the pages."""

import csv
import io
import json

import numpy as np
import pytest
from homes import stand_in_sun
from jobs import house

from ampwright.assess.forecast import account, bands, levers, years
from ampwright.assess.forecast.forecast import CannotForecast, Source, forecast
from ampwright.assess.forecast.plan import supposed_trips
from ampwright.deliver.forecast_machine import as_csv, as_json
from ampwright.deliver.forecast_screen import forecast_text
from ampwright.job.driving import Trip
from ampwright.job.record import Vehicle
from ampwright.reading import assumed, measured

SUN = Source(stand_in_sun, "a stand-in, not weather", "0" * 64)
HOME_BY_DAY = {"vehicles[0].trips": supposed_trips()[2].trips, "vehicles[0].plugs_in_on": ("Monday", "Friday")}

MONDAYS = Trip(days="Monday", leaves_h=measured(8), back_h=measured(18), driven_miles_count=measured(20))


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    return forecast(house(HOME_BY_DAY), tmp_path_factory.mktemp("job"), SUN, seed=4, years_count=3, goal_percent=35.0)


def test_the_same_seed_gives_the_same_bytes_and_another_does_not(made, tmp_path):
    again = forecast(house(HOME_BY_DAY), tmp_path, SUN, seed=4, years_count=3, goal_percent=35.0)
    assert json.dumps(as_json(again)) == json.dumps(as_json(made))
    assert forecast_text(again) == forecast_text(made)
    other = forecast(house(HOME_BY_DAY), tmp_path, SUN, seed=5, years_count=1)
    assert as_csv(other) != as_csv(made)
    assert other.sha256 != made.sha256


def test_many_workers_give_what_one_gives():
    setting = years.Setting(house(), 2, stand_in_sun)
    alone = list(years.all_years(setting, 3, workers_count=1))
    together = list(years.all_years(setting, 3, workers_count=2))
    for one, other in zip(alone, together, strict=True):
        for way in account.CODES:
            assert one.outcomes[way].monthly.tobytes() == other.outcomes[way].monthly.tobytes()
        assert one.ceiling_ratio == other.ceiling_ratio


def test_a_run_broken_off_keeps_what_is_done():
    def broken():
        yield from years.all_years(years.Setting(house(), 2, stand_in_sun), 2, workers_count=1)
        raise KeyboardInterrupt

    heard: list[int] = []
    done, complete = years.kept(broken(), heard.append)
    assert [year.number for year in done] == [0, 1]
    assert heard == [1, 2]
    assert not complete


def test_bands_are_percentiles_by_hand():
    # 1 to 11: the tenth part of the way is 2, the middle 6, nine tenths 10
    found = bands.band([float(value) for value in range(1, 12)])
    assert found is not None
    assert (found.low, found.value, found.high) == (2.0, 6.0, 10.0)
    assert bands.band([float("nan")]) is None


def test_money_by_hand(made):
    year = made.years[0]
    outcome, plan = year.outcomes["night window"], year.plan
    assert outcome.of("day_kwh").sum() == 0.0
    assert bands.cost_gbp(outcome, plan) == pytest.approx(outcome.of("night_kwh").sum() * plan.night_gbp_per_kwh)


def test_the_page_says_its_accounting_its_band_and_its_source(made):
    text = forecast_text(made)
    assert "the house is served first" in text
    assert "P10 / P50 / P90" in text
    for way in (*account.CODES, "perfect foresight"):
        assert way in text
    assert "a stand-in, not weather" in text
    assert "seed 4" in text
    assert text.index("uncontrolled") < text.index("surplus only") < text.index("perfect foresight")
    assert "HOW TO GET TO 35 %" in text
    assert max(map(len, text.splitlines())) <= 120


def test_figures_of_five_digits_stay_apart_in_the_table(tmp_path):
    job = house({"vehicles[0].miles_per_year": assumed(90_000, 99_000, "a courier")})
    lines = forecast_text(forecast(job, tmp_path, SUN, seed=1, years_count=2)).splitlines()
    table = lines[lines.index("BY WAY OF CHARGING (a year)") + 2 :][: len(account.CODES)]
    for line in table:
        cells = line[21:].split()
        assert len(cells) == 5
        assert all(cell.count("/") == 2 for cell in cells)


def test_the_csv_and_the_json_hold_the_same_bands(made):
    table = list(csv.DictReader(io.StringIO(as_csv(made))))
    machine = as_json(made)
    assert len(table) == len(account.CODES) * (len(bands.FIGURES) + 12 * 4) + 1
    for row in table[:-1]:
        way = machine["ways"][row["way"]]
        found = (way["year"] if row["month"] == "year" else way["months"][row["month"]])[row["figure"]]
        assert (found is None) == (row["p50"] == "")
        assert found is None or found == {end: float(row[end]) for end in ("p10", "p50", "p90")}
        assert found is None or found["p10"] <= found["p50"] <= found["p90"]


def test_the_bars_are_ranked_and_the_hours_at_home_matter_most_here(made):
    lengths = [bar.high_percent - bar.low_percent for bar in made.bars]
    assert lengths == sorted(lengths, reverse=True)
    assert {bar.name for bar in made.bars} == {
        "when the car is home", "on which days it is plugged in", "the array", "the least current", "the stop delay",
        "the house load", "the weather of the year", "the charge point's settings"}  # fmt: skip
    by_name = dict(zip([bar.name for bar in made.bars], lengths, strict=True))
    assert by_name["when the car is home"] > by_name["the stop delay"]


def test_the_goal_is_searched_from_the_least_change(made):
    assert made.answers
    assert all(answer.words and answer.way in account.WAYS for answer in made.answers)
    for fewer in made.answers:
        assert not any(set(fewer.words) < set(more.words) for more in made.answers)
    setting = years.Setting(house(HOME_BY_DAY), 4, stand_in_sun)
    nothing, complete = levers.goal(setting, 1, 0.0, lambda done, count: None)
    assert complete
    assert nothing[0].words == ("nothing beyond the way of charging",)
    assert nothing[0].reached
    (best,), _ = levers.goal(setting, 1, 100.0, lambda done, count: None)
    assert not best.reached
    assert best.share_percent.value > nothing[0].share_percent.value


def test_what_is_offered_for_a_goal_reaches_it_and_nothing_larger_of_the_kind_is_offered_beside_it():
    # six years, for the six cases supposed where nobody asked: the search must look at all of them
    answers, _ = levers.goal(years.Setting(house(), 4, stand_in_sun), 6, 30.0, lambda done, count: None)
    assert len(answers) > 1
    assert all(answer.reached and answer.share_percent.value >= 30.0 for answer in answers)
    alone = [answer.words[0].split(" of ")[0] for answer in answers if len(answer.words) == 1]
    assert len(alone) == len(set(alone))


def breaks_off_at(place):
    """One who hears how far it is, and presses Ctrl-C there."""

    def told(done, count):
        if done == place:
            raise KeyboardInterrupt

    return told


def test_ctrl_c_in_the_search_keeps_what_it_found():
    setting = years.Setting(house(HOME_BY_DAY), 4, stand_in_sun)
    (best,), complete = levers.goal(setting, 1, 100.0, breaks_off_at(2))
    assert not complete
    assert not best.reached
    found, complete = levers.goal(setting, 1, 0.0, breaks_off_at(0))
    assert (found, complete) == ((), False)


def test_ctrl_c_in_the_bars_keeps_the_years_done():
    setting = years.Setting(house(HOME_BY_DAY), 4, stand_in_sun)
    done = [years.one_year(setting, number, with_ceiling=False) for number in range(3)]
    found, complete = levers.bars(setting, done, "surplus only", breaks_off_at(1))
    assert not complete
    assert "the array" in {bar.name for bar in found}
    assert levers.bars(setting, done, "surplus only", breaks_off_at(0)) == ((), False)


def test_a_run_broken_off_after_its_years_says_so(tmp_path):
    def told(words, done, count):
        if (words, done) == ("the goal", 1):
            raise KeyboardInterrupt

    made = forecast(house(HOME_BY_DAY), tmp_path, SUN, seed=4, years_count=1, goal_percent=100.0, told=told,
                    with_bars=False)  # fmt: skip
    text = forecast_text(made)
    assert not as_json(made)["complete"]
    assert "BROKEN OFF: every year is done; the search for the share wanted did not come to its end." in text
    assert "what it had found by then" in text


def test_the_search_reckons_the_share_that_the_forecast_reckons():
    # with a store, whose account the search keeps short
    job = house({**HOME_BY_DAY, "storage.fitted": True, "storage.capacity_kwh": measured(6), "storage.feeds_car": True})
    setting = years.Setting(job, 4, stand_in_sun)
    ((answer,), _), year = levers.goal(setting, 1, 0.0, lambda done, count: None), years.one_year(setting, 0)
    assert answer.share_percent.value == bands.share_percent(year.outcomes[answer.way])


def test_a_larger_array_is_larger_throughout():
    job = house({"generation.inverter_a": measured(16)})
    twice = levers.scaled(job, 2.0)
    assert twice.generation.inverter_a == measured(32)
    assert np.allclose(stand_in_sun(twice, 1, 1), 2 * stand_in_sun(job, 1, 1))


def test_the_head_says_whose_figures_they_are_and_what_they_leave_out(tmp_path):
    job = house({"vehicles": (Vehicle(name="the van"), Vehicle(name="the runabout"))})
    head = " ".join(forecast_text(forecast(job, tmp_path, SUN, seed=1, years_count=1)).split("BY WAY")[0].split())
    assert "The car reckoned with is the van. The job has 1 more (the runabout), which is not reckoned with" in head
    assert "the years take turns among several drivers" in head
    asked = forecast_text(forecast(house(HOME_BY_DAY), tmp_path, SUN, seed=1, years_count=1))
    assert "take turns" not in asked
    assert "miles unmet are charged elsewhere" in asked


def test_the_head_says_where_another_way_costs_less(tmp_path):
    # at £0.05 by night and £0.40 by day nothing beats the cheap hours: no mile of them is unmet
    job = house({**HOME_BY_DAY, "tariff.day_gbp_per_kwh": measured(0.40), "tariff.night_gbp_per_kwh": measured(0.05),
                 "tariff.export_gbp_per_kwh": measured(0.15)})  # fmt: skip
    made = forecast(job, tmp_path, SUN, seed=1, years_count=1, with_bars=False)
    year = made.years[0]
    cost = {way: bands.whole_cost_gbp(year.outcomes[way], year.plan) for way in account.CODES
            if bands.unmet_miles(year.outcomes[way]) < 1}  # fmt: skip
    assert min(cost, key=lambda way: cost[way]) == "night window" != made.bars_way
    text = " ".join(forecast_text(made).split())
    assert f"night window costs least, £{cost['night window']:,.0f}/" in text


def test_what_was_supposed_is_said(tmp_path):
    made = forecast(house({"vehicles": (Vehicle(name="a"), Vehicle(name="b"))}), tmp_path, SUN, seed=1, years_count=1)
    said = "\n".join(made.supposed)
    for words in ("7100 miles a year taken, nobody asked", "60 kWh taken", "when the car is away", "charges one car"):
        assert words in said


@pytest.mark.parametrize(("changes", "words"), [
    ({"storage.fitted": True}, "the battery's capacity is not known: no battery"),
    ({"tariff.night_gbp_per_kwh": None}, "cheap hours of the tariff: nobody asked; 00:00 to 07:00 taken"),
    ({"tariff.night_gbp_per_kwh": None}, "the price by day is reckoned with at night too"),
    ({"charge_point.following.default_hours": None}, "nobody asked; put aside by the owner, so that"),
    ({"charge_point.following.stop_delay_min": None}, "5 min taken, nobody asked"),
    ({"supply.phases": 3}, "the surplus is that of the three lines together"),
    ({"generation.export_limit_kw": None}, "nobody asked; no limit is reckoned with"),
    ({"vehicles[0].trips": (MONDAYS,), "vehicles[0].miles_per_year": measured(9000)}, "add up to 1,040 miles a year"),
])  # fmt: skip
def test_what_was_taken_for_granted_is_said(changes, words, tmp_path):
    assert words in "\n".join(forecast(house(changes), tmp_path, SUN, seed=1, years_count=1).supposed)


def test_what_is_not_used_is_not_said_to_be_supposed(tmp_path):
    job = house({"vehicles[0].trips": (MONDAYS,), "vehicles[0].miles_per_year": None})
    assert not any("7100" in each for each in forecast(job, tmp_path, SUN, seed=1, years_count=1).supposed)


def test_readings_whose_clock_cannot_be_told_are_said_to_be_taken_as_utc(tmp_path):
    # a week of June: no change of the clock in it, no zone; and the same with a zone
    starts = [f"2025-06-{2 + half // 48:02d}T{half % 48 // 2:02d}:{half % 2 * 30:02d}" for half in range(7 * 48)]
    said = []
    for zone in ("", "Z"):
        (tmp_path / "meter.csv").write_text("start,kwh\n" + "".join(f"{start}{zone},0.2\n" for start in starts))
        job = house({"installation.half_hourly.csv": "meter.csv", "installation.annual_kwh": None})
        said.append("\n".join(forecast(job, tmp_path, SUN, seed=1, years_count=1).supposed))
    assert "an hour late" in said[0]
    assert "an hour late" not in said[1]
    assert not any("2700" in each for each in said)


@pytest.mark.parametrize("nothing", ["battery_kwh", "miles_per_year"])
def test_a_car_that_is_nothing_is_refused(nothing, tmp_path):
    with pytest.raises(CannotForecast, match=f"{nothing} is 0"):
        forecast(house({f"vehicles[0].{nothing}": measured(0)}), tmp_path, SUN, seed=1, years_count=1)


@pytest.mark.parametrize("missing", [{"vehicles": ()}, {"generation.fitted": False}, {"generation.arrays": ()}])
def test_what_cannot_be_supposed_is_asked_for(missing, tmp_path):
    with pytest.raises(CannotForecast, match=r"enter the (car|panels)"):
        forecast(house(missing), tmp_path, SUN, seed=1, years_count=1)
