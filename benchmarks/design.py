"""How long the search for a design takes and how much memory, as ratios measured in one run.

Each job is searched in a process of its own with the catalogue shipped. Cold: the first `propose` there; warm: the
median of three more. Brute force: a sample drawn at random from the same combinations, each built and judged by the
whole book, as `assess` judges it; all of them would take years, so their time is extrapolated from the sample.
Peak memory is that of the process after the cold search, before anything else was asked of it.
"""

from __future__ import annotations

import json
import random
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from ampwright.assess.catalogue import read_catalogue
from ampwright.assess.design import Proposal, propose
from ampwright.deliver.demo import write_demo
from ampwright.job.files import load
from ampwright.rules.gb.book import GB

NAMES = ("house_with_garage.yaml", "farmhouse.yaml")
WANTED_S, WANTED_MB, WANTED_COUNT = 2.0, 300.0, 100_000
SAMPLE_COUNT, SEED, WARM_COUNT = 200, 1, 3
YEAR_S = 365.25 * 24 * 3600


def peak_mb() -> float:
    """The most memory that this process has held, in millions of bytes (Linux counts in kibibytes)."""
    unit = 1 if sys.platform == "darwin" else 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit / 1e6


def timed_s(work: Callable[[], object]) -> float:
    """Seconds of one call."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def judged_s(proposal: Proposal) -> float:
    """Mean seconds to build and judge one combination drawn at random."""
    space, routes, draw = proposal.search.space, proposal.search.routes, random.Random(SEED)
    sample = [([draw.choice(space.choices[axis]) for axis in space.axes], draw.randrange(len(routes.cells)))
              for _ in range(SAMPLE_COUNT)]  # fmt: skip
    return statistics.mean(timed_s(lambda each=each: GB.judge(space.designed(each[0], routes.of(each[1]))))  # type: ignore[misc]
                           for each in sample)  # fmt: skip


def measured(path: Path) -> dict[str, Any]:
    """All the figures of one job, in this process."""
    start = time.perf_counter()
    job, catalogue = load(path), read_catalogue()
    read_s = time.perf_counter() - start
    start, cpu_start_s = time.perf_counter(), time.process_time()
    proposal = propose(job, catalogue)
    cold_s, cold_cpu_s, held_mb = time.perf_counter() - start, time.process_time() - cpu_start_s, peak_mb()
    warm_s = statistics.median(timed_s(lambda: propose(job, catalogue)) for _ in range(WARM_COUNT))
    return {"read_s": read_s, "cold_s": cold_s, "cold_cpu_s": cold_cpu_s, "warm_s": warm_s, "peak_mb": held_mb,
            "count": proposal.count, "asked_count": proposal.judged_count, "front_count": len(proposal.front),
            "judged_s": judged_s(proposal)}  # fmt: skip


def table(name: str, got: dict[str, Any]) -> None:
    """Print the figures of one job."""
    brute_s = got["judged_s"] * got["count"]
    print(f"{name}: {got['count']:,} combinations = {got['count'] / WANTED_COUNT:,.0f} x the 100,000 asked for; "
          f"{got['front_count']} designs on the front")  # fmt: skip
    for which in ("cold", "warm"):
        took_s = got[f"{which}_s"]
        print(f"  {which:<22}{took_s:8.2f} s   = {took_s / WANTED_S:5.2f} of 2 s;"
              f"  brute force (extrapolated) = {brute_s / took_s:.1e} x as long")  # fmt: skip
    print(f"  cold, on the processor{got['cold_cpu_s']:8.2f} s   = {got['cold_cpu_s'] / WANTED_S:5.2f} of 2 s"
          " (the rest of the cold time other programs had)")  # fmt: skip
    print(f"  peak memory           {got['peak_mb']:8.0f} MB  = {got['peak_mb'] / WANTED_MB:5.2f} of 300 MB")
    print(f"  reading job, catalogue{got['read_s']:8.2f} s   = {got['read_s'] / got['cold_s']:5.2f} of the cold search")
    print(f"  questions to a rule   {got['asked_count']:8,}     against {got['count'] * len(GB.regulations):.1e}"
          " that brute force would ask")  # fmt: skip
    print(f"  brute force           {got['judged_s'] * 1000:8.2f} ms  a combination, mean of {SAMPLE_COUNT} drawn at "
          f"random; extrapolated, not run: {brute_s / YEAR_S:.2g} years for all")  # fmt: skip


def main() -> None:
    """Print the table; with a path, print the figures of that job alone, as JSON."""
    if len(sys.argv) > 1:
        print(json.dumps(measured(Path(sys.argv[1]))))
        return
    with tempfile.TemporaryDirectory() as folder:
        write_demo(Path(folder))
        for name in NAMES:
            run = subprocess.run([sys.executable, __file__, str(Path(folder) / name)], capture_output=True, text=True,
                                 check=False)  # fmt: skip
            if run.returncode:
                sys.exit(f"{name} could not be measured:\n{run.stderr}")
            table(name, json.loads(run.stdout))


if __name__ == "__main__":
    main()
