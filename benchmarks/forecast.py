"""How long the sunshine forecast takes, as ratios measured in one run.

A bare pass reads the two arrays that the kernel reads (surplus and what the hour allows) and writes the one it writes,
all of the year, compiled by numba too. It and the kernel are run in turns, warm, so that what else the machine does
falls on both; way by way the least times of several rounds are set against each other, and beside them the medians: a
core that others use as well holds arithmetic up for seconds on end, and not the bare pass, which waits for memory. The
account of the year is not in it.
Besides the demo job's car stands the hardest one: at home nearly all day, every change held back at random.
Plain is the same source uncompiled, lists made beforehand. The forecast is timed whole, weather and ceiling included,
without bars, in new processes on every core; beside the clock stands the processor's own time, shared by the cores.
"""

from __future__ import annotations

import os
import statistics
import time
from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

import numba
import numpy as np

from ampwright.assess.forecast import account, kernel, years
from ampwright.assess.forecast.plan import EVERY_DAY, changed, supposed_trips
from ampwright.assess.forecast.skies import drawn_sun
from ampwright.deliver.demo import JOBS, demo_files
from ampwright.job.files import parse
from ampwright.physics.minute import LAG_ON_CHANGE

SEED, YEARS_COUNT, TURNS_COUNT, ROUNDS_COUNT = 1, 100, 31, 5
WANTED_RATIO, WANTED_PLAIN_S, WANTED_WHOLE_S, CORES_COUNT = 2.0, 0.3, 15.0, 2


def in_turns_s(works: Sequence[Callable[[], object]], turns_count: int = TURNS_COUNT) -> list[tuple[float, float]]:
    """The least and the median seconds of each of several calls, run in turns."""
    taken: list[list[float]] = [[] for _ in works]
    for _ in range(turns_count):
        for work, times in zip(works, taken, strict=True):
            start = time.perf_counter()
            work()
            times.append(time.perf_counter() - start)
    return [(min(times), statistics.median(times)) for times in taken]


@numba.njit(nogil=True)
def bare_pass(net_kw: Any, may: Any, car_kw: Any) -> float:
    """Read both arrays and write the third."""
    total = 0.0
    for minute in range(len(net_kw)):
        total += net_kw[minute] * may[minute]
        car_kw[minute] = net_kw[minute]
    return total


def kernel_given(year: years.Drawn, way: int) -> dict[str, Any]:
    """What `account.run` hands to the kernel, caught on its way."""
    caught: dict[str, Any] = {}

    def catch(**given: Any) -> tuple[float, int, int]:
        caught.update(given)
        return kernel.compiled().charge(**given)

    account.run(way, year.plan, year.stays, year.home, year.lag_min,
                kernel.Kernel(catch, kernel.compiled().store, compiled=True))  # fmt: skip
    return caught


def kernels(drawn: Sequence[tuple[str, years.Drawn]]) -> None:
    """Print each way's kernel against the bare pass and against what is wanted of plain Python."""
    cases = [(f"{of}, {way}", kernel_given(year, code)) for of, year in drawn for way, code in account.CODES.items()]
    rounds = [[timed(given) for _, given in cases] for _ in range(ROUNDS_COUNT)]
    for (name, _), times in zip(cases, zip(*rounds, strict=True), strict=True):
        bare_s, quick_s, plain_s = (min(each[n][0] for each in times) for n in range(3))
        usual = statistics.median(quick[1] / bare[1] for bare, quick, _ in times)
        print(f"  {name:<36} compiled {quick_s * 1000:6.3f} ms = {quick_s / bare_s:4.2f} x a bare pass of "
              f"{bare_s * 1000:.3f} ms, by medians {usual:4.2f} (wanted {WANTED_RATIO:g});  "
              f"plain {plain_s:6.3f} s = {plain_s / WANTED_PLAIN_S:4.2f} of 0.3 s")  # fmt: skip


def timed(given: dict[str, Any]) -> list[tuple[float, float]]:
    """The bare pass, the kernel compiled and the kernel plain, on the same arrays, once."""
    lists = {name: each.tolist() if isinstance(each, np.ndarray) else each for name, each in given.items()}
    arrays = (given["net_kw"], given["may"], given["car_kw"].copy())
    bare_pass(*arrays)
    return [*in_turns_s([partial(bare_pass, *arrays), partial(kernel.compiled().charge, **given)]),
            *in_turns_s([partial(kernel.plain().charge, **lists)], 1)]  # fmt: skip


def hardest(setting: years.Setting) -> years.Drawn:
    """The first year with a car that is plugged in nearly all day, and a random delay at every change."""
    year = years.drawn(setting, 0)
    plan = changed(year.plan, trips=supposed_trips()[2].trips, plugs_in_on=EVERY_DAY, lag_kind=LAG_ON_CHANGE)
    return years.drawn_for(setting, 0, plan, year.home.sun_kw, year.home.house_kw)


def processor_s() -> float:
    """Seconds that the processor has spent on this process and on those it started."""
    spent = os.times()
    return spent.user + spent.system + spent.children_user + spent.children_system


def main() -> None:
    """Print the table."""
    job = parse(demo_files()[JOBS[0]].replace("    csv: house_with_garage_meter.csv\n", "    months: []\n"))
    setting = years.Setting(job, SEED, drawn_sun)
    print("the hardest car: at home but for an hour and a half a day, a random delay at every change")
    kernels([("demo", years.drawn(setting, 0)), ("demo again", years.drawn(setting, 1)),
             ("hardest car", hardest(setting))])  # fmt: skip
    ((weather_s, _),) = in_turns_s([lambda: drawn_sun(job, SEED, 7)], 3)
    start, before_s = time.perf_counter(), processor_s()
    done = sum(1 for _ in years.all_years(setting, YEARS_COUNT))
    whole_s, shared_s = time.perf_counter() - start, (processor_s() - before_s) / CORES_COUNT
    print(f"{done} years by {len(account.CODES)} ways, with weather and every {years.CEILING_EVERY}th ceiling: "
          f"{whole_s:.1f} s = {whole_s / WANTED_WHOLE_S:.2f} of 15 s by the clock, {shared_s:.1f} s = "
          f"{shared_s / WANTED_WHOLE_S:.2f} of it on two cores by the processor; "
          f"a year's sun {weather_s:.2f} s")  # fmt: skip


if __name__ == "__main__":
    main()
