"""What the server turns away, and what it says on every answer."""

import pytest
from command import run

EVIL = '<script>alert(1)</script>"\'><img src=x onerror=alert(1)>{{ 7*7 }}'


def test_every_answer_forbids_script_and_style_that_are_not_ours(client, terrace):
    for address in ("/", terrace, f"{terrace}/checks", "/nothing", "/static/style.css"):
        answer = client.get(address)
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert " style=" not in answer.text
        assert " onclick" not in answer.text


@pytest.mark.parametrize("host", ["jobs.example", "192.168.1.20:8722", "localhost.evil.example", "127.0.0.1.example"])
def test_another_name_for_this_machine_is_turned_away(client, host):
    answer = client.get("/", headers={"host": host})
    assert answer.status_code == 421
    assert "this machine alone" in answer.text


FOREIGN = ({"origin": "http://evil.example"}, {"origin": "null"}, {"origin": "http://localhost:9999"},
           {"sec-fetch-site": "cross-site"})  # fmt: skip


@pytest.mark.parametrize("headers", FOREIGN)
def test_a_form_of_another_site_changes_nothing(client, headers, app):
    before = app.state.site.store.names()
    answer = client.post("/jobs", data={"title": "theirs"}, headers=headers)
    assert answer.status_code == 403
    assert app.state.site.store.names() == before


def test_a_form_of_our_own_page_is_taken(client, app):
    answer = client.post("/jobs", data={"title": "ours"}, headers={"origin": "http://localhost:8722"})
    assert answer.status_code == 200
    assert len(app.state.site.store.names()) == 4


def test_too_large_or_of_unknown_length(client):
    assert client.post("/jobs", files={"file": ("a.yaml", b"x" * 3_000_000)}).status_code == 413
    assert client.post("/jobs", content=iter([b"title=a"])).status_code == 411


@pytest.mark.parametrize("held", [b"\xff\xd8\xff\xe0 a photograph", b"PK\x03\x04", b"%PDF-1.7", b"[", b"a: &a [*a]"])
def test_a_file_that_is_no_job_is_refused_in_words(client, held, app):
    answer = client.post("/jobs", files={"file": ("job.yaml", held)}, data={"title": ""})
    assert answer.status_code == 422
    assert "Nothing was taken in" in answer.text
    assert len(app.state.site.store.names()) == 3


def test_script_in_text_comes_out_as_text(client, form, terrace):
    data = form("board") | {"installation.board": EVIL}
    done = client.post(f"{terrace}/part/board", data=data)
    assert done.status_code == 200
    client.post("/jobs", data={"title": EVIL})
    for address in (str(done.url), "/", f"{terrace}/part/board", f"{terrace}/history"):
        text = client.get(address).text
        assert "&lt;script&gt;alert(1)" in text
        assert "<script>alert" not in text
        assert "<img src=x" not in text


@pytest.mark.parametrize("address", ["/jobs/none", "/jobs/none/checks", "/jobs/none/part/board", "/jobs/none/file",
                                     "/jobs/none/done/x", "/static/../app.py", "/static/%2e%2e/app.py",
                                     "/jobs/..%2f..%2fetc", "/docs", "/redoc"])  # fmt: skip
def test_what_is_not_there(client, address):
    answer = client.get(address)
    assert answer.status_code == 404
    assert "content-security-policy" in answer.headers


@pytest.mark.parametrize("host", ["0.0.0.0", "192.168.1.20", "::", "example.com"])
def test_serve_refuses_any_other_address_without_https_and_without_an_owner(tmp_path, host):
    for more, says in (((), "everybody on the same network can read"), (("--tls",), "there is no owner yet"),
                       (("--plain",), "there is no owner yet")):  # fmt: skip
        done = run("serve", "--listen", host, *more, cwd=tmp_path)
        assert done.returncode == 3
        assert says in " ".join(done.stderr.split())
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_is_no_store_is_refused(tmp_path):
    (tmp_path / "ampwright.db").write_text("this is a letter to my aunt, and no database at all" * 20)
    done = run("serve", "--port", "0", cwd=tmp_path)
    assert done.returncode == 3
    assert "cannot be opened as a file of jobs" in done.stderr


def test_backup_and_restore(tmp_path, app):
    done = run("backup", "copy.db", "--jobs", "jobs.db", cwd=tmp_path)
    assert done.stdout == "3 jobs are in copy.db\n"
    assert run("backup", "copy.db", "--jobs", "jobs.db", cwd=tmp_path).returncode == 3
    assert run("backup", "other.db", "--jobs", "none.db", cwd=tmp_path).returncode == 3
