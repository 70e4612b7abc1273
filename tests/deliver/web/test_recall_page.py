"""The page that looks through past jobs, and judges them again."""

import re

import pytest
from signing import Browser

BAND = {"field": "length of this stretch", "sign": "=", "value": "10 to 30"}


def groups(text):
    """The jobs under each heading of the answer."""
    parts = re.split(r"<section class=\"group\"><h3>", text)[1:]
    return {part.split(":")[0]: len(re.findall(r'<a class="button" href="/jobs/\w{16}">', part.split("</section>")[0]))
            for part in parts}  # fmt: skip


def test_before_anything_is_asked_there_are_questions_and_no_jobs(client, terrace):
    text = client.get("/recall").text
    assert text.count('name="field"') == 2
    assert groups(text) == {}
    assert "Judge again" not in text
    assert '<a class="button" href="/recall">' in client.get("/").text


def test_what_holds_and_what_is_left_open_stand_apart(client, terrace):
    text = client.get("/recall", params=BAND).text
    found = groups(text)
    assert found["Holds"] > 0
    assert found["Left open"] > 0
    assert 'value="10 to 30"' in text
    assert text.count('name="field"') == 2
    unseen = client.get("/recall", params={"field": "tests.r1r2_ohm", "sign": ">=", "value": "0"}).text
    assert groups(unseen)["Cannot be told"] > 0
    assert "not looked at" in unseen


def test_a_field_alone_words_and_an_edition(client, terrace, store):
    alone = client.get("/recall", params={"field": "supply.ze_ohm", "sign": "", "value": ""}).text
    assert set(groups(alone)) <= {"Holds", "Left open"}
    assert groups(client.get("/recall", params={"says": "Terrace"}).text) == {"Holds": 1}
    assert groups(client.get("/recall", params={"under": "no such edition"}).text) == {}
    every = client.get("/recall", params={"says": "", "under": ""}).text
    assert sum(groups(every).values()) == len(store.names())


@pytest.fixture
def store(app):
    return app.state.site.store


@pytest.mark.parametrize(("asked", "says"), [
    ({"field": "nosuch", "sign": "=", "value": "1"}, "no field &#39;nosuch&#39;"),
    ({"field": "ze_ohm", "sign": ">=", "value": "ten"}, "is not a number"),
    ({"field": "", "sign": "=", "value": "5"}, "wants a field"),
    ({"field": "<script>alert(1)</script>", "sign": "=", "value": "<b>"}, "&lt;script&gt;"),
])  # fmt: skip
def test_what_cannot_be_asked_is_told_and_stays_typed(client, terrace, asked, says):
    answer = client.get("/recall", params=asked)
    assert answer.status_code == 422
    assert says in answer.text
    assert "<script>alert" not in answer.text
    assert groups(answer.text) == {}


def test_too_much_that_is_typed_is_cut_off(client, terrace):
    many = [("field", "x" * 900), ("sign", "="), ("value", "1")] * 40
    answer = client.get("/recall", params=many)
    assert answer.status_code == 422
    assert "x" * 201 not in answer.text
    assert answer.text.count('name="field"') == 12


def again(client, **typed):
    return client.post("/recall/again", data={"asked": "says=&under=", **typed}, follow_redirects=False)


def test_jobs_are_judged_again_by_another_day_and_none_is_changed(client, terrace, store):
    before = store.heads()
    done = again(client, day="2025-01-01")
    assert done.status_code == 303
    text = client.get(done.headers["location"]).text
    assert "Judged again by the rules of 1 January 2025" in text
    assert re.search(rf"[1-9]\d* of {len(store.names())} jobs would differ", text)
    assert "without a planning application" in text
    assert store.heads() == before
    store.change(store.names()[0], {"title": "moved on"}, base=before[store.names()[0]], operation="later-one", who="A",
                 origin="h")  # fmt: skip
    assert "would differ" not in client.get(done.headers["location"]).text


@pytest.mark.parametrize(("typed", "says"), [({}, "Choose an edition, or a day"), ({"day": "soon"}, "is no day"),
                                             ({"edition": "BS 7671:1066"}, "knows no edition")])  # fmt: skip
def test_by_what_nothing_can_be_judged(client, terrace, typed, says):
    answer = again(client, **typed)
    assert answer.status_code == 422
    assert says in answer.text


def test_another_firm_sees_none_of_it(firms):
    theirs = Browser(firms, "other-owner")
    text = theirs.get("/recall", params={"says": "Terrace"}).text
    assert groups(text) == {}
    assert "0 of 0 jobs" in text
