"""A batch on one machine: a pool of processes that one bad job never stops."""

from __future__ import annotations

import multiprocessing
import signal
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import dataclass

from ampwright.deliver.batch.results import Key, Results
from ampwright.deliver.batch.sources import Kept, Source, head_of
from ampwright.deliver.batch.steps import Made, Refused, Settings, Step, StoreStep, input_of, refusal
from ampwright.job.files import BadJobFile

AHEAD_COUNT = 4
Told = Callable[[int, int], None]


class BrokeOff(Exception):
    """A step broke off; as text, with what."""


@dataclass(frozen=True)
class Task:
    """One step for one job as it stood."""

    source: Source
    name: str
    fingerprint: str
    step: Step | StoreStep
    settings: Settings

    @property
    def key(self) -> Key:
        """What its result is kept under."""
        beside = self.step.beside if isinstance(self.step, StoreStep) else ()
        told = {name: value for name, value in self.settings.items() if name not in beside}
        return self.name, self.step.name, input_of(self.fingerprint, told)


@dataclass(frozen=True, slots=True)
class Report:
    """What came of a batch: done now and before, and what went wrong with which job, which is tried again next time."""

    done_count: int
    before_count: int
    wrong: tuple[tuple[str, str], ...]


def tasks_of(source: Source, steps: Iterable[tuple[Step | StoreStep, Settings]]) -> list[Task]:
    """Every step for every job. Raises ValueError for a step on the store where the jobs are in a folder."""
    wanted = list(steps)
    marks: Mapping[str, str] = {}
    if in_store := [step.name for step, _ in wanted if isinstance(step, StoreStep)]:
        if not isinstance(source, Kept):
            raise ValueError(f"{', '.join(in_store)}: the jobs of a folder are not in the store")
        marks = source.trusted()
    return [Task(source, name, marks.get(name, fingerprint) if isinstance(step, StoreStep) else fingerprint,
                 step, settings)
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
    """The result of one task. A refusal is one, with its reason; a job file that cannot be read, with its faults."""
    source, step = task.source, task.step
    try:
        if isinstance(step, StoreStep):
            assert isinstance(source, Kept)
            return step.make(source.place, task.name, head_of(task.fingerprint), task.settings)
        job, folder = source.read(task.name, task.fingerprint)
        return step.make(job, folder, task.settings)
    except (BadJobFile, Refused) as bad:
        return refusal(str(bad))


def tried(task: Task) -> Made:
    """The result of one task, for another process: not every exception gets there, so it goes as words in BrokeOff."""
    try:
        return perform(task)
    except Exception as wrong:
        raise BrokeOff(f"{type(wrong).__name__}: {wrong}") from wrong


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
                        in_hand[pool.submit(tried, task)] = task
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
        return _outcome(pool.submit(tried, task))


def _outcome(future: Future[Made]) -> Made | str:
    wrong = future.exception()
    if isinstance(wrong, BrokenProcessPool):
        return "the process that worked on it died"
    return future.result() if wrong is None else str(wrong)


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
