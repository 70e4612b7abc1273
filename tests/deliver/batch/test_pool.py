"""A batch on one machine: every job has its result, whatever one of them does."""

import io
import json
import os
import re
import signal
import sqlite3
import subprocess
import sys
import time
import zipfile

import pypdfium2
import pytest
from issuing import confirm, signs
from own_prices import own_text
from steps import PRINTING

from ampwright.assess.assessment import assess
from ampwright.deliver.batch.pool import run, tasks_of
from ampwright.deliver.batch.results import Results
from ampwright.deliver.batch.sources import Folder, Kept
from ampwright.deliver.batch.steps import ISSUE, STEPS, Made, step_of
from ampwright.deliver.commands_batch import NAMES
from ampwright.deliver.demo import FINISHED, demo_files
from ampwright.deliver.documents.book import PAPERS
from ampwright.deliver.machine import as_json
from ampwright.deliver.store.store import Store
from ampwright.job.files import dump, parse
from ampwright.job.record import Job


def folder_of(tmp_path, *titles):
    folder = tmp_path / "jobs"
    folder.mkdir()
    for number, title in enumerate(titles):
        (folder / f"{number:02}.yaml").write_text(dump(Job(title=title)), encoding="utf-8")
    return folder


def bodies(results):
    return {key[0]: made.body.decode() for key, made in results.read(results.keys())}


@pytest.fixture
def results(place):
    made = Results(place)
    yield made
    made.close()


def test_one_bad_job_never_stops_the_rest(tmp_path, results):
    folder = folder_of(tmp_path, "one", "breaks", "two", "dies", "wants", "three", "says more")
    (folder / "bad.yaml").write_text("title: [", encoding="utf-8")
    told = []
    report = run(tasks_of(Folder(folder), [(PRINTING, {"copies": 2})]), results, 2,
                 lambda done, count: told.append((done, count)))  # fmt: skip

    assert dict(report.wrong) == {"01.yaml, print": "ZeroDivisionError: a mistake in a step",
                                  "03.yaml, print": "the process that worked on it died",
                                  "06.yaml, print": "Two: a mistake that does not pickle"}  # fmt: skip
    found = bodies(results)
    assert {name: text for name, text in found.items() if "refused" not in text} == {
        "00.yaml": "one 2", "02.yaml": "two 2", "05.yaml": "three 2"}  # fmt: skip
    assert json.loads(found["04.yaml"]) == {"refused": "the title is wanting"}
    assert "bad.yaml" in json.loads(found["bad.yaml"])["refused"]
    assert told == [(number, 8) for number in range(1, 9)]
    assert report.done_count == 5


def test_the_command_knows_every_step():
    assert (*STEPS, ISSUE.name) == NAMES


def test_a_second_run_does_what_changed_and_what_broke_off_and_nothing_else(tmp_path, results):
    folder = folder_of(tmp_path, "one", "two", "breaks")
    wanted = [(PRINTING, {"copies": 1})]
    run(tasks_of(Folder(folder), wanted), results, 1, lambda done, count: None)
    (folder / "01.yaml").write_text(dump(Job(title="two, longer")), encoding="utf-8")
    (folder / "02.yaml").write_text(dump(Job(title="mended")), encoding="utf-8")
    report = run(tasks_of(Folder(folder), wanted), results, 1, lambda done, count: None)

    assert (report.done_count, report.before_count, report.wrong) == (2, 1, ())
    assert len(results.keys()) == 4
    other = run(tasks_of(Folder(folder), [(PRINTING, {"copies": 3})]), results, 1, lambda done, count: None)
    assert other.done_count == 3


def test_a_file_beside_a_job_that_names_it_is_part_of_what_went_in(tmp_path):
    folder = folder_of(tmp_path, "one", "two")
    (folder / "00.yaml").write_text("version: 2\ninstallation: {half_hourly: {csv: meter.csv}}\n", encoding="utf-8")
    (folder / "meter.csv").write_text("first", encoding="utf-8")
    before = dict(Folder(folder).jobs())
    (folder / "meter.csv").write_text("second", encoding="utf-8")
    after = dict(Folder(folder).jobs())
    assert before["00.yaml"] != after["00.yaml"]
    assert before["01.yaml"] == after["01.yaml"]


def test_of_two_results_of_one_task_the_first_stays(results):
    key = ("a job", "print", "what went in")
    assert results.keep(key, Made(b"first"))
    assert not results.keep(key, Made(b"second"))
    assert [made.body for _, made in results.read({key})] == [b"first"]
    assert results.has(key)


def test_the_jobs_of_a_store_are_judged_as_they_stand(place, results):
    store = Store(place)
    text = demo_files()["terrace.yaml"]
    name = store.take_in(text, operation="first", who="Owner", origin="a file")
    assert store.heads() == {name: store.read(name)[1]}
    wanted = [(STEPS["judge"], STEPS["judge"].settings)]
    run(tasks_of(Kept(place), wanted), results, 1, lambda done, count: None)
    ((key, made),) = results.read(results.keys())
    assert key[:2] == (name, "judge")
    assert json.loads(made.body) == json.loads(json.dumps(as_json(assess(parse(text)))))

    store.change(name, {"supply.looped": True}, operation="next", base=store.read(name)[1], who="Ann", origin="here")
    assert run(tasks_of(Kept(place), wanted), results, 1, lambda done, count: None).done_count == 1
    store.close()


def command(*words, cwd):
    return [sys.executable, "-m", "ampwright", "batch", *words], {"cwd": cwd, "capture_output": True, "text": True}


