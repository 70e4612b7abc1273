"""A client that means harm. Whatever it sends, the answer is a problem in words and the jobs stay as they were."""

import json

import pytest
from jobs_sent import API, SMALL, change, operation, refused
from sqlalchemy.exc import OperationalError

EVIL = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>{{ 7*7 }}"
JSON = {"content-type": "application/json"}
DEEP = '{"operation": "operation-deep", "record": ' + '{"a": ' * 5000 + "1" + "}" * 5001


@pytest.mark.parametrize("forged", ["none", "0" * 16, "..%2fjobs", "..%2f..%2fetc%2fpasswd", "%00", "%ff%fe", "a" * 64,
                                    "' OR 1=1 --", "%0d%0aSet-Cookie:%20a=b", "١٢٣٤"])  # fmt: skip
@pytest.mark.parametrize("below", ["", "/file", "/history", "/assessment", "/design", "/quote", "/forecast", "/due"])
def test_a_forged_id_finds_nothing(client, small, forged, below):
    answer = client.get(f"{API}/jobs/{forged}{below}")
    refused(answer, 404)
    assert "set-cookie" not in answer.headers


@pytest.mark.parametrize("deed", ["changes", "undo", "decisions"])
def test_a_forged_id_changes_nothing(client, small, deed):
    bodies: dict[str, dict[str, object]] = {
        "changes": {"base": 0, "changes": {"title": "x"}}, "undo": {"of": "operation-1"},
        "decisions": {"conflict": 1, "take": "held"}}  # fmt: skip
    refused(client.post(f"{API}/jobs/{'0' * 16}/{deed}", json={"operation": operation(), **bodies[deed]}), 404)


def test_an_operation_of_another_job_is_not_undone_here(client, small):
    other = client.post(f"{API}/jobs", json={"operation": operation(), "record": SMALL}).headers["location"]
    name = operation()
    change(client, other, client.get(other).json()["head"], {"title": "theirs"}, name)
    refused(client.post(f"{small}/undo", json={"operation": operation(), "of": name}), 409)
    assert client.get(other).json()["title"] == "theirs"


def test_an_operation_id_of_another_job_tells_nothing_of_it(client, small):
    other = client.post(f"{API}/jobs", json={"operation": operation(), "record": SMALL}).headers["location"]
    name = operation()
    change(client, other, client.get(other).json()["head"], {"title": "a secret"}, name)
    answer = change(client, small, client.get(small).json()["head"], {"title": "mine"}, name)
    refused(answer, 409)
    assert "secret" not in answer.text
    assert client.get(small).json()["title"] == SMALL["title"]


@pytest.mark.parametrize(("body", "says"), [
    (b"", "nothing was sent"),
    (b"not json", "cannot be read"),
    (b"{", "cannot be read"),
    (b"\xff\xfe{}", "not UTF-8"),
    (b'{"operation": "\xe9"}', "not UTF-8"),
    (b"\xef\xbb\xbf{}", "cannot be read"),
    (b'{"base": NaN}', "NaN is no number"),
    (b'{"base": -Infinity}', "no number"),
    (b'{"base": 1e999}', "too large"),
    (b'{"base": ' + b"9" * 5000 + b"}", "5000 figures"),
    (b'{"operation": "operation-1", "operation": "operation-2"}', "written twice"),
    (b'{"changes": {"title": "a", "title": "b"}}', "written twice"),
    (b'{"operation": "\\ud800"}', "half a sign"),
    (b'{"\\udfff": 1}', "half a sign"),
    (DEEP.encode(), "nested deeper"),
    (b"[" * 100_000, "nested deeper"),
    (b'{"a": [' + b"1," * 30_000 + b"1]}", "more than 20000"),
    (b'{"a": 1} {"b": 2}', "cannot be read"),
])  # fmt: skip
@pytest.mark.parametrize("deed", ["/changes", "/undo", "/decisions", None])
def test_what_is_no_json_to_be_taken(client, small, deed, body, says):
    before = client.get(f"{small}/history").json()
    answer = client.post(f"{API}/jobs" if deed is None else f"{small}{deed}", content=body, headers=JSON)
    assert says in refused(answer, 400)
    assert client.get(f"{small}/history").json() == before


