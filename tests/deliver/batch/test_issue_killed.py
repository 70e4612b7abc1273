"""Workers that issue papers, killed at random: no job lost, no paper doubled, and the list agrees with itself."""

import contextlib
import os
import random
import signal
import time

import pytest
from issued import USUAL, filled, prove, ready_of
from killing import batch, kill, pool_of, worker

from ampwright.deliver.batch.across import in_hand
from ampwright.deliver.store.ledger import Ledger
from ampwright.deliver.store.store import Store

ISSUING = ("--step", "issue", "--date", "2026-11-21", "--who", "Ann")
SMALL_COUNT, LARGE_COUNT, KILLS_COUNT = 12, 1000, 2


def rows_at(chance, titles):
    """After how many issued papers a worker is killed: somewhere in the first four fifths."""
    wanted_count = len(ready_of(titles)) * len(USUAL)
    return sorted(chance.sample(range(1, wanted_count * 4 // 5), KILLS_COUNT))


def killing(place, asked, at, kill_one):
    """Kill once so many papers are issued; how many were killed."""
    store = Store(place)
    count = 0
    while asked.poll() is None and count < len(at):
        if len(Ledger(store.engine).rows()) >= at[count] and kill_one():
            count += 1
        time.sleep(0.01)
    store.close()
    return count


def across(place, tmp_path, jobs_count, seed):
    titles = filled(place, jobs_count)
    chance = random.Random(seed)
    at = rows_at(chance, titles)
    workers = [worker(place), worker(place)]

    def kill_one():
        time.sleep(chance.random() * 0.3)
        victim = workers.pop(chance.randrange(2))
        kill(victim.pid)
        victim.wait()
        workers.append(worker(place))
        return True

    try:
        with batch(place, tmp_path, "--across", *ISSUING) as asked:
            killed_count = killing(place, asked, at, kill_one)
            out, errors = asked.communicate(timeout=6000)
    finally:
        for each in workers:
            kill(each.pid)
            each.wait()
    assert killed_count == KILLS_COUNT
    assert asked.returncode == 2, errors  # some are not signed
    assert f"papers issued: {len(ready_of(titles)) * len(USUAL)}\n" in out
    assert in_hand(place) == set()
    prove(place, titles)


def on_one_machine(place, tmp_path, jobs_count, seed):
    """Processes of the pool are killed, then the whole batch; it is run again until nothing broke off."""
    titles = filled(place, jobs_count)
    chance = random.Random(seed)
    at = rows_at(chance, titles)

    def kill_one():
        time.sleep(chance.random() * 0.3)
        there = pool_of(first)
        if there:
            with contextlib.suppress(ProcessLookupError):
                os.kill(chance.choice(there), signal.SIGKILL)
                return True
        return False

    def kill_all():
        kill(first.pid)
        return True

    words = ("--processes", "2", *ISSUING)
    with batch(place, tmp_path, *words) as first:
        assert killing(place, first, at[:1], kill_one) == 1
        assert killing(place, first, at[1:], kill_all) == 1
        first.communicate(timeout=60)
    assert first.returncode == -signal.SIGKILL
    codes = [1]
    while codes[-1] == 1 and len(codes) < 5:
        with batch(place, tmp_path, *words) as again:
            out, errors = again.communicate(timeout=6000)
        codes.append(again.returncode)
    assert codes[-1] == 2, errors
    assert f"papers issued: {len(ready_of(titles)) * len(USUAL)}\n" in out
    prove(place, titles)


DRILLS = {"sqlite": on_one_machine, "postgresql": across}


@pytest.mark.drill
def test_two_workers_killed_while_they_issue(place, kind, tmp_path):
    DRILLS[kind](place, tmp_path, SMALL_COUNT, seed=7)


@pytest.mark.drill
def test_a_thousand_packs_issued_and_two_workers_killed(place, kind, tmp_path):
    DRILLS[kind](place, tmp_path, LARGE_COUNT, seed=8)
