"""A writer killed at any moment loses nothing that it had acknowledged, and leaves no half of a photo."""

import hashlib
import os
import signal
import subprocess
import sys

import pytest

from ampwright.deliver.store.store import Store

WRITER = """
import sys
from ampwright.deliver.store.store import Store

store, job, start = Store(sys.argv[1]), sys.argv[2], int(sys.argv[3])
for number in range(start, start + 100_000):
    head = store.read(job)[1]
    store.change(job, {"supply.ze_ohm": number / 1000, "installation.main_switch_a": 5 + number % 1900},
                 operation=f"w{number}", base=head, who="Owner", origin="a writer")
    photo = number.to_bytes(4, "big") * 25_000
    store.photos.add(job, "supply.ze_ohm", photo, sent=photo, operation=f"photo-{number:08}", who="Owner",
                     origin="a writer")
    print(number, flush=True)
"""


@pytest.mark.parametrize("acknowledged", [1, 40])
def test_kill_9_loses_nothing_acknowledged(desk, acknowledged):
    start = 1
    for _ in range(3):
        command = [sys.executable, "-c", WRITER, str(desk.place), desk.job, str(start)]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=os.environ) as writer:
            assert writer.stdout is not None
            for _ in range(acknowledged):
                line = writer.stdout.readline()
            writer.send_signal(signal.SIGKILL)
            last = int((line + writer.stdout.read()).split()[-1])

        store = Store(desk.place)
        done = {int(each.id[1:]): each for each in store.history(desk.job) if each.id.startswith("w")}
        assert sorted(done) == list(range(1, max(done) + 1))
        assert max(done) in (last, last + 1)  # the one in hand is wholly there or not at all
        assert all(len(each.changes) == 2 for each in done.values() if each.id != "w1")
        assert store.values(desk.job)["supply"]["ze_ohm"] == max(done) / 1000
        photos = {int(each.id[6:]): each.hash for each in store.photos.of_job(desk.job)}
        assert set(range(start, last + 1)) <= set(photos) <= set(done)
        for number, hashed in photos.items():
            content = store.photos.content(desk.job, f"photo-{number:08}")
            assert content == number.to_bytes(4, "big") * 25_000
            assert hashlib.sha256(content).hexdigest() == hashed
        start = max(done) + 1
        store.close()