def test_by_command_with_a_forecast_and_files(tmp_path):
    folder = folder_of(tmp_path, "no panels")
    (folder / "house.yaml").write_text(demo_files()["house_with_garage.yaml"], encoding="utf-8")
    (folder / "house_with_garage_meter.csv").write_text(demo_files()["house_with_garage_meter.csv"], encoding="utf-8")
    words, how = command("jobs", "--step", "judge", "--step", "forecast", "--years", "1", "--out", "out", cwd=tmp_path)
    done = subprocess.run(words, check=False, **how)

    assert done.stdout == "4 done now, 0 done before, 0 broke off\n", done.stderr
    assert (done.returncode, done.stderr) == (2, "1 refused; each result says why\n")
    assert json.loads((tmp_path / "out" / "house.judge.json").read_text())["format"] == 1
    assert json.loads((tmp_path / "out" / "house.forecast.json").read_text())["years"] == 1
    assert "cannot be forecast" in json.loads((tmp_path / "out" / "00.forecast.json").read_text())["refused"]
    assert subprocess.run(words, check=False, **how).stdout == "0 done now, 4 done before, 0 broke off\n"


def test_a_run_that_was_killed_goes_on_where_it_was(tmp_path):
    folder = folder_of(tmp_path, *[f"job {number}" for number in range(30)])
    words, how = command(str(folder), "--processes", "1", cwd=tmp_path)
    with subprocess.Popen(words, cwd=tmp_path, start_new_session=True) as first:
        kept_count = 0
        while kept_count < 3 and first.poll() is None:
            time.sleep(0.02)
            if (tmp_path / "ampwright.db").exists():
                with sqlite3.connect(tmp_path / "ampwright.db") as link:
                    there = link.execute("SELECT count(*) FROM sqlite_master WHERE name = 'result'").fetchone()[0]
                    kept_count = link.execute("SELECT count(*) FROM result").fetchone()[0] if there else 0
        os.killpg(first.pid, signal.SIGKILL)
    again = subprocess.run(words, check=False, **how)

    now, before = (int(word) for word in again.stdout.split() if word.isdecimal() and word != "0")
    assert now + before == 30
    assert before >= kept_count >= 3


def test_papers_are_a_step_whose_result_is_the_archive(tmp_path, results):
    folder = folder_of(tmp_path, "no date")
    for number in (1, 2):
        text = demo_files()[FINISHED].replace("Rowan Bungalow", f"House {number}")
        (folder / f"{number:02}.yaml").write_text(text, encoding="utf-8")
    (folder / "D-004_board.jpg").write_bytes(b"a board")
    run(tasks_of(Folder(folder), [(STEPS["papers"], STEPS["papers"].settings)]), results, 1, lambda done, count: None)
    made = {key[0]: made for key, made in results.read(results.keys())}

    assert "no date" in json.loads(made["00.yaml"].body)["refused"]
    for number in (1, 2):
        of = made[f"{number:02}.yaml"]
        assert (of.media, of.refused) == ("application/zip", False)
        with zipfile.ZipFile(io.BytesIO(of.body)) as packed:
            assert packed.read("beside/D-004_board.jpg") == b"a board"
            assert f"House {number}: charge point" in packed.read("job.yaml").decode()
            assert {f"papers/job-{name}.pdf" for name in PAPERS} <= set(packed.namelist())


def test_papers_of_a_store_are_printed_as_signed_and_confirmed_and_anew_once_they_are(place, results):
    store = Store(place)
    name = store.take_in(demo_files()[FINISHED], operation="first", who="Ann", origin="a file")
    wanted = [(step_of("papers", in_store=True), STEPS["papers"].settings)]

    def printed():
        report = run(tasks_of(Kept(place), wanted), results, 1, lambda done, count: None)
        bodies_now = [made.body for _, made in results.read(results.keys())]
        with zipfile.ZipFile(io.BytesIO(bodies_now[-1])) as packed:
            pages = pypdfium2.PdfDocument(packed.read("papers/job-tests.pdf"))
            return report.done_count, "DRAFT" in pages[0].get_textpage().get_text_range()

    assert printed() == (1, True)
    confirm(store, name)
    assert printed() == (1, True)
    signs(store, name)
    assert printed() == (1, False)
    assert printed() == (0, False)
    store.close()


def test_papers_are_priced_by_ones_own_catalogue_and_book(tmp_path):
    folder = tmp_path / "jobs"
    folder.mkdir()
    (folder / "house.yaml").write_text(demo_files()[FINISHED], encoding="utf-8")
    for name in ("catalogue", "price_book"):
        (tmp_path / f"{name}.csv").write_text(own_text(name), encoding="utf-8-sig")
    priced = ("--catalogue", "catalogue.csv", "--prices", "price_book.csv")
    words, how = command("jobs", "--step", "papers", *priced, "--out", "out", cwd=tmp_path)
    done = subprocess.run(words, check=False, **how)
    assert (done.stdout, done.stderr) == ("1 done now, 0 done before, 0 broke off\n", "")
    with zipfile.ZipFile(tmp_path / "out" / "house.papers.zip") as packed:
        quote = " ".join(page.get_textpage().get_text_range()
                         for page in pypdfium2.PdfDocument(packed.read("papers/job-quote.pdf")))  # fmt: skip
    amounts = [float(each.replace(",", "")) for each in re.findall(r"£ ?(\d[\d,]*)", quote)]
    assert 90_520 <= max(amounts) < 200_000  # the charge point alone is 9,052,000 pence
    assert "a book of our own" in " ".join(quote.split())
    again = subprocess.run([each for each in words if each not in priced], check=False, **how)
    assert again.stdout.startswith("1 done now, 0 done before")

    (tmp_path / "catalogue.csv").write_text("axis,id\ncable,x\n", encoding="utf-8")
    bad = subprocess.run(words, check=False, **how)
    assert (bad.returncode, bad.stdout) == (3, "")
    assert "catalogue.csv" in bad.stderr
