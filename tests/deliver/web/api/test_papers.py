"""Issued papers by the API: what stands in the way, issue, supersede, sign, confirm; and whoever may not."""

import hashlib

import pytest
from issuing import STROKES
from jobs_sent import API, change, operation, refused
from pydantic import TypeAdapter
from signing import Program

from ampwright.deliver.demo import demo_files
from ampwright.deliver.store.ledger import Ledger
from ampwright.deliver.web.api import shapes_of_papers as shapes


def taken_in(client):
    body = {"operation": operation(), "file": demo_files()["bungalow.yaml"]}
    return client.post(f"{API}/jobs", json=body).headers["location"]


def confirmed(client, job):
    """Confirm every row from memory; the answer."""
    left = client.get(f"{job}/confirmations").json()["left"]
    assert len(left) > 20
    body = {"copy": "the firm's own copy", "rows": [each["what"] for each in left]}
    return client.post(f"{job}/confirmations", json=body)


def signed(client, job, **more):
    body = {"role": "installer", "seen": client.get(f"{job}/signatures").json()["seen"], "strokes": STROKES}
    return client.post(f"{job}/signatures", json=body | more)


@pytest.fixture
def job(client):
    """The address of a job that is tested, and neither signed nor confirmed."""
    return taken_in(client)


@pytest.fixture
def ready(client, job):
    """And with all of that."""
    assert confirmed(client, job).status_code == 200
    assert signed(client, job).status_code == 201
    return job


def issued(client, job, *papers):
    return client.post(f"{job}/issued", json={"papers": list(papers)})


def test_a_draft_is_not_issued_and_says_why_gate_by_gate(client, job, app):
    told = TypeAdapter(shapes.IssuedOfJob).validate_python(client.get(f"{job}/issued").json(), strict=True)
    assert {each["gate"] for each in told["reasons"]} == {"person", "memory", "price"}
    says = refused(issued(client, job, "tests"), 409)
    assert "person Not signed: built by B. Specimen." in says
    assert Ledger(app.state.site.store.engine).rows() == ()


def test_rows_are_confirmed_against_a_named_copy(client, job):
    left = client.get(f"{job}/confirmations").json()["left"]
    of_k = next(each for each in left if each["what"].startswith("iec/k_factors"))
    assert (of_k["where"], of_k["says"].split()[0]) == ("BS 7671 Table 54.3", "143")
    told = TypeAdapter(shapes.ToConfirm).validate_python(confirmed(client, job).json(), strict=True)
    assert (told["confirmed"], told["left"]) == (len(left), [])
    again = client.post(f"{job}/confirmations", json={"copy": "mine", "rows": [left[0]["what"]]})
    assert again.json() == {"confirmed": 0, "left": []}
    assert {each["gate"] for each in client.get(f"{job}/issued").json()["reasons"]} == {"person", "price"}


def test_a_signature_is_under_what_was_seen_and_a_change_undoes_it(client, job):
    told = TypeAdapter(shapes.Signatures).validate_python(signed(client, job).json(), strict=True)
    assert [(each["role"], each["holds"]["drawn"]) for each in told["people"] if each["holds"]] == [("installer", True)]
    assert len(next(each["duties"] for each in told["people"] if each["role"] == "installer")) == 3
    change(client, job, client.get(job).json()["head"], {"tests.insulation_megohm": 150})
    now = client.get(f"{job}/signatures").json()
    assert now["seen"] != told["seen"]
    assert all(each["holds"] is None for each in now["people"])
    assert "changed meanwhile" in refused(signed(client, job, seen=told["seen"]), 409)
    paper = client.get(f"{job}/signatures/certificate")
    assert (paper.headers["content-type"], paper.content[:5]) == ("application/pdf", b"%PDF-")


@pytest.mark.parametrize(("more", "status"), [
    ({"role": "designer"}, 409), ({"strokes": ""}, 409), ({"strokes": "", "typed": "Somebody Else"}, 409),
    ({"strokes": "M1 1 L2 2"}, 409), ({"strokes": "<script>"}, 409), ({"strokes": "M0 0" * 20_000}, 422),
    ({"seen": "x"}, 422), ({"seen": "0" * 64}, 409), ({"role": ""}, 422), ({"who": "Ann"}, 422),
])  # fmt: skip
def test_what_is_no_signature_is_not_kept(client, job, more, status):
    refused(signed(client, job, **more), status)
    assert all(each["holds"] is None for each in client.get(f"{job}/signatures").json()["people"])


