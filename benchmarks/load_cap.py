"""How fast the load cap's opponent works, as ratios measured in one run.

Many opponents replayed at once, against the same ones replayed one at a time in plain steps; the proof, against one
day replayed in plain steps; the whole answer, against reading the job file.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

import numpy as np
from timing import median_s

from ampwright.assess.load_cap.attack import OPPONENTS, worst_episode
from ampwright.assess.load_cap.bound import highest_a2s
from ampwright.assess.load_cap.reckoning import LENGTHS_S, worst_line
from ampwright.assess.load_cap.replay import car_a, many_car_a, many_let_through_a2s, totals_a
from ampwright.assess.load_cap.report import report
from ampwright.deliver.demo import write_demo
from ampwright.job.files import load
from ampwright.job.record import Job
from ampwright.physics.fuses import highest_let_through_a2s

SECONDS = 3600
JOB = "house_with_garage.yaml"


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as folder:
        write_demo(Path(folder))
        path = Path(folder) / JOB
        read_s = median_s(lambda: load(path), 5)
        job = load(path)
    line = worst_line(job, True)
    case = line.situation
    if case is None:
        raise SystemExit(f"{JOB} has no load cap to attack")
    random = np.random.default_rng(0)
    house_a = random.uniform(0, case.house_a, (OPPONENTS, SECONDS // case.message_s, case.message_s))
    lost = random.random(house_a.shape[:2]) < 0.05
    rows = [(house_a[row].ravel().tolist(), lost[row].tolist()) for row in range(OPPONENTS)]

    many_s = median_s(lambda: many_car_a(case, house_a, lost), 5)
    plain_s = median_s(lambda: [car_a(case, *row) for row in rows], 3)
    totals = totals_a(case, house_a, many_car_a(case, house_a, lost))
    sums_s = median_s(lambda: many_let_through_a2s(totals[:1], LENGTHS_S), 5)
    currents_a = totals[0].tolist()
    loop_s = median_s(lambda: highest_let_through_a2s(currents_a=currents_a, lengths_s=LENGTHS_S), 3)
    day = rows[0][0] * 24, rows[0][1] * 24
    day_s = median_s(lambda: car_a(case, *day), 3)
    proof_s = median_s(lambda: highest_a2s(case, LENGTHS_S), 9)
    search_s = median_s(lambda: worst_episode(case, line.fuse), 3)
    whole_s = median_s(lambda: _afresh(job), 3)

    print(f"replay, {OPPONENTS} opponents for {SECONDS} s     plain over at once = {plain_s / many_s:6.1f}")
    print(f"I2t over {len(LENGTHS_S)} lengths of {SECONDS} s       plain over arrays  = {loop_s / sums_s:6.1f}")
    print(f"the proof of one cap               over a day replayed in plain steps = {proof_s / day_s:6.3f}")
    print(f"the search for the worst episode   over a day replayed in plain steps = {search_s / day_s:6.2f}")
    print(f"the whole answer, attack and all   over reading the job file          = {whole_s / read_s:6.1f}")


def _afresh(job: Job) -> None:
    worst_line.cache_clear()
    report(job)


if __name__ == "__main__":
    main()
