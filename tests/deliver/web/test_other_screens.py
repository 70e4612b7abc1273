"""What is due, the sunshine forecast, the sketch; and that every screen is reached from the job and from the line."""

import datetime
from html import unescape

import pytest
from demo_jobs import with_demo

from ampwright.assess.forecast.bands import yearly
from ampwright.assess.forecast.forecast import forecast
from ampwright.assess.forecast.skies import source_of
from ampwright.assess.programme import programme
from ampwright.assess.route.routes import routes_for
from ampwright.deliver.demo import write_demo
from ampwright.deliver.due import due_words
from ampwright.deliver.forecast_screen import short_words
from ampwright.deliver.web.parts import parts
from ampwright.deliver.web.screens.listing import screens
from ampwright.job.british_clock import to_clock


def today():
    return to_clock(datetime.datetime.now(datetime.UTC).replace(tzinfo=None)).date()


def test_every_screen_is_reached_from_the_job_and_from_a_part_of_the_line(client, house):
    job = client.get(house).text
    for screen in screens():
        assert f'href="{house}/{screen.id}"' in job
        assert client.get(f"{house}/{screen.id}").status_code == 200
        assert screen.parts
        for part in screen.parts:
            assert part in parts()
            assert f'href="{house}/{screen.id}"' in client.get(f"{house}/part/{part}").text


@pytest.mark.parametrize("screen", [each.id for each in screens()])
def test_no_screen_of_a_job_that_is_not_there(client, screen):
    assert client.get(f"/jobs/none/{screen}").status_code == 404


def test_what_is_due_today(client, house, record):
    page = unescape(client.get(f"{house}/due").text)
    found = programme(record(house), today())
    assert found
    for each in found:
        assert due_words(each, today())[1:] in page


def test_the_last_days_as_a_calendar(client, house, app, record):
    name = house.rsplit("/", 1)[-1]
    store = app.state.site.store
    store.change(name, {"dates.installed": today().isoformat()}, operation="o" * 32, base=store.read(name)[1],
                 who="Ann", origin="a test")  # fmt: skip
    held = client.get(f"{house}/due.ics")
    assert held.headers["content-type"].startswith("text/calendar")
    assert b"BEGIN:VEVENT" in held.content


@pytest.fixture(scope="module")
def made_page(tmp_path_factory):
    """The forecast of five years, made once, with the client that made it."""
    import re

    from starlette.testclient import TestClient

    from ampwright.deliver.web.app import create_app

    app = create_app(with_demo(tmp_path_factory.mktemp("store") / "jobs.db"), "Ann")
    client = TestClient(app, base_url="http://localhost:8722")
    address = re.findall(r"/jobs/\w{16}", client.get("/").text)[0]
    page = unescape(client.post(f"{address}/sunshine", data={"years": "5", "goal": ""}).text)
    return client, address, page, app.state.site.store.read(address.rsplit("/", 1)[-1])[0]


def test_the_forecast_is_that_of_the_job_file_with_the_files_beside_it(made_page, tmp_path):
    _, _, page, job = made_page
    write_demo(tmp_path)
    made = forecast(job, tmp_path, source_of(job, 1, tmp_path), seed=1, years_count=5, workers_count=1)
    for way in made.years[0].outcomes:
        assert short_words(yearly(made.years, way)["own_share_percent"]) in page
    assert "Worked out from your own files:" in page
    assert "house_with_garage_meter.csv: half-hourly readings from 2025-11-01 00:00" in page


def test_a_day_by_the_minute_adds_up_to_its_table(made_page):
    client, address, page, _ = made_page
    drawn = client.get(f"{address}/sunshine/day.json?years=5&day=2025-06-21").json()
    assert len(drawn["x"]) == 1440
    own, car, roof, _ = (each["values"] for each in drawn["series"])
    assert all(a <= b + 0.011 for a, b in zip(own, car, strict=True))
    assert f"the roof gives {sum(roof) / 60:.1f} kWh" in page


@pytest.mark.parametrize(("day", "minutes"), [("2025-03-30", 1380), ("2025-10-26", 1500), ("2025-01-01", 1440),
                                              ("2025-12-31", 1440)])  # fmt: skip
def test_days_on_which_the_clock_changes_are_shorter_and_longer(made_page, day, minutes):
    client, address, _, _ = made_page
    assert len(client.get(f"{address}/sunshine/day.json?years=5&day={day}").json()["x"]) == minutes


def test_months_are_the_bands_of_the_best_way(made_page):
    client, address, page, _ = made_page
    drawn = client.get(f"{address}/sunshine/months.json?years=5").json()
    high, low, middle = (each["values"] for each in drawn["series"])
    assert len(middle) == 12
    assert all(a <= b <= c for a, b, c in zip(low, middle, high, strict=True))
    assert f"with {max(middle):.0f} % in the middle year" in page


@pytest.mark.parametrize("day", ["2024-06-21", "yesterday", "2025-02-29"])
def test_a_day_that_the_year_has_not_is_said(made_page, day):
    client, address, _, _ = made_page
    assert "2025 has no day" in client.get(f"{address}/sunshine?years=5&day={day}").text
    assert client.get(f"{address}/sunshine/day.json?years=5&day={day}").status_code == 404


@pytest.mark.parametrize(("typed", "says"), [({"goal": "most"}, "Most is not a share"), ({"goal": "140"}, "140 is not"),
                                             ({"years": "1000"}, "Choose 20, 5 or 100 years")])  # fmt: skip
def test_a_wrong_wish_is_said_and_stays(client, house, typed, says):
    answer = client.post(f"{house}/sunshine", data={"years": "5", "goal": ""} | typed)
    assert answer.status_code == 422
    assert says in unescape(answer.text)
    assert f'value="{typed.get("goal", "")}"' in answer.text


def test_no_forecast_without_car_and_roof(client, terrace):
    page = client.get(f"{terrace}/sunshine").text
    assert "There is no forecast yet" in page
    assert "enter the car" in page


def test_the_ways_are_those_of_the_sketch(client, house, record):
    page = unescape(client.get(f"{house}/way").text)
    found = routes_for(record(house), None)
    assert len(found.found) > 1
    for each in found.found:
        assert f"{each.way.length_mm / 1000:.1f} m, " in page
        for section in each.job.route:
            assert section.name[1:] in page
    assert "<svg" in client.get(f"{house}/way/1.svg").text[:200]
    assert client.get(f"{house}/way/{len(found.found) + 1}.svg").status_code == 404


def test_a_way_that_is_taken_is_in_the_record(client, house, record, hidden):
    before, found = record(house), routes_for(record(house), None)
    told = hidden(client.get(f"{house}/way").text)
    data = {"base": told["base"], "operation": "w" * 32, "number": "2"}
    assert "What it changed" in client.post(f"{house}/way", data=data).text
    assert record(house).route == found.found[1].job.route
    assert record(house).supply == before.supply
    assert client.post(f"{house}/way", data={"base": told["base"], "number": "9"}).status_code == 409


def test_without_a_sketch_it_says_what_is_wanted(client, terrace):
    page = client.get(f"{terrace}/way").text
    assert "faults" in page or "Left open" in page
    assert client.get(f"{terrace}/way/1.svg").status_code == 404
