"""Past jobs by the API: looked through, judged again as a long run, and nothing of another firm in either."""

import time
from threading import Event

import pytest
from jobs_sent import API, operation, refused
from pydantic import TypeAdapter
from signing import Program

from ampwright.deliver.recall import recall_json
from ampwright.deliver.recalling import Asking, recalled
from ampwright.deliver.web.api import shapes_of_past as shapes

EDITION = "BS 7671:2018+A4:2026"
RECORDS = {
    "yes": {"reference": "Y", "supply": {"earthing": "TT", "ze_ohm": 0.3}},
    "may": {"reference": "M", "supply": {"ze_ohm": {"low": 0.2, "high": 0.5, "because": "two readings"}}},
    "not looked": {"reference": "N", "supply": {"phases": 1}},
    "no": {"reference": "X", "supply": {"ze_ohm": 0.1}},
}


@pytest.fixture
def kept(client):
    """The id of each of four small jobs by what it holds of Ze >= 0.25."""
    return {name: client.post(f"{API}/jobs", json={"operation": operation(), "record": {"version": 2, **record}})
            .json()["job"] for name, record in RECORDS.items()}  # fmt: skip


def ended(client, address):
    """The run once it no longer runs."""
    while (told := client.get(address).json())["state"] == "runs":
        time.sleep(0.05)
    return told


def test_what_holds_what_is_left_open_and_what_nobody_looked_at_are_told_apart(client, kept):
    answer = client.post(f"{API}/recall", json={"conditions": ["supply.ze_ohm >= 0.25"]})
    assert answer.status_code == 200
    told = TypeAdapter(shapes.Recalled).validate_python(answer.json(), strict=True)
    assert {each["holds"]: each["job"] for each in told["jobs"]} == {
        name: job for name, job in kept.items() if name != "no"}  # fmt: skip
    assert told["jobs_count"] == 4
    assert [hit["value"] for each in told["jobs"] if each["holds"] == "may" for hit in each["hits"]] == [[0.2, 0.5]]


def test_it_is_the_very_document_of_the_command(client, kept, app):
    store = app.state.site.store
    jobs = [(name, lambda name=name: store.read(name)[0]) for name in store.names()]
    asking = Asking(("supply.earthing = TT", "ze_ohm < 1"), ("TT",))
    sent = {"conditions": list(asking.conditions), "says": list(asking.words)}
    assert client.post(f"{API}/recall", json=sent).json() == recall_json(recalled(jobs, asking))
    assert [each["job"] for each in client.post(f"{API}/recall", json=sent).json()["jobs"]] == [kept["yes"]]
    assert len(client.post(f"{API}/recall", json={}).json()["jobs"]) == 4


@pytest.mark.parametrize(("body", "says"), [
    ({"conditions": ["nosuch = 1", "ze_ohm >= ten"]}, ("no field 'nosuch'", "'ten' is not a number")),
    ({"conditions": ["x"] * 21}, ("too many",)), ({"conditions": [""]}, ("conditions[0]",)),
    ({"conditions": "ze_ohm >= 1"}, ("conditions",)), ({"says": ["x" * 201]}, ("says[0]",)),
    ({"under": "x"}, ("under",)),
    ({"edition": EDITION}, ("edition",)), ({"tables": "/etc"}, ("tables",)),
])  # fmt: skip
def test_what_cannot_be_asked_is_told_all_at_once(client, kept, body, says):
    told = refused(client.post(f"{API}/recall", json=body), 422)
    assert all(each in told for each in says), told


@pytest.mark.parametrize(("body", "says"), [
    ({}, "by which edition or day"), ({"edition": "BS 7671:1066"}, "knows no edition"), ({"day": "2026-02-30"}, "day"),
    ({"day": "1234567"}, "day"), ({"day": "2026-06-03", "tables": "/etc/passwd"}, "tables"),
])  # fmt: skip
def test_what_cannot_be_judged_again_begins_no_run(client, kept, body, says):
    assert says in refused(client.post(f"{API}/recall/again", json=body), 422)


def test_jobs_are_judged_again_as_a_run_and_the_same_question_is_the_same_run(client, kept):
    body = {"conditions": ["supply.earthing = TT"], "edition": EDITION}
    begun = client.post(f"{API}/recall/again", json=body)
    assert begun.status_code == 202
    told = ended(client, begun.headers["location"])
    TypeAdapter(shapes.RunTold).validate_python(told, strict=True)
    assert told["state"] == "done"
    assert [each["job"] for each in told["answer"]["jobs"] if each["holds"] == "yes"] == [kept["yes"]]
    assert told["answer"]["again"]["rules"] == EDITION
    assert client.post(f"{API}/recall/again", json=body).json()["run"] == told["run"]
    client.post(f"{API}/jobs/{kept['yes']}/changes", json={
        "operation": operation(), "base": client.get(f"{API}/jobs/{kept['yes']}").json()["head"],
        "changes": {"title": "moved on"}})  # fmt: skip
    assert client.post(f"{API}/recall/again", json=body).json()["run"] != told["run"]


def test_a_run_is_broken_off(client, kept, app):
    ends = Event()
    app.state.site.runs.begin("another", lambda told: ends.wait())  # so that ours waits its turn
    begun = client.post(f"{API}/recall/again", json={"day": "2025-01-01"}).json()
    assert client.post(f"{API}/runs/{begun['run']}/break-off").status_code == 200
    told = ended(client, f"{API}/runs/{begun['run']}")
    assert (told["state"], told["answer"]) == ("broken off", None)
    again = client.post(f"{API}/recall/again", json={"day": "2025-01-01"}).json()
    assert again["run"] != begun["run"]
    ends.set()
    assert ended(client, f"{API}/runs/{again['run']}")["state"] == "done"


def test_a_run_of_a_page_is_none_of_the_api(client, app):
    run = app.state.site.runs.begin("a page's own", lambda told: "its answer")
    run.answer()
    refused(client.get(f"{API}/runs/{run.id}"), 404)
    refused(client.post(f"{API}/runs/{run.id}/break-off"), 404)


@pytest.mark.parametrize("forged", ["x", "0" * 16, "..%2f..", "%00", "' OR 1=1 --"])
def test_a_run_that_never_was(client, forged):
    refused(client.get(f"{API}/runs/{forged}"), 404)


def test_another_firm_finds_neither_the_jobs_nor_the_run(firms):
    ours, theirs = Program(firms, "reader"), Program(firms, "other-owner")
    assert ours.post(f"{API}/recall", json={}).json()["jobs_count"] == len(firms.state.site.store.names())
    told = theirs.post(f"{API}/recall", json={"conditions": ["supply.earthing"]})
    assert (told.json()["jobs_count"], told.json()["jobs"]) == (0, [])
    assert "Terrace" not in told.text
    begun = ours.post(f"{API}/recall/again", json={"conditions": ["supply.earthing = TT"], "day": "2025-01-01"}).json()
    address = f"{API}/runs/{begun['run']}"
    refused(theirs.get(address), 404)
    refused(theirs.post(f"{address}/break-off"), 404)
    refused(Program(firms).get(address), 401)
    assert ended(ours, address)["state"] == "done"
    other = theirs.post(f"{API}/recall/again", json={"conditions": ["supply.earthing = TT"], "day": "2025-01-01"})
    assert other.json()["run"] != begun["run"]
    assert ended(theirs, other.headers["location"])["answer"]["jobs"] == []
