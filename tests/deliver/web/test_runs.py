"""Long runs: one for one question, told while it works, broken off where somebody says so."""

import json
import threading

import pytest
from starlette.testclient import TestClient

from ampwright.deliver.web.runs import BrokenOff, Runs


@pytest.fixture
def runs():
    found = Runs()
    yield found
    found.close()


def waits_for(event):
    def work(told):
        told("half", 1, 2)
        event.wait(10)
        told("whole", 2, 2)
        return 42

    return work


def test_the_same_question_is_one_run_and_its_answer_is_kept(runs):
    event = threading.Event()
    one = runs.begin("q", waits_for(event))
    assert runs.begin("q", waits_for(event)) is one
    assert runs.found("q") is None
    event.set()
    assert one.answer() == 42
    assert runs.found("q") is one
    assert (one.words, one.done_count, one.count, one.state) == ("whole", 2, 2, "done")


def test_a_run_that_is_broken_off_ends_and_may_be_begun_again(runs):
    event = threading.Event()
    one = runs.begin("q", waits_for(event))
    runs.break_off(one.id)
    event.set()
    with pytest.raises(BrokenOff):
        one.answer()
    assert one.state == "broken off"
    again = runs.begin("q", waits_for(event))
    assert again is not one
    assert again.answer() == 42


def test_a_run_that_waits_for_another_can_be_broken_off_before_it_begins(runs):
    event = threading.Event()
    first = runs.begin("first", waits_for(event))
    second = runs.begin("second", waits_for(event))
    runs.break_off(second.id)
    assert second.state == "broken off"
    with pytest.raises(BrokenOff):
        second.answer()
    event.set()
    assert first.answer() == 42


def test_a_run_that_fails_fails_where_it_is_asked(runs):
    run = runs.begin("q", lambda told: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        run.answer()


def test_what_is_told_goes_out_as_events(client, app):
    event = threading.Event()
    event.set()
    run = app.state.site.runs.begin("q", waits_for(event))
    run.answer()
    text = client.get(f"/runs/{run.id}/events").text
    assert text == 'event: end\ndata: {"state": "done"}\n\n'


def test_a_run_that_works_tells_how_far_it_is(client, app):
    event = threading.Event()
    run = app.state.site.runs.begin("q", waits_for(event))
    threading.Timer(0.5, event.set).start()
    told = client.get(f"/runs/{run.id}/events").text.split("\n\n")
    assert told[0].startswith("event: far")
    assert json.loads(told[0].split("data: ")[1]) == {"words": "half", "done": 1, "count": 2}
    assert told[-2].startswith("event: end")


def test_a_run_that_is_not_there(client):
    assert client.get("/runs/none/events").status_code == 404
    assert client.post("/runs/none/break-off", data={}).status_code == 204


def test_a_page_that_listens_gets_an_address_and_one_that_does_not_the_answer(client, house):
    begun = client.post(f"{house}/load-cap/worst-day", data={}, headers={"accept": "application/json"})
    assert begun.status_code == 202
    assert begun.json()["after"] == f"{house}/load-cap#worst"
    plain = client.post(f"{house}/load-cap/worst-day", data={})
    assert plain.status_code == 200
    assert "The worst day, minute by minute" in plain.text


def test_the_server_ends_and_every_run_with_it(app):
    event = threading.Event()
    with TestClient(app, base_url="http://localhost:8722"):
        run = app.state.site.runs.begin("q", waits_for(event))
    event.set()
    with pytest.raises(BrokenOff):
        run.answer()
