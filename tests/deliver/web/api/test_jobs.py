"""Jobs over the API: begin, read, change, conflict, undo, decide, history."""

import pytest
from jobs_sent import API, SMALL, change, operation

from ampwright.job.files import parse, values_of


def test_a_job_reads_back_as_it_was_sent(client, small):
    read = client.get(small).json()
    assert read["record"] == SMALL
    assert client.get(f"{small}?at={read['head']}").json() == read


def test_the_job_file_is_the_record(client, small):
    answer = client.get(f"{small}/file")
    assert answer.headers["content-type"].startswith("application/yaml")
    assert values_of(parse(answer.text)) == client.get(small).json()["record"]
    assert answer.headers["ampwright-head"] == str(client.get(small).json()["head"])


def test_a_job_file_can_be_sent(client):
    text = "version: 2\ntitle: From a file\nsupply:\n  ze_ohm: {low: 0.1, high: 0.3, because: not measured yet}\n"
    answer = client.post(f"{API}/jobs", json={"operation": operation(), "file": text})
    assert answer.status_code == 201
    assert client.get(answer.headers["location"]).json()["record"]["supply"]["ze_ohm"]["high"] == 0.3


def test_faults_of_a_job_file_name_their_lines(client):
    text = "version: 2\nsupply:\n  ze_ohm: a lot\n  cutout: {rating_a: -3}\nnope: 1\n"
    answer = client.post(f"{API}/jobs", json={"operation": operation(), "file": text})
    assert answer.status_code == 422
    assert answer.headers["content-type"] == "application/problem+json"
    assert [(each["line"], each["path"]) for each in answer.json()["faults"]] == [
        (3, "supply.ze_ohm"), (4, "supply.cutout.rating_a"), (5, "nope")]  # fmt: skip
    assert client.get(f"{API}/jobs").json()["jobs"] == []


@pytest.mark.parametrize("job", [{}, {"record": SMALL, "file": "version: 2\n"}, {"record": None}, {"file": None}])
def test_a_job_is_sent_in_one_way(client, job):
    answer = client.post(f"{API}/jobs", json={"operation": operation(), **job})
    assert answer.status_code == 422
    assert client.get(f"{API}/jobs").json()["jobs"] == []


@pytest.mark.parametrize("record", [{}, {"title": "x"}, {"version": 1, "title": "x"}, {"version": 3}, {"version": "2"}])
def test_a_record_says_its_version(client, record):
    answer = client.post(f"{API}/jobs", json={"operation": operation(), "record": record})
    assert (answer.status_code, answer.json()["faults"][0]["path"]) == (422, "version")


def test_a_job_that_could_not_be_read_back_is_not_taken_in(client, small):
    """A stretch without a name: taken in, it would have stood in the way of every list."""
    for body in ({"record": {"version": 2, "route": [{"name": ""}]}}, {"file": "version: 2\nroute:\n  - name: ''\n"}):
        answer = client.post(f"{API}/jobs", json={"operation": operation(), **body})
        assert answer.status_code == 422
        assert answer.json()["faults"][0]["path"] == "route[0].name"
        assert answer.json()["faults"][0]["says"].startswith("this must be given")
    assert client.get("/").status_code == 200
    assert len(client.get(f"{API}/due").json()["jobs"]) == 1


def test_a_job_of_which_nothing_is_known_yet(client):
    begun = client.post(f"{API}/jobs", json={"operation": operation(), "record": {"version": 2, "route": None}})
    address = begun.headers["location"]
    assert begun.json()["head"] == 0
    for asked in (address, f"{address}?at=0"):
        assert client.get(asked).json()["record"] == {"version": 2}
    assert client.get(f"{address}/assessment").status_code == 200
    assert change(client, address, 0, {"title": "x"}).status_code == 200
    assert client.get(address).json()["title"] == "x"


def test_a_change_says_what_it_moved(client, small):
    head = client.get(small).json()["head"]
    answer = change(client, small, head, {"supply.ze_ohm": 0.9, "supply.earthing": "TN-C-S"}).json()
    assert [each["path"] for each in answer["taken"]] == ["supply.ze_ohm", "supply.earthing"]
    assert answer["taken"][0]["old"] == 0.3
    assert answer["held"] == []
    turned = {each["rule"]: (each["was"], each["verdict"]) for each in answer["checks"]["turned"]}
    # 0.9 ohm is above the 0.35 ohm that an operator usually declares for TN-C-S, so that check cannot stay unknown
    assert turned["supply_earth_as_declared"][0] == "not yet known"
    assert turned["supply_earth_as_declared"][1] != "met"
    assert sum(answer["checks"]["tally"].values()) == len(client.get(f"{small}/assessment").json()["checks"])


