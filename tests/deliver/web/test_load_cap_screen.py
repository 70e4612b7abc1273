"""The load cap's page: the answers at once, the worst day once it was sought."""

import re
from html import unescape

import pytest

from ampwright.assess.load_cap import report as of
from ampwright.deliver.load_cap import day_words, headline, site_test
from ampwright.working import Verdict


def report(job, **how):
    return of.report(job, **how)


def test_the_answers_stand_before_anything_is_sought(client, house, record):
    page = unescape(client.get(f"{house}/load-cap").text)
    found = report(record(house), attacked=False)
    assert headline(found) in page
    for check in found.checks:
        assert check.asks in page
    assert "Try to break it" in page
    assert "data-chart" not in page


def test_the_worst_day_is_what_the_command_finds(client, house, record):
    page = unescape(client.post(f"{house}/load-cap/worst-day", data={}).text)
    found = report(record(house))
    assert day_words(found.job, found.line, found.day) in page
    drawn = client.get(f"{house}/load-cap/day.json").json()
    assert len(drawn["x"]) == 24 * 60
    assert max(drawn["series"][0]["values"]) == pytest.approx(found.day.total_a.max(), abs=0.05)
    assert min(drawn["series"][1]["values"]) == pytest.approx(found.day.total_a.min(), abs=0.05)


def test_the_table_says_what_the_chart_draws(client, house):
    page = client.post(f"{house}/load-cap/worst-day", data={}).text
    rows = re.findall(r'<tr><th scope="row">(\d\d:00)</th><td>([\d.]+)</td><td>([\d.]+)</td>', page)
    assert [each[0] for each in rows] == [f"{hour:02d}:00" for hour in range(24)]
    drawn = client.get(f"{house}/load-cap/day.json").json()["series"]
    for hour, (_, low, high) in enumerate(rows):
        minutes = slice(60 * hour, 60 * hour + 60)
        assert float(high) == max(drawn[0]["values"][minutes])
        assert float(low) == min(drawn[1]["values"][minutes])


def test_the_worst_minutes_are_house_and_car(client, house, record):
    client.post(f"{house}/load-cap/worst-day", data={})
    day = report(record(house)).day
    drawn = client.get(f"{house}/load-cap/minutes.json").json()
    start = drawn["x"][0]
    assert start <= day.fuse_at_s <= drawn["x"][-1] + 1
    assert drawn["series"][0]["values"][7] == pytest.approx(day.total_a[start + 7], abs=0.11)
    assert [value == 0 for value in drawn["series"][4]["values"]] == list(day.lost[start:start + len(drawn["x"])])


def test_a_day_is_for_the_job_as_it_stands(client, house, app):
    client.post(f"{house}/load-cap/worst-day", data={})
    store = app.state.site.store
    name = house.rsplit("/", 1)[-1]
    store.change(name, {"charge_point.load_cap.watchdog_s": 5}, operation="o" * 32, base=store.read(name)[1], who="Ann",
                 origin="a test")  # fmt: skip
    assert client.get(f"{house}/load-cap/day.json").status_code == 404
    assert "Try to break it" in client.get(f"{house}/load-cap").text


@pytest.mark.parametrize("which", ["day", "minutes", "nothing"])
def test_nothing_is_drawn_before_it_is_sought(client, terrace, which):
    assert client.get(f"{terrace}/load-cap/{which}.json").status_code == 404


def test_what_is_not_known_is_asked_and_nothing_can_be_sought(client, terrace, record):
    page = unescape(client.get(f"{terrace}/load-cap").text)
    found = report(record(terrace), attacked=False)
    assert found.count(Verdict.NOT_YET_KNOWN) or found.line is None
    assert "Try to break it" not in page
    assert client.post(f"{terrace}/load-cap/worst-day", data={}).status_code == 200


def test_no_trial_on_site_while_something_is_not_met(client, house, record):
    found = report(record(house), attacked=False)
    page = unescape(client.get(f"{house}/load-cap").text)
    assert ("Not yet: put right what is not met above" in page) == bool(found.count(Verdict.NOT_MET))
    assert site_test(found.stands_a, found.line.situation) not in page or not found.count(Verdict.NOT_MET)
