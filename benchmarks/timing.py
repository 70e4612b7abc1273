"""Timing for the benchmarks beside this file."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable


def median_s(work: Callable[[], object], repeats: int) -> float:
    """Median seconds of one call."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)
