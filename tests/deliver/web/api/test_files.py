"""A job's own files by the API: put, read in, listed, given out, read by the forecast; and whoever may not."""

import hashlib

import pytest
from jobs_sent import API, operation, refused
from meters import days
from pydantic import TypeAdapter
from signing import Program

from ampwright.deliver.demo import METER, demo_files
from ampwright.deliver.own_files import FIELDS
from ampwright.deliver.web.api import shapes_of_files as shapes

CSV = "installation.half_hourly.csv"


def put(client, job, text, which="half-hourly", name="meter.csv", **more):
    body = {"operation": operation(), "base": client.get(job).json().get("head", 1), "name": name, "text": text, **more}
    return client.post(f"{job}/files/{which}", json=body)


def listed(client, job):
    told = TypeAdapter(shapes.JobFiles).validate_python(client.get(f"{job}/files").json(), strict=True)
    return {each["which"]: each for each in told["files"]}


def test_one_is_put_listed_and_given_out(client, small):
    assert [each["name"] for each in listed(client, small).values()] == [None] * len(FIELDS)
    made = put(client, small, days(2).decode())
    assert made.status_code == 200
    assert {each["path"]: each["new"] for each in made.json()["taken"]}[CSV] == "meter.csv"
    told = listed(client, small)["half-hourly"]
    assert (told["name"], told["held"], told["who"]) == ("meter.csv", True, "Ann")
    assert told["sha256"] == hashlib.sha256(days(2)).hexdigest()
    assert told["says"].startswith("half-hourly readings from 2026-01-01 00:00 to 2026-01-03 00:00")
    assert client.get(f"{small}/files/half-hourly").content == days(2)
    assert "names no such file" in refused(client.get(f"{small}/files/weather"), 404)


def test_a_job_as_it_stood_has_the_file_that_it_named_then(client, small):
    first = put(client, small, days(2).decode()).json()["head"]
    put(client, small, days(3).decode())
    assert listed(client, small)["half-hourly"]["name"] == "meter-2.csv"
    assert client.get(f"{small}/files/half-hourly?at={first}").content == days(2)
    assert client.get(f"{small}/files/half-hourly").content == days(3)


@pytest.mark.parametrize(("which", "text", "says"), [
    ("half-hourly", "start,kwh\nnever,1\n2026-01-01T00:00Z,x\n", ("meter.csv line 2", "meter.csv line 3")),
    ("generation", "start,kwh\nnever,1\n", ("'never' is no time",)), ("weather", "x", ("cannot be read as EPW",)),
    ("half-hourly", "\u0000", ("is not a text file",))])  # fmt: skip
def test_what_is_wrong_is_told_at_once_and_nothing_is_kept(client, small, which, text, says):
    before = client.get(small).json()
    told = refused(put(client, small, text, which), 422)
    for each in says:
        assert each in told
    assert client.get(small).json() == before
    assert not listed(client, small)[which]["held"]


def test_a_repeat_has_the_same_answer_and_another_since_is_told(client, small):
    base = client.get(small).json()["head"]
    first = put(client, small, days(2).decode(), operation="operation-once", base=base)
    assert put(client, small, days(2).decode(), operation="operation-once", base=base).json() == first.json()
    refused(put(client, small, days(2).decode(), operation="operation-once"), 409)
    assert "somebody put in meter.csv since" in refused(put(client, small, days(3).decode(), base=base), 409)


def test_the_forecast_waits_for_the_file_and_reads_it(client, demo):
    there, record = next((one, told["record"]) for one in demo[1].values()
                         if METER in str((told := demo[0].get(f"{API}/jobs/{one}").json())["record"]))  # fmt: skip
    job = client.post(f"{API}/jobs", json={"operation": operation(), "record": record}).headers["location"]
    assert f"{CSV} " in refused(client.get(f"{job}/forecast?years=1"), 409)
    assert put(client, job, demo_files()[METER], name=METER).status_code == 200
    given = client.get(f"{job}/forecast?years=1")
    assert given.status_code == 200
    assert demo[0].get(f"{API}/jobs/{there}/forecast?years=1").json() == given.json()


def test_a_reader_and_another_firm_are_refused(firms):
    installer, reader = Program(firms, "installer"), Program(firms, "owner", role="reader")
    job = f"{API}/jobs/{installer.get(f'{API}/jobs').json()['jobs'][2]['id']}"
    assert put(installer, job, days(2).decode()).status_code == 200
    assert reader.get(f"{job}/files/half-hourly").content == days(2)
    refused(put(reader, job, days(3).decode()), 403)
    other = Program(firms, "other-owner")
    for asked in (other.get(f"{job}/files"), other.get(f"{job}/files/half-hourly"),
                  put(other, job, days(3).decode())):  # fmt: skip
        refused(asked, 404)
