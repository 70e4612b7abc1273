"""Papers issued in a batch: each once for a job, and a job that is not ready says what holds it."""

import json
import pickle

import pytest
from command import run as command
from issued import USUAL, filled, prove, ready_of
from issuing import DAY, confirm, signs

from ampwright.deliver.batch.pool import run, tasks_of
from ampwright.deliver.batch.results import Results
from ampwright.deliver.batch.sources import Folder, Kept
from ampwright.deliver.batch.steps import ISSUE
from ampwright.deliver.documents.draft import Gate, Reason
from ampwright.deliver.issuing import NotReady, issue
from ampwright.deliver.store.firms import FirmStore
from ampwright.deliver.store.ledger import Ledger
from ampwright.deliver.store.people import People
from ampwright.deliver.store.store import Store

PASSWORD = "three words and a number 5"
TOLD = {"day": DAY.isoformat(), "who": "Ann"}


@pytest.fixture
def results(place):
    made = Results(place)
    yield made
    made.close()


@pytest.fixture
def store(place):
    made = Store(place)
    yield made
    made.close()


def batch(place, results, processes_count=1, **own):
    tasks = tasks_of(Kept(place), [(ISSUE, {**ISSUE.settings, **TOLD, **own})])
    return run(tasks, results, processes_count, lambda done, count: None)


def told(results):
    return [(key[0], made.refused, json.loads(made.body)) for key, made in results.read(results.keys())]


def test_every_ready_job_has_each_paper_once_and_the_others_say_what_holds_them(place, results):
    titles = filled(place, 3)
    report = batch(place, results, processes_count=2)
    assert (report.done_count, report.before_count, report.wrong) == (3, 0, ())
    prove(place, titles)
    held = next(says for _, refused, says in told(results) if refused)
    assert {each["gate"] for each in held["not_ready"]} == {"person"}
    assert all(each["says"].startswith("Not signed: ") for each in held["not_ready"])


def test_another_day_issues_nothing_again_and_a_signature_lets_the_held_one_through(place, results, store):
    titles = filled(place, 2)
    batch(place, results)
    later = batch(place, results, day="2026-12-24", who="Bob")
    assert (later.done_count, later.before_count) == (0, 2)

    (held,) = set(titles) - ready_of(titles)
    signs(store, held)
    after = batch(place, results, day="2026-12-24", who="Bob")
    assert (after.done_count, after.before_count) == (1, 1)
    rows = Ledger(store.engine).rows()
    assert len(rows) == 2 * len(USUAL)
    assert {(row.job, row.day, row.who) for row in rows} == {
        (held, "2026-12-24", "Bob"), *((name, DAY.isoformat(), "Ann") for name in ready_of(titles))}  # fmt: skip


def test_what_a_worker_issued_that_died_before_it_told_is_told_by_the_next(place, results, store):
    titles = filled(place, 2)
    (ready,) = ready_of(titles)
    by_the_dead = issue(store, ready, USUAL[:2], DAY, "Ann")
    batch(place, results)
    ((_, _, says),) = [each for each in told(results) if each[0] == ready]
    assert [each["number"] for each in says["issued"]][:2] == [row.label for row in by_the_dead]
    prove(place, titles)


def test_a_job_that_was_changed_after_the_batch_began_waits_for_the_next(place, results, store):
    titles = filled(place, 2)
    (ready,) = ready_of(titles)
    tasks = tasks_of(Kept(place), [(ISSUE, {**ISSUE.settings, **TOLD})])
    store.change(ready, {"dates.enquired": "2026-05-02"}, base=store.read(ready)[1], operation="later", who="Ann",
                 origin="here")  # fmt: skip
    run(tasks, results, 1, lambda done, count: None)
    ((_, refused, says),) = [each for each in told(results) if each[0] == ready]
    assert refused
    assert "changed after this batch" in says["refused"]
    assert Ledger(store.engine).rows() == ()
    assert batch(place, results).done_count == 1
    assert len(Ledger(store.engine).rows()) == len(USUAL)


def test_other_papers_are_another_result(place, results, store):
    filled(place, 2)
    batch(place, results, papers=["labels"])
    batch(place, results)
    # labels wait for no signature, so the job that nobody signed has them too
    assert sorted(row.kind for row in Ledger(store.engine).rows()) == sorted(("labels", "labels", *USUAL))


def test_where_there_are_accounts_a_paper_is_its_firms_own(place, results, store):
    titles = filled(place, 2)
    owner = People(store.engine).add(firm="A firm", login="ann", name="Ann", role="owner", password=PASSWORD)
    (ready,) = ready_of(titles)
    at_a_desk = FirmStore(store, owner.firm)
    confirm(at_a_desk, ready)
    batch(place, results)
    rows = Ledger(store.engine).rows()
    assert [row.firm for row in rows] == [owner.firm] * len(USUAL)
    assert issue(at_a_desk, ready, USUAL, DAY, "Ann") == rows


def test_why_nothing_is_issued_gets_from_one_process_to_another():
    wrong = NotReady((Reason(Gate.PERSON, "Not signed."), Reason(Gate.TEST, "Test missing.")), ("quote",))
    back = pickle.loads(pickle.dumps(wrong))
    assert (type(back), back.reasons, back.ready) == (NotReady, wrong.reasons, ("quote",))
    assert str(back) == str(wrong)


def test_the_jobs_of_a_folder_are_taken_in_first(tmp_path):
    with pytest.raises(ValueError, match="not in the store"):
        tasks_of(Folder(tmp_path), [(ISSUE, ISSUE.settings)])
    done = command("batch", ".", "--step", "issue", cwd=tmp_path)
    assert done.returncode == 3
    assert "take-in" in done.stderr
    assert "There is no paper nought" in command("batch", "--step", "issue", "--paper", "nought", cwd=tmp_path).stderr


def test_by_command(tmp_path):
    titles = filled(tmp_path / "ampwright.db", 3)
    words = ("batch", "--step", "issue", "--date", "2026-11-21", "--who", "Ann", "--processes", "2", "--out", "out")
    done = command(*words, cwd=tmp_path)
    assert done.stdout == "3 done now, 0 done before, 0 broke off\njobs held by: person: 1\npapers issued: 6\n"
    assert (done.returncode, done.stderr) == (2, "1 refused; each result says why\n")
    prove(tmp_path / "ampwright.db", titles)
    for name in ready_of(titles):
        found = json.loads((tmp_path / "out" / f"{name}.issue.json").read_text("utf-8"))
        assert [each["paper"] for each in found["issued"]] == list(USUAL)
    again = command(*words, cwd=tmp_path)
    assert again.stdout.startswith("0 done now, 3 done before, 0 broke off\n")
    assert command("issued", "--check", cwd=tmp_path).stdout.startswith("6 rows, and each agrees")
