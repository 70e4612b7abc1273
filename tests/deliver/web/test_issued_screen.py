"""The pages on which papers are issued, numbers confirmed and a certificate signed."""

import re

import pytest
from issuing import STROKES, ready, signs

from ampwright.deliver.demo import demo_files


@pytest.fixture
def store(app):
    return app.state.site.store


@pytest.fixture
def bare(store):
    """The address of a job whose tests are done, which nobody has signed."""
    text = demo_files()["bungalow.yaml"]
    return f"/jobs/{store.take_in(text, operation='bare', who='Ann', origin='a file')}"


@pytest.fixture
def job(store):
    return f"/jobs/{ready(store)}"


def send(client, address, **typed):
    return client.post(address, data=typed, follow_redirects=False)


def seen(client, job):
    return re.findall(r'name="seen" value="(\w+)"', client.get(f"{job}/sign").text)[0]


def test_a_draft_says_what_stands_in_the_way_and_nothing_is_issued(client, bare):
    text = client.get(f"{bare}/issued").text
    assert "What stands in the way" in text
    assert "Not signed: built by B. Specimen." in text
    assert re.search(r'name="paper-tests" disabled> [^<]*: a draft, waits for signatures', text)
    assert 'name="paper-visit">' in text
    answer = send(client, f"{bare}/issued", **{"paper-tests": "on"})
    assert answer.status_code == 409
    assert "Open No." not in answer.text


def test_numbers_are_confirmed_against_a_named_copy(client, bare):
    rows = re.findall(r'name="(row-\d+)" value="([^"]+)"', client.get(f"{bare}/issued").text)
    assert len(rows) > 20
    assert send(client, f"{bare}/confirm", **dict(rows)).status_code == 422
    assert send(client, f"{bare}/confirm", copy="my own").status_code == 422
    assert send(client, f"{bare}/confirm", copy="my own", **dict(rows[:1])).status_code == 303
    left = re.findall(r'name="(row-\d+)" value="([^"]+)"', client.get(f"{bare}/issued").text)
    assert [each[1] for each in left] == [each[1] for each in rows[1:]]


def test_a_person_signs_and_a_change_unsigns(client, store, bare):
    told = {"role": "installer", "seen": seen(client, bare), "strokes": STROKES, "typed": ""}
    assert send(client, f"{bare}/sign", **told | {"strokes": "", "typed": "Nobody"}).status_code == 422
    assert send(client, f"{bare}/sign", **told | {"role": "inspector"}).status_code == 422
    assert send(client, f"{bare}/sign", **told).status_code == 303
    text = client.get(f"{bare}/sign").text
    assert f'<path d="{STROKES}"/>' in text
    assert 'aria-label="Signature of B. Specimen, drawn by hand"' in text

    name = bare.rsplit("/", 1)[-1]
    store.change(name, {"tests.insulation_megohm": 150}, base=store.read(name)[1], operation="x", who="A", origin="h")
    assert "no longer holds" in client.get(f"{bare}/sign").text
    assert send(client, f"{bare}/sign", **told).status_code == 422


def test_the_certificate_is_there_to_be_read_before_it_is_signed(client, bare):
    answer = client.get(f"{bare}/sign/certificate.pdf")
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")


def test_papers_are_issued_opened_and_said_to_disagree(client, store, job):
    assert send(client, f"{job}/issued").status_code == 422
    assert send(client, f"{job}/issued", **{"paper-tests": "on"}).status_code == 303
    text = client.get(f"{job}/issued").text
    assert "Agrees with the job." in text
    (paper,) = re.findall(r"/jobs/\w+/issued/\d+\.pdf", text)
    assert client.get(paper).content.startswith(b"%PDF")
    assert "Changed since a paper was issued" not in client.get(job).text

    name = job.rsplit("/", 1)[-1]
    store.change(name, {"tests.insulation_megohm": 150}, base=store.read(name)[1], operation="x", who="A", origin="h")
    assert "no longer agrees with the job: insulation resistance" in client.get(job).text
    assert client.get(f"{job}/issued/99.pdf").status_code == 404
    signs(store, name)
    send(client, f"{job}/issued", **{"paper-tests": "on"})
    assert re.search(r"Superseded by No\. tests \d{4}-0002", client.get(f"{job}/issued").text)


def test_a_paper_of_another_job_is_not_there(client, job, bare):
    send(client, f"{job}/issued", **{"paper-labels": "on"})
    assert client.get(f"{job}/issued/1.pdf").status_code == 200
    assert client.get(f"{bare}/issued/1.pdf").status_code == 404


def test_the_forms_that_go_out_stand_beside_the_papers_and_a_claim_only_where_one_is_owed(client, store, job):
    text = client.get(f"{job}/issued").text
    assert 'name="paper-form-19-warranty-registration"> Warranty registration</label>' in text
    assert 'name="paper-form-17-grant-claim" disabled> Grant claim: a draft, waits for your own prices' in text
    assert "paper-form-09" not in text
    assert send(client, f"{job}/issued", **{"paper-form-19-warranty-registration": "on"}).status_code == 303
    assert "Warranty registration, " in client.get(f"{job}/issued").text
    name = job.removeprefix("/jobs/")
    base = store.read(name)[1]
    store.change(name, {"dates.grant_applied": None}, base=base, operation="no-grant", who="Ann", origin="here")
    assert "paper-form-17" not in client.get(f"{job}/issued").text
