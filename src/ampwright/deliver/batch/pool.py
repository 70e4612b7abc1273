"""A batch on one machine: a pool of processes that one bad job never stops."""

from __future__ import annotations

import multiprocessing
import signal
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import dataclass

from ampwright.deliver.batch.results import Key, Results
from ampwright.deliver.batch.sources import Source
from ampwright.deliver.batch.steps import Made, Settings, Step, as_made, done, input_of
from ampwright.job.files import BadJobFile

AHEAD_COUNT = 4
Told = Callable[[int, int], None]


@dataclass(frozen=True)
class Task:
    """One step for one job as it stood."""

    source: Source
    name: str
    fingerprint: str
    step: Step
    settings: Settings

    @property
    def key(self) -> Key:
        """What its result is kept under."""
        return self.name, self.step.name, input_of(self.fingerprint, self.settings)


@dataclass(frozen=True, slots=True)
class Report:
    """What came of a batch: done now and before, and what went wrong with which job, which is tried again next time."""

    done_count: int
    before_count: int
    wrong: tuple[tuple[str, str], ...]


def tasks_of(source: Source, steps: Iterable[tuple[Step, Settings]]) -> list[Task]:
    """Every step for every job."""
    wanted = list(steps)
    return [Task(source, name, fingerprint, step, settings)
            for name, fingerprint in source.jobs() for step, settings in wanted]  # fmt: skip


def run(tasks: list[Task], results: Results, processes_count: int, told: Told) -> Report:
    """Do what has no result yet. Each result is kept as soon as it is there, so a run broken off goes on from there."""
    kept = results.keys()
    left = [each for each in tasks if each.key not in kept]
    wrong: list[tuple[str, str]] = []
    done_count = 0
    for number, (task, found) in enumerate(_outcomes(left, processes_count), start=1):
        if isinstance(found, Made):
            results.keep(task.key, found)
            done_count += 1
        else:
            wrong.append((f"{task.name}, {task.step.name}", found))
        told(number, len(left))
    return Report(done_count, len(tasks) - len(left), tuple(wrong))


def perform(task: Task) -> Made:
    """The result of one task; a job file that cannot be read is refused with its faults."""
    try:
        job, folder = task.source.read(task.name, task.fingerprint)
    except BadJobFile as bad:
        return Made(as_made({"refused": str(bad)}).body, refused=True)
    return done(task.step, job, folder, task.settings)


def _outcomes(tasks: list[Task], processes_count: int) -> Iterator[tuple[Task, Made | str]]:
    """What came of each, or why nothing did. Those in hand when a process dies are done alone, to find which it was."""
    left = deque(tasks)
    while left:
        suspects: list[Task] = []
        with _pool(processes_count) as pool:
            in_hand: dict[Future[Made], Task] = {}
            while (left or in_hand) and not suspects:
                while left and len(in_hand) < AHEAD_COUNT * processes_count:
                    task = left.popleft()
                    try:
                        in_hand[pool.submit(perform, task)] = task
                    except BrokenProcessPool:
                        suspects.append(task)
                        break
                finished = wait(in_hand, return_when=FIRST_COMPLETED).done if in_hand else set()
                for future in finished:
                    task = in_hand.pop(future)
                    if isinstance(future.exception(), BrokenProcessPool):
                        suspects.append(task)
                    else:
                        yield task, _outcome(future)
            suspects += in_hand.values() if suspects else ()
        for task in suspects:
            yield task, _alone(task)


def _alone(task: Task) -> Made | str:
    with _pool(1) as pool:
        return _outcome(pool.submit(perform, task))


def _outcome(future: Future[Made]) -> Made | str:
    wrong = future.exception()
    if isinstance(wrong, BrokenProcessPool):
        return "the process that worked on it died"
    return future.result() if wrong is None else f"{type(wrong).__name__}: {wrong}"


@contextmanager
def _pool(processes_count: int) -> Iterator[ProcessPoolExecutor]:
    """Broken off, it ends with what is worked on and begins nothing more."""
    pool = ProcessPoolExecutor(processes_count, multiprocessing.get_context("spawn"), initializer=_deaf)
    try:
        yield pool
    finally:
        pool.shutdown(cancel_futures=True)


def _deaf() -> None:
    """Ctrl-C is for the process that keeps the results."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