@pytest.mark.parametrize("body", [[], "text", 1, True, {}, {"operation": None}, {"operation": ["operation-1"]}])
def test_json_of_another_shape(client, small, body):
    for address in (f"{API}/jobs", f"{small}/changes", f"{small}/undo", f"{small}/decisions"):
        refused(client.post(address, json=body), 422)


@pytest.mark.parametrize("name", ["", "short", "a" * 65, "operation 1", "operation-1\n", "../../etc", EVIL,
                                  "opération-1"])  # fmt: skip
def test_an_id_of_an_operation_is_plain(client, small, name):
    refused(change(client, small, 0, {"title": "x"}, name), 422)
    assert client.get(small).json()["title"] == SMALL["title"]


@pytest.mark.parametrize("path", ["version", "__class__", "supply", "supply.ze_ohm.low", "route[99999].name",
                                  "route[5].name", "route[-1].name", "nope", "supply..ze_ohm", "a" * 201, EVIL,
                                  "title.x", "sensors[0]", "vehicles[0].trips[0]"])  # fmt: skip
def test_a_path_that_the_record_has_not(client, small, path):
    before = client.get(small).json()
    refused(change(client, small, before["head"], {path: "x"}), 422)
    assert client.get(small).json() == before


@pytest.mark.parametrize("value", [1e308, -1e308, 10**28, -(10**28), "1e5", "٣", [1], {"low": 2, "high": 1}, {}, True,
                                   {"low": 0.1, "high": 1e300, "because": "x"}, {"value": 0.3, "with": ["x"]},
                                   {"value": {"value": 0.3}}, {"low": 0.1, "high": 0.3}])  # fmt: skip
def test_a_number_that_no_reading_is(client, small, value):
    before = client.get(small).json()
    assert "supply.ze_ohm" in refused(change(client, small, before["head"], {"supply.ze_ohm": value}), 422)
    assert client.get(small).json() == before


@pytest.mark.parametrize("base", [-1, 2**53 + 1, 10**29, 1.5, "1", None, True, 999_999])
def test_a_base_that_never_was(client, small, base):
    refused(change(client, small, base, {"title": "x"}), 422)
    assert client.get(small).json()["title"] == SMALL["title"]


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x",
                                  "application/yaml", "application/json; charset=utf-16", "", "image/png"])  # fmt: skip
def test_another_kind_of_content(client, small, kind):
    body = json.dumps({"operation": operation(), "record": SMALL})
    refused(client.post(f"{API}/jobs", content=body, headers={"content-type": kind}), 415)
    assert len(client.get(f"{API}/jobs").json()["jobs"]) == 1


@pytest.mark.parametrize("held", ["\xff\xd8\xff\xe0 JFIF", "%PDF-1.7", "PK\x03\x04", "\x00" * 50, "a: &a [*a]",
                                  "!!python/x", "version: 2\n---\nversion: 2\n", "- " * 3000,
                                  "version: 2\ntitle: \x1b[31m"])  # fmt: skip
def test_something_else_disguised_as_a_job_file(client, held):
    refused(client.post(f"{API}/jobs", json={"operation": operation(), "file": held}), 422)
    assert client.get(f"{API}/jobs").json()["jobs"] == []


def test_too_large_too_long_and_compressed(client, small):
    refused(client.post(f"{API}/jobs", content=b"x" * 3_000_000, headers=JSON), 413)
    large = "version: 2\ntitle: " + "x" * 1_100_000
    assert "1 MiB" in refused(client.post(f"{API}/jobs", json={"operation": operation(), "file": large}), 422)
    refused(client.post(f"{API}/jobs", content=iter([b"{}"]), headers=JSON), 411)
    refused(client.post(f"{API}/jobs", content=b"{}", headers={**JSON, "content-encoding": "gzip"}), 415)
    many = {f"route[{number}].name": "x" for number in range(501)}
    refused(change(client, small, 0, many), 422)