def test_papers_are_issued_once_for_a_state_and_superseded_after_a_change(client, ready, app):
    first = TypeAdapter(shapes.Made).validate_python(issued(client, ready, "tests", "labels").json(), strict=True)
    assert [each["paper"] for each in first["papers"]] == ["tests", "labels"]
    assert issued(client, ready, "tests", "labels").json() == first
    row = first["papers"][0]
    held = client.get(f"{ready}/issued/{row['number']}")
    assert held.headers["content-type"] == "application/pdf"
    assert hashlib.sha256(held.content).hexdigest() == row["paper_hash"]

    change(client, ready, client.get(ready).json()["head"], {"tests.insulation_megohm": 150})
    told = client.get(f"{ready}/issued").json()
    assert {each["paper"]: each["differs"] for each in told["papers"]}["tests"] == ["tests.insulation_megohm"]
    assert "Not signed" in refused(issued(client, ready, "tests"), 409)
    assert signed(client, ready).status_code == 201
    second = issued(client, ready, "tests").json()["papers"][0]
    assert (second["supersedes"], second["before"]) == (row["number"], first["papers"][1]["hash"])
    assert client.get(f"{ready}/issued/{row['number']}").content != held.content
    listed = TypeAdapter(shapes.IssuedList).validate_python(client.get(f"{API}/issued?limit=2").json(), strict=True)
    assert (len(listed["papers"]), listed["next"], listed["agrees"]) == (2, 2, True)
    assert client.get(f"{API}/issued?after=2").json()["papers"] == [second]


@pytest.mark.parametrize("body", [{"papers": []}, {"papers": ["nosuch"]}, {"papers": "tests"}, {}, {"papers": [1]},
                                  {"papers": ["tests"] * 16}, {"papers": ["tests"], "date": "2020-01-01"},
                                  {"papers": ["../../etc/passwd"]}])  # fmt: skip
def test_what_is_no_paper(client, job, body):
    refused(client.post(f"{job}/issued", json=body), 422)


@pytest.mark.parametrize("body", [{"copy": "", "rows": ["x"]}, {"copy": "  ", "rows": ["x"]},
                                  {"copy": "mine", "rows": []},
                                  {"copy": "mine", "rows": ["nosuch"]}, {"rows": ["x"]},
                                  {"copy": "mine", "rows": ["x" * 301]}])  # fmt: skip
def test_what_is_no_confirmation(client, job, body):
    before = client.get(f"{job}/confirmations").json()
    refused(client.post(f"{job}/confirmations", json=body), 422)
    assert client.get(f"{job}/confirmations").json() == before


@pytest.mark.parametrize("number", ["0", "-1", "x", "99", "1.5", str(2**31), "1%00"])
def test_a_paper_that_there_is_not(client, job, number):
    refused(client.get(f"{job}/issued/{number}"), 404, 422)


def test_another_firm_and_a_role_too_low_reach_nothing(firms):
    ours, theirs, low = Program(firms, "designer"), Program(firms, "other-owner"), Program(firms, "installer")
    job = taken_in(ours)
    for below in ("issued", "signatures", "signatures/certificate", "confirmations", "issued/1"):
        answer = theirs.get(f"{job}/{below}")
        refused(answer, 404)
        assert "Specimen" not in answer.text
    refused(issued(theirs, job, "tests"), 404)
    refused(issued(low, job, "tests"), 403)
    refused(low.post(f"{job}/confirmations", json={"copy": "mine", "rows": ["x"]}), 403)
    assert confirmed(ours, job).status_code == 200
    assert "a program signs for nobody" in refused(signed(low, job), 409)
    made = issued(ours, job, "labels").json()["papers"]
    assert made[0]["who"] == "Designer One"
    theirs_job = taken_in(theirs)
    refused(theirs.get(f"{theirs_job}/issued/{made[0]['number']}"), 404)
    assert theirs.get(f"{API}/issued").json() == {"papers": [], "next": None, "agrees": True}
    assert len(theirs.get(f"{theirs_job}/confirmations").json()["left"]) > 20  # what we confirmed is not theirs
