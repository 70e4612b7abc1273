"""Fifty people at one server, over a file and over PostgreSQL, in one run.

Each of two rounds starts `ampwright serve` on a new store. Fifty people then survey at once: each has a job, opens it,
opens a part, saves a reading and sees what it changed, and thinks between two steps for THINKS_S on average. Every
answer but the one expected is an error, and so is a save that the history has not.
The server and those who ask it share this machine. The throw-away PostgreSQL is that of the tests.
"""

from __future__ import annotations

import random
import re
import statistics
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import httpx

from ampwright.deliver.demo import demo_files
from ampwright.deliver.store.store import Store

sys.path.append(str(Path(__file__).parents[1] / "tests" / "helpers"))
from postgres import Cluster

USERS_COUNT, SAVES_COUNT, THINKS_S, SEED = 50, 5, 5.0, 7
HIDDEN = re.compile(r'<input type="hidden" name="(base|operation)" value="(\w+)"')


class User:
    """One person with a job; the seconds each answer took, and what went wrong."""

    def __init__(self, address: str, job: str, number: int) -> None:
        self.web = httpx.Client(base_url=address, timeout=60)
        self.job, self.number = job, number
        self.chance = random.Random(SEED * 1000 + number)
        self.took_s: dict[str, list[float]] = {"open the job": [], "open a part": [], "save": [], "see the change": []}
        self.wrong: list[str] = []
        self.kept: list[str] = []

    def survey(self) -> None:
        """Save a reading, a few times."""
        for save in range(SAVES_COUNT):
            self._think()
            self._ask("open the job", "GET", f"/jobs/{self.job}")
            self._think()
            page = self._ask("open a part", "GET", f"/jobs/{self.job}/part/cut-out")
            typed = dict(HIDDEN.findall(page))
            typed |= {"supply.ze_ohm~kind": "exact", "supply.ze_ohm~low": f"{(100 + self.number + 50 * save) / 1000}"}
            self._think()
            self._ask("save", "POST", f"/jobs/{self.job}/part/cut-out", typed)
            if "operation" in typed:
                self.kept.append(typed["operation"])
                self._ask("see the change", "GET", f"/jobs/{self.job}/done/{typed['operation']}")
        self.web.close()

    def _think(self) -> None:
        time.sleep(min(self.chance.expovariate(1 / THINKS_S), 4 * THINKS_S))

    def _ask(self, step: str, method: str, path: str, typed: dict[str, str] | None = None) -> str:
        start = time.perf_counter()
        try:
            answer = self.web.request(method, path, data=typed)
        except httpx.HTTPError as wrong:
            self.wrong.append(f"{step}: {wrong!r}")
            return ""
        self.took_s[step].append(time.perf_counter() - start)
        if answer.status_code != (303 if method == "POST" else 200):
            self.wrong.append(f"{step}: {answer.status_code}")
        return answer.text


def served(place: str) -> tuple[subprocess.Popen[str], str]:
    """The server over that place, and its address."""
    command = [sys.executable, "-m", "ampwright", "serve", "--store", place, "--port", "0"]
    server = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert server.stdout is not None
    found = re.search(r"http://\S+", server.stdout.readline())
    if not found:
        raise SystemExit("the server did not start")
    return server, found[0]


def round_over(place: str) -> list[User]:
    """Fifty people, one round."""
    store = Store(place)
    text = demo_files()["terrace.yaml"]
    jobs = [store.take_in(text, operation=f"job-{number}", who="load", origin="a benchmark")
            for number in range(USERS_COUNT)]  # fmt: skip
    server, address = served(place)
    try:
        users = [User(address, job, number) for number, job in enumerate(jobs)]
        with ThreadPoolExecutor(USERS_COUNT) as pool:
            list(pool.map(User.survey, users))
    finally:
        server.terminate()
        server.wait()
    for user in users:
        told = {each.id: each for each in store.history(user.job)}
        user.wrong += [f"not in the history: {each}" for each in user.kept if each not in told or
                       len(told[each].changes) != 1]  # fmt: skip
    store.close()
    return users


def p95_ms(took_s: list[float]) -> float:
    """The time that 95 of 100 answers keep within."""
    return statistics.quantiles(took_s, n=20)[-1] * 1000


def shown(name: str, users: list[User]) -> dict[str, float]:
    """Print one round, and give its p95 by step."""
    wrong = [each for user in users for each in user.wrong]
    saves = sum(len(user.kept) for user in users)
    print(f"{name}: {USERS_COUNT} users, {saves} saves, {len(wrong)} errors{'' if not wrong else ' ' + wrong[0]}")
    found = {}
    for step in users[0].took_s:
        took_s = [each for user in users for each in user.took_s[step]]
        found[step] = p95_ms(took_s)
        print(f"  {step:<16} median {statistics.median(took_s) * 1000:7.1f} ms   p95 {found[step]:7.1f} ms")
    return found


def main() -> int:
    """Print both rounds side by side."""
    cluster = Cluster()
    try:
        with tempfile.TemporaryDirectory() as folder:
            rounds = {"SQLite": round_over(f"{folder}/jobs.db"), "PostgreSQL": round_over(cluster.database())}
    finally:
        cluster.close()
    figures = {name: shown(name, users) for name, users in rounds.items()}
    for step, taken_ms in figures["SQLite"].items():
        print(f"  {step:<16} p95 over PostgreSQL is {figures['PostgreSQL'][step] / taken_ms:.2f} of that over SQLite")
    return 1 if any(user.wrong for users in rounds.values() for user in users) else 0


if __name__ == "__main__":
    sys.exit(main())