@pytest.mark.parametrize(("headers", "status"), [
    ({"host": "jobs.example"}, 421), ({"host": "localhost.evil.example"}, 421),
    ({"origin": "http://evil.example"}, 403),
    ({"origin": "null"}, 403), ({"sec-fetch-site": "cross-site"}, 403), ({"content-length": "-1"}, 411),
    ({"content-length": "1e3"}, 411), ({"content-length": "99999999"}, 413),
])  # fmt: skip
def test_headers_that_pretend(client, headers, status):
    body = json.dumps({"operation": operation(), "record": SMALL}).encode()
    refused(client.post(f"{API}/jobs", content=body, headers={**JSON, **headers}), status)
    assert client.get(f"{API}/jobs").json()["jobs"] == []


def test_headers_that_name_another_method_address_or_person_are_not_heard(client, small):
    games = {"x-http-method-override": "DELETE", "x-original-url": "/api/v1/problems",
             "x-forwarded-host": "evil.example", "x-forwarded-for": "10.0.0.1", "x-remote-user": "owner",
             "accept": "text/html"}  # fmt: skip
    answer = client.get(small, headers=games)
    assert (answer.status_code, answer.headers["content-type"]) == (200, "application/json")
    name = operation()
    body = {"operation": name, "base": answer.json()["head"], "changes": {"title": "x"}}
    client.post(f"{small}/changes", json=body, headers=games)
    newest = client.get(f"{small}/history").json()["operations"][0]
    assert (newest["id"], newest["who"]) == (name, "Ann")


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "PROPFIND"])
def test_a_method_that_is_not_taken(client, small, method):
    answer = client.request(method, small, content=b"", headers={"content-length": "0"})
    refused(answer, 405)
    assert answer.headers["allow"] == "GET"


@pytest.mark.parametrize("question", ["years=0", "years=101", "years=1e9", "years=x", "seed=-1", "goal_percent=nan",
                                      "goal_percent=inf", "goal_percent=101", "years=1&years=2", "yeers=3", "at=1e3",
                                      "at=99999999999999999999", "at=-1", "at=1.5", "goal_percent="])  # fmt: skip
def test_a_question_that_is_none(client, small, question):
    refused(client.get(f"{small}/forecast?{question}"), 422)


@pytest.mark.parametrize("address", ["/api", "/api/", "/api/v2/jobs", "/api/v1", f"{API}/jobs/", f"{API}/nothing",
                                     f"{API}/tables/iec/..%2f..%2fsources", f"{API}/tables/../sources", f"{API}//jobs",
                                     f"{API}/tables/_/x"])  # fmt: skip
def test_addresses_where_nothing_is(client, address):
    refused(client.get(address), 404)


def test_a_job_that_names_files_of_the_machine_gets_none_of_them(client, small):
    for path, name in {"site.weather_file": "/etc/passwd", "generation.own_csv": "../../etc/passwd",
                       "installation.half_hourly.csv": "/etc/passwd"}.items():  # fmt: skip
        changed = change(client, small, client.get(small).json()["head"], {path: name})
        answer = client.get(f"{small}/forecast?years=1")
        assert "root:" not in answer.text
        told = refused(answer, 409)
        if changed.status_code == 200:
            assert "the server holds no such file" in told
        else:
            assert path in refused(changed, 422)


def test_a_store_that_cannot_be_reached_is_told(client, small, app, monkeypatch):
    def gone(*words, **more):
        raise OperationalError("select", {}, Exception("disk I/O error at a secret place"))

    monkeypatch.setattr(type(app.state.site.store), "read", gone)
    answer = client.get(small)
    refused(answer, 503)
    assert "retry-after" in answer.headers
    assert "secret" not in answer.text
