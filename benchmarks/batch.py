"""What the batch costs beside the judging itself, as ratios measured in one run.

The same jobs are judged by a plain loop that keeps nothing, and by the batch, each result kept on the disk, with one
process and with one a core. The start of the processes is in it.
"""

from __future__ import annotations

import json
import os
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from ampwright.assess.assessment import assess
from ampwright.deliver.batch.pool import run, tasks_of
from ampwright.deliver.batch.results import Results
from ampwright.deliver.batch.sources import Folder
from ampwright.deliver.batch.steps import STEPS
from ampwright.deliver.demo import demo_files
from ampwright.deliver.machine import as_json
from ampwright.job.files import dump, load, parse

JOBS_COUNT = 400


def timed_s(work: Callable[[], object]) -> float:
    """Seconds of one call."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def plain(folder: Path) -> None:
    """Read, judge and write as JSON, one job after the other."""
    for file in sorted(folder.glob("*.yaml")):
        json.dumps(as_json(assess(load(file))))


def batched(folder: Path, place: Path, processes_count: int) -> None:
    """The same by the batch. Raises SystemExit where a result is wanting."""
    results = Results(place)
    tasks = tasks_of(Folder(folder), [(STEPS["judge"], STEPS["judge"].settings)])
    run(tasks, results, processes_count, lambda done, count: None)
    if len(results.keys()) != JOBS_COUNT:
        raise SystemExit(f"{len(results.keys())} results of {JOBS_COUNT}")
    results.close()


def main() -> None:
    """Print the table."""
    job = parse(demo_files()["terrace.yaml"])
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "jobs"
        folder.mkdir()
        for number in range(JOBS_COUNT):
            text = dump(replace(job, title=f"job {number}"))
            (folder / f"{number:04}.yaml").write_text(text, encoding="utf-8")
        plain_s = timed_s(lambda: plain(folder))
        print(f"a plain loop     {plain_s:6.2f} s, {JOBS_COUNT / plain_s:6.1f} jobs a second")
        for count in sorted({1, os.cpu_count() or 1}):
            taken_s = timed_s(lambda count=count: batched(folder, Path(name) / f"{count}.db", count))  # type: ignore[misc]
            print(f"{count:2} processes     {taken_s:6.2f} s = {taken_s / plain_s:5.2f} of the plain loop")


if __name__ == "__main__":
    main()
