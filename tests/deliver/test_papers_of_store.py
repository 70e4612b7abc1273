"""`ampwright papers` of a file, which nobody can sign, and of a job in the store as it is signed and confirmed."""

from __future__ import annotations

import io
import re
import zipfile

import pypdfium2
import pytest
from command import run
from issuing import confirm, ready, signs
from own_prices import own_text
from starlette.testclient import TestClient

from ampwright.deliver.demo import FINISHED, demo_files
from ampwright.deliver.documents.archive import archive
from ampwright.deliver.issuing import pack_of
from ampwright.deliver.store.store import Store
from ampwright.deliver.web.app import create_app

FORM = "form-09-electrical-installation-certificate"


def words(path):
    return " ".join("".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(path)).split())


@pytest.fixture
def job(tmp_path):
    """A job of the store in that folder that is signed, and whose numbers are confirmed."""
    store = Store(tmp_path / "ampwright.db")
    name = ready(store)
    store.close()
    return name


def test_a_job_of_the_store_prints_as_signed_and_confirmed(tmp_path, job):
    done = run("papers", "--job", job, "--only", "tests", "--only", FORM, cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert "DRAFT" not in done.stdout
    certificate = words(tmp_path / "papers" / f"{job}-tests.pdf")
    assert "DRAFT" not in certificate
    assert "Built by B. Specimen, signed" in certificate
    assert "Constructor signature signed 2" in words(tmp_path / "papers" / f"{job}-{FORM}.pdf")


def test_a_file_is_a_draft_and_says_where_it_is_signed(tmp_path):
    (tmp_path / FINISHED).write_text(demo_files()[FINISHED], encoding="utf-8")
    done = run("papers", FINISHED, "--only", "tests", "--only", FORM, cwd=tmp_path)
    assert done.returncode == 0
    assert "DRAFT, not to be issued" in done.stdout
    assert "`ampwright issue FILE` takes it in and says how to sign and to confirm" in done.stdout
    form = words(tmp_path / "papers" / f"bungalow-{FORM}.pdf")
    assert "Constructor signature in the file D-004_installer.svg; this paper is not signed here" in form


def test_what_signatures_would_not_change_says_nothing_of_them(tmp_path):
    text = demo_files()[FINISHED].replace("rating_a: 40", "rating_a: 16")
    (tmp_path / FINISHED).write_text(text, encoding="utf-8")
    done = run("papers", FINISHED, "--only", "visit", cwd=tmp_path)
    assert "DRAFT, not to be issued" in done.stdout
    assert "issue FILE" not in done.stdout


def test_the_store_is_asked_for_a_job_that_it_has_or_a_file_and_not_for_both(tmp_path, job):
    done = run("papers", "--job", "0000000000000000", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (3, "")
    assert "there is no job 0000000000000000" in done.stderr
    for words_ in ((), ("job.yaml", "--job", job)):
        wrong = run("papers", *words_, cwd=tmp_path)
        assert wrong.returncode == 3
        assert "Name a job file, or a job of the store with --job." in wrong.stderr


def test_a_quote_is_issued_by_the_command_with_ones_own_prices(tmp_path, job):
    quote = ("issue", "--job", job, "--paper", "quote")
    held = run(*quote, cwd=tmp_path)
    assert held.returncode == 2
    assert "[price] The prices of the catalogue are those shipped, which are invented" in held.stdout
    assert "`ampwright issue --catalogue FILE --prices FILE`" in held.stdout
    for name in ("catalogue", "price_book"):
        (tmp_path / f"{name}.csv").write_text(own_text(name), encoding="utf-8")
    own = ("--catalogue", "catalogue.csv", "--prices", "price_book.csv")
    assert run(*quote, *own, cwd=tmp_path).stdout.startswith("No. quote ")
    done = run("batch", "--step", "issue", "--paper", "quote", *own, cwd=tmp_path)
    assert "papers issued: 1" in done.stdout
    assert run("issued", "--check", cwd=tmp_path).stdout.startswith("1 rows, and each agrees")
    (tmp_path / "catalogue.csv").write_text("axis,id\ncable,x\n", encoding="utf-8")
    bad = run(*quote, *own, cwd=tmp_path)
    assert (bad.returncode, bad.stdout) == (3, "")
    assert "catalogue.csv" in bad.stderr


def test_papers_of_a_store_open_the_files_that_it_keeps_and_no_other_file_of_the_machine(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for each, text in demo_files().items():
        (tmp_path / each).write_text(text, encoding="utf-8")
    secret = tmp_path / "secret.csv"
    secret.write_text("no readings but a secret\n", encoding="utf-8")
    store = Store(tmp_path / "jobs.db")
    house = tmp_path / "house_with_garage.yaml"
    name = store.take_in(house.read_text("utf-8"), operation="first", who="Ann", origin="a file", folder=tmp_path)
    new = {"generation.own_csv": str(secret), "site.weather_file": "secret.csv"}
    store.change(name, new, base=store.read(name)[1], operation="second", who="Ann", origin="a test")

    pack = pack_of(store, name)
    assert pack.job.generation.own_csv == str(secret)
    with pack.beside() as (job, folder):
        assert (job.generation.own_csv, job.site.weather_file) == (None, None)
        assert [each.name for each in folder.iterdir()] == ["house_with_garage_meter.csv"]
    assert not isinstance(pack.forecast, str)
    assert b"secret" not in b"".join(archive_parts(pack))
    store.close()


def archive_parts(pack):
    with zipfile.ZipFile(io.BytesIO(archive(pack, "job.yaml", b"", ()))) as packed:
        names = [each for each in packed.namelist() if each.startswith("beside/")]
        assert names == ["beside/house_with_garage_meter.csv"]
        return [packed.read(each) for each in names]


def test_on_the_page_a_signed_job_prints_as_signed_once_it_is_signed(tmp_path):
    app = create_app(tmp_path / "jobs.db", "Ann")
    client, store = TestClient(app, base_url="http://localhost:8722"), app.state.site.store
    name = store.take_in(demo_files()[FINISHED], operation="first", who="Ann", origin="a file")
    confirm(store, name)
    client.post(f"/jobs/{name}/papers")
    before = client.get(f"/jobs/{name}/papers/tests.pdf").content
    signs(store, name)
    assert client.get(f"/jobs/{name}/papers/tests.pdf").status_code == 404  # made unsigned
    page = client.post(f"/jobs/{name}/papers").text
    after = client.get(f"/jobs/{name}/papers/tests.pdf").content
    assert "DRAFT" in words(before)
    assert "DRAFT" not in words(after)
    assert "Built by B. Specimen, signed" in words(after)
    assert re.findall(r"Draft: waits for ([^.]*)\.", page) == ["your own prices"] * 8  # what has a sum in it