def test_all_faults_of_a_change_at_once_and_nothing_taken(client, small):
    before = client.get(small).json()
    answer = change(client, small, before["head"], {"supply.ze_ohm": "much", "supply.cutout.rating_a": -1})
    assert answer.status_code == 422
    assert {each["path"] for each in answer.json()["faults"]} == {"supply.ze_ohm", "supply.cutout.rating_a"}
    assert client.get(small).json() == before


def test_the_same_field_in_two_places_is_held_and_another_merges(client, small):
    head = client.get(small).json()["head"]
    change(client, small, head, {"supply.ze_ohm": 0.4})
    second = change(client, small, head, {"supply.ze_ohm": 0.2, "supply.cutout.rating_a": 80})
    assert second.status_code == 200
    assert [each["path"] for each in second.json()["taken"]] == ["supply.cutout.rating_a"]
    [held] = second.json()["held"]
    assert (held["path"], held["old"], held["new"]) == ("supply.ze_ohm", 0.4, 0.2)
    read = client.get(small).json()
    assert read["record"]["supply"] == {"ze_ohm": 0.4, "phases": 1, "cutout": {"rating_a": 80}}
    assert read["conflicts"] == [held]

    decided = client.post(f"{small}/decisions", json={"operation": operation(), "conflict": held["seq"],
                                                      "take": "held"})  # fmt: skip
    assert decided.status_code == 200
    assert client.get(small).json()["record"]["supply"]["ze_ohm"] == 0.2
    assert client.get(small).json()["conflicts"] == []
    again = client.post(f"{small}/decisions", json={"operation": operation(), "conflict": held["seq"],
                                                    "take": "standing"})  # fmt: skip
    assert again.status_code == 409
    assert again.json()["type"] == f"{API}/problems#not-to-be-undone"


def test_a_repeat_is_harmless_and_another_content_is_refused(client, small):
    head, name = client.get(small).json()["head"], operation()
    first = change(client, small, head, {"supply.cutout.rating_a": 80}, name)
    assert change(client, small, head, {"supply.cutout.rating_a": 80}, name).json() == first.json()
    other = change(client, small, head, {"supply.cutout.rating_a": 100}, name)
    assert other.status_code == 409
    assert other.json()["type"] == f"{API}/problems#sent-before"
    assert client.get(small).json()["record"]["supply"]["cutout"]["rating_a"] == 80
    assert len(client.get(f"{small}/history").json()["operations"]) == 2


def test_undo_is_in_the_history(client, small):
    head, name = client.get(small).json()["head"], operation()
    change(client, small, head, {"supply.cutout.rating_a": 80}, name)
    undone = client.post(f"{small}/undo", json={"operation": operation(), "of": name})
    assert undone.json()["taken"][0]["new"] is None
    told = client.get(f"{small}/history").json()["operations"]
    assert [each["undoes"] for each in told] == [name, None, None]
    assert {each["who"] for each in told} == {"Ann"}
    again = client.post(f"{small}/undo", json={"operation": operation(), "of": name})
    assert (again.status_code, again.json()["faults"][0]["says"]) == (409, "this was taken back before")


def test_places_inside_one_another_are_refused(client, small):
    head = client.get(small).json()["head"]
    answer = change(client, small, head, {"route[0].length_m": 4, "title": "x", "route": [{"name": "a"}]})
    assert answer.status_code == 422
    assert "inside it" in answer.json()["faults"][0]["says"]


def test_pages_of_the_lists_hold_each_entry_once(client):
    sent = [client.post(f"{API}/jobs", json={"operation": operation(), "record": SMALL}).json()["job"]
            for _ in range(5)]  # fmt: skip
    seen, after = [], ""
    while after is not None:
        page = client.get(f"{API}/jobs?limit=2{f'&after={after}' if after else ''}").json()
        seen += [each["id"] for each in page["jobs"]]
        after = page["next"]
    assert sorted(seen) == sorted(sent)

    address, ids, after = f"{API}/jobs/{sent[0]}", [], ""
    for rating_a in (60, 80, 100):
        change(client, address, client.get(address).json()["head"], {"supply.cutout.rating_a": rating_a})
    while after is not None:
        page = client.get(f"{address}/history?limit=3{f'&after={after}' if after else ''}").json()
        ids += [each["id"] for each in page["operations"]]
        after = page["next"]
    assert len(ids) == len(set(ids)) == 4


def test_a_job_as_it_stood(client, small):
    head = client.get(small).json()["head"]
    change(client, small, head, {"supply.ze_ohm": 0.9, "supply.earthing": "TN-C-S"})
    then, now = client.get(f"{small}/assessment?at={head}").json(), client.get(f"{small}/assessment").json()
    assert then["tally"]["not yet known"] > now["tally"]["not yet known"]
    other = client.post(f"{API}/jobs", json={"operation": operation(), "record": SMALL}).headers["location"]
    early = client.get(f"{other}?at={head}")
    assert (early.status_code, early.json()["faults"][0]["path"]) == (404, "at")
