"""`ampwright forecast`, run as a person runs it."""

import json
import os
import pty
import signal
import subprocess
import sys
from functools import partial

from command import run

from ampwright.deliver.demo import JOBS

GARAGE, FARM, TERRACE = JOBS


def test_the_same_seed_gives_the_same_bytes(folder):
    one, other = (run("forecast", GARAGE, "--years", "1", "--json", cwd=folder) for _ in range(2))
    assert (one.returncode, one.stderr) == (0, "")
    assert one.stdout == other.stdout
    found = json.loads(one.stdout)
    assert (found["format"], found["years"], found["complete"], found["seed"]) == (1, 1, True, 1)
    assert found["source"]["sun"].startswith("drawn from SAP 2012")
    assert len(found["source"]["sun_sha256"]) == len(found["source"]["job_sha256"]) == 64
    for way in found["ways"].values():
        assert len(way["months"]) == 12
        assert way["year"]["own_share_percent"]["p90"] <= 100


def test_the_page_of_a_three_phase_farm_with_a_store(folder):
    done = run("forecast", FARM, "--years", "1", cwd=folder)
    assert done.returncode == 0
    for words in ("BY WAY OF CHARGING", "MONTH BY MONTH", "WHAT MOVES THE SHARE MOST", "WHAT WAS SUPPOSED", "Wales"):
        assert words in done.stdout


def test_a_house_without_panels_is_told_what_is_wanting(folder):
    done = run("forecast", TERRACE, "--years", "1", cwd=folder)
    assert done.returncode == 3
    assert done.stdout == ""
    assert "enter the car" in done.stderr
    assert "Traceback" not in done.stderr


def test_one_form_at_a_time(folder):
    assert run("forecast", GARAGE, "--csv", "--json", cwd=folder).returncode == 3


def test_ctrl_c_keeps_the_years_that_are_done(folder):
    shown, child = pty.openpty()
    command = [sys.executable, "-m", "ampwright", "forecast", GARAGE, "--years", "5000"]
    heard = partial(signal.signal, signal.SIGINT, signal.SIG_DFL)  # a suite run in the background has it ignored
    with subprocess.Popen(command, cwd=folder, stdout=subprocess.PIPE, stderr=child, text=True,
                          preexec_fn=heard) as running:  # fmt: skip
        bar = b""
        while b" 2 of 5000" not in bar:  # it draws its bar on a terminal only
            bar += os.read(shown, 4096)
        running.send_signal(signal.SIGINT)
        said, _ = running.communicate(timeout=60)
    os.close(shown)
    os.close(child)

    assert running.returncode == 2
    assert "BROKEN OFF:" in said
    assert "of 5000 years were done" in said
    assert "MONTH BY MONTH" in said
