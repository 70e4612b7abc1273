"""How long the API takes to keep a change and judge it, against an address that does nothing, in one run.

Both go over a socket to one server with one sender. The 95th percentile is what counts; the change is a new figure each
time, so that no answer is one that was kept.
"""

from __future__ import annotations

import itertools
import statistics
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx
import uvicorn
from fastapi import FastAPI, Response

from ampwright.deliver.commands_web import take_in_demo
from ampwright.deliver.web.app import create_app

REPEATS_COUNT = 200
WARM_COUNT = 10
PROMISED_S = 0.1


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as folder, served(Path(folder)) as address, httpx.Client() as client:
        empty_s = times_s(lambda: client.get(f"{address}/nothing-at-all"))
        print(f"an address that does nothing        p50 {p50_s(empty_s) * 1000:7.2f} ms, p95 "
              f"{p95_s(empty_s) * 1000:7.2f} ms")  # fmt: skip
        for listed in client.get(f"{address}/api/v1/jobs").json()["jobs"]:
            job_s = times_s(change(client, f"{address}/api/v1/jobs/{listed['id']}", listed["head"]))
            print(f"{listed['reference']}: a change, kept and judged    p50 {p50_s(job_s) * 1000:7.2f} ms, p95 "
                  f"{p95_s(job_s) * 1000:7.2f} ms = {p95_s(job_s) / p95_s(empty_s):6.1f} x doing nothing"
                  f" = {p95_s(job_s) / PROMISED_S:5.2f} of 100 ms")  # fmt: skip


def change(client: httpx.Client, address: str, head: int) -> Callable[[], object]:
    """A call that sends another Ze each time, on top of the one before."""
    numbers = itertools.count(1)
    heads = [head]

    def sent() -> None:
        number = next(numbers)
        body = {"operation": f"benchmark-{head}-{number:06}", "base": heads[-1],
                "changes": {"supply.ze_ohm": round(0.1 + number / 1000, 3)}}  # fmt: skip
        answer = client.post(f"{address}/changes", json=body)
        answer.raise_for_status()
        heads.append(answer.json()["head"])

    return sent


def times_s(work: Callable[[], object]) -> list[float]:
    """Seconds of each of many calls, after a few that do not count."""
    for _ in range(WARM_COUNT):
        work()
    times = []
    for _ in range(REPEATS_COUNT):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return times


def p50_s(times: list[float]) -> float:
    """The middle."""
    return statistics.median(times)


def p95_s(times: list[float]) -> float:
    """What 95 of 100 stay below."""
    return statistics.quantiles(times, n=20)[-1]


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """The app over the demo jobs on a socket, with an address beside it that does nothing."""
    app: FastAPI = create_app(folder / "jobs.db", "Ann")
    take_in_demo(app.state.site.store)
    app.get("/nothing-at-all")(lambda: Response())
    server = uvicorn.Server(uvicorn.Config(app, port=0, log_level="error"))
    thread = threading.Thread(target=server.run)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    yield f"http://127.0.0.1:{server.servers[0].sockets[0].getsockname()[1]}"
    server.should_exit = True
    thread.join()


if __name__ == "__main__":
    main()
