"""A pool on one machine, two of its processes killed at random while they print: no pack is lost and none doubled."""

import contextlib
import os
import random
import signal
import time

import pytest
from killing import batch, pool_of
from packs import PRINTED, filled, shown

from ampwright.deliver.batch.results import Results
from ampwright.deliver.demo import FINISHED

KILLS_COUNT, MOST_RUNS_COUNT = 2, 4


def killed(place, asked, chance, at, task_s):
    """How many processes of the pool were killed, each somewhere in a task once so many results were there."""
    results, count = Results(place), 0
    while asked.poll() is None and count < len(at):
        there = pool_of(asked)
        if len(results.keys()) >= at[count] and there:
            time.sleep(chance.random() * task_s)
            with contextlib.suppress(ProcessLookupError):  # it had done its work; another is there for it
                os.kill(chance.choice(there), signal.SIGKILL)
                count += 1
        time.sleep(0.01)
    results.close()
    return count


def killed_at_random(place, tmp_path, jobs_count, seed, words=(), file="terrace.yaml", task_s=0.3):
    titles = filled(place, jobs_count, file)
    chance = random.Random(seed)
    at = sorted(chance.sample(range(jobs_count // 10, jobs_count * 8 // 10), KILLS_COUNT))
    words = ("--processes", "2", *words)
    with batch(place, tmp_path, *words) as asked:
        assert killed(place, asked, chance, at, task_s) == KILLS_COUNT
        _, errors = asked.communicate(timeout=6000)
    codes = [asked.returncode]
    while codes[-1] == 1 and len(codes) < MOST_RUNS_COUNT:  # what was killed twice broke off, and is done by the next
        with batch(place, tmp_path, *words) as again:
            _, errors = again.communicate(timeout=6000)
        codes.append(again.returncode)
    assert (codes[-1], errors) == (0, "")
    found, _ = shown(place)
    assert sorted(title for _, title in found) == sorted(titles)  # none lost, none doubled
    assert len({job for job, _ in found}) == jobs_count


@pytest.fixture
def kind():
    return "sqlite"


def test_two_processes_killed_at_random_while_they_judge(place, tmp_path):
    killed_at_random(place, tmp_path, jobs_count=60, seed=3, task_s=0.02)


@pytest.mark.drill
def test_two_processes_killed_at_random_while_they_print(place, tmp_path):
    killed_at_random(place, tmp_path, jobs_count=60, seed=5, words=PRINTED, file=FINISHED)


@pytest.mark.drill
def test_a_thousand_packs_and_two_processes_killed(place, tmp_path):
    killed_at_random(place, tmp_path, jobs_count=1000, seed=6, words=PRINTED, file=FINISHED)
