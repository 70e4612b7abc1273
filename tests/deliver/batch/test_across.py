"""A batch across machines: workers killed at random lose no job and double none."""

import json
import random
import re
import subprocess
import sys
import time

import pytest
import sqlalchemy as sql
from killing import batch, kill, worker
from packs import PRINTED, filled, shown

from ampwright.assess.assessment import assess
from ampwright.deliver.batch.across import in_hand, make_queue, put_in_queue
from ampwright.deliver.batch.pool import tasks_of
from ampwright.deliver.batch.results import Results
from ampwright.deliver.batch.sources import Kept
from ampwright.deliver.batch.steps import STEPS
from ampwright.deliver.demo import FINISHED, demo_files
from ampwright.deliver.machine import as_json
from ampwright.deliver.store.databases import raw
from ampwright.deliver.store.store import Store
from ampwright.job.files import parse

JUDGING = [(STEPS["judge"], STEPS["judge"].settings)]


@pytest.fixture
def kind():
    return "postgresql"


@pytest.fixture
def start(place):
    """Starts workers in processes of their own, and ends those that a test leaves."""
    started = []

    def one(code=""):
        started.append(worker(place, code))
        return started[-1]

    yield one
    for each in started:
        if each.poll() is None:
            each.kill()
        each.wait()


def killed_at_random(place, start, tmp_path, jobs_count, kills_count, seed, words=(), file="terrace.yaml"):
    titles = filled(place, jobs_count, file)
    chance = random.Random(seed)
    at = sorted(chance.sample(range(jobs_count // 10, jobs_count * 8 // 10), kills_count))
    with batch(place, tmp_path, "--across", *words) as asked:
        results = Results(place)
        workers = [start(), start()]
        killed = 0
        while asked.poll() is None and killed < kills_count:
            if len(results.keys()) >= at[killed]:
                time.sleep(chance.random() * 0.05)
                victim = workers.pop(chance.randrange(2))
                kill(victim.pid)
                victim.wait()
                workers.append(start())
                killed += 1
            time.sleep(0.01)
        out, errors = asked.communicate(timeout=6000)
        results.close()
    found, wrote = shown(place)
    assert (asked.returncode, errors) == (0, "")
    assert f"{jobs_count} queued" in out
    assert killed == kills_count
    assert sorted(title for _, title in found) == sorted(titles)  # none lost, none doubled
    assert len({job for job, _ in found}) == jobs_count
    assert len(wrote) >= 2
    assert in_hand(place) == set()


def test_two_workers_killed_at_random(place, start, tmp_path):
    killed_at_random(place, start, tmp_path, jobs_count=60, kills_count=2, seed=3)


@pytest.mark.drill
def test_a_thousand_jobs_and_twenty_workers_killed(place, start, tmp_path):
    killed_at_random(place, start, tmp_path, jobs_count=1000, kills_count=20, seed=4)


@pytest.mark.drill
def test_two_workers_killed_at_random_while_they_print(place, start, tmp_path):
    killed_at_random(place, start, tmp_path, jobs_count=20, kills_count=2, seed=5, words=PRINTED, file=FINISHED)


@pytest.mark.drill
def test_a_thousand_packs_and_two_workers_killed(place, start, tmp_path):
    killed_at_random(place, start, tmp_path, jobs_count=1000, kills_count=2, seed=6, words=PRINTED, file=FINISHED)


def test_a_job_in_the_hand_of_a_dead_worker_is_done_by_another(place, start):
    """The worker is dead before it begins: what it had taken is taken from it."""
    filled(place, 1)
    make_queue(place)
    (task,) = tasks_of(Kept(place), JUDGING)
    assert put_in_queue(place, [task], set()) == 1
    opened = raw(place)
    with opened.begin() as link:  # as a worker leaves it that was killed between taking the job and its result
        worker = link.scalar(sql.text("SELECT worker_id FROM procrastinate_register_worker_v1()"))
        link.execute(sql.text("UPDATE procrastinate_workers SET last_heartbeat = now() - interval '1 hour'"))
        taken = link.scalar(sql.text("SELECT id FROM procrastinate_fetch_job_v2(NULL, :worker)"), {"worker": worker})
        assert taken is not None
    start()
    results = Results(place)
    waited_until = time.monotonic() + 60
    while not results.has(task.key) and time.monotonic() < waited_until:
        time.sleep(0.1)
    ((_, made),) = results.read({task.key})
    title = re.sub("(?m)^title: .*$", "title: job 0", demo_files()["terrace.yaml"])
    assert json.loads(made.body) == json.loads(json.dumps(as_json(assess(parse(title)))))
    results.close()
    opened.dispose()


BREAKS = """
import dataclasses, sys
from ampwright.deliver.batch.steps import STEPS
judge = STEPS["judge"]
def breaks(job, folder, settings):
    if job.title == "job 1":
        raise ZeroDivisionError("a mistake in a step")
    return judge.make(job, folder, settings)
STEPS["judge"] = dataclasses.replace(judge, make=breaks)
from ampwright.deliver.cli import main
main()
"""


def test_what_every_try_breaks_off_on_is_told_and_tried_again_by_the_next_batch(place, start, tmp_path):
    filled(place, 3)
    breaking = start(code=BREAKS)
    with batch(place, tmp_path, "--across") as asked:
        _, errors = asked.communicate(timeout=120)
    bad = tasks_of(Kept(place), JUDGING)[1]
    assert asked.returncode == 1
    assert errors == f"{bad.name}, judge: every worker that tried broke off; its log says why\n"
    assert len(shown(place)[0]) == 2

    breaking.kill()
    start()
    with batch(place, tmp_path, "--across") as again:
        out, _ = again.communicate(timeout=120)
    assert again.returncode == 0
    assert "1 queued, 0 queued before, 2 done before" in out
    assert len(shown(place)[0]) == 3


def test_what_is_queued_is_not_queued_twice(place):
    filled(place, 3)
    make_queue(place)
    make_queue(place)
    tasks = tasks_of(Kept(place), JUDGING)
    assert put_in_queue(place, tasks, {tasks[0].key}) == 2
    assert put_in_queue(place, tasks, set()) == 1
    assert in_hand(place) == {task.key for task in tasks}


def test_a_batch_across_machines_needs_their_database(tmp_path):
    for words in (["batch", "--across"], ["work"]):
        done = subprocess.run([sys.executable, "-m", "ampwright", *words], cwd=tmp_path, capture_output=True, text=True,
                              check=False)  # fmt: skip
        assert done.returncode == 3
        assert "PostgreSQL" in done.stderr


def test_a_folder_is_brought_in_once_and_a_bad_file_stops_nothing(place, tmp_path):
    folder = tmp_path / "jobs"
    folder.mkdir()
    (folder / "one.yaml").write_text(demo_files()["terrace.yaml"], encoding="utf-8")
    (folder / "bad.yaml").write_bytes(b"\xff\xfe")
    for _ in range(2):
        done = subprocess.run([sys.executable, "-m", "ampwright", "take-in", str(folder), "--store", place],
                              cwd=tmp_path, capture_output=True, text=True, check=False)  # fmt: skip
        assert (done.stdout, done.returncode) == ("1 jobs are in the store, 1 could not be read\n", 3)
    store = Store(place)
    assert len(store.names()) == 1
    store.close()
