"""`ampwright materials` and `ampwright drums`, run as a person runs them."""

import json

from command import run

GARAGE, FARM, TERRACE = "house_with_garage.yaml", "farmhouse.yaml", "terrace.yaml"


def test_the_list_of_the_demo_house(folder):
    done = run("materials", GARAGE, cwd=folder)
    assert done.returncode == 0
    assert "29.81 m of 6 mm2 3-core armoured cable: 27 m measured" in done.stdout  # 27.81 + 1 + 0.5 + 0.2 + 0.3
    assert "2 ×  20 gland, type CW" in done.stdout
    assert "measure the very cable" in done.stdout
    assert "Not on this list: the charge point" in done.stdout
    assert "\nLOAD\n" in done.stdout
    assert "lock-off kit" in done.stdout


def test_the_same_as_json(folder):
    found = json.loads(run("materials", TERRACE, "--json", cwd=folder).stdout)
    assert found["format"] == 1
    assert [cut["length_m"]["high"] for cut in found["cuts"]] == [13.13, 4.09]


def test_drums_of_three_jobs(folder):
    done = run("drums", GARAGE, FARM, TERRACE, "--in-hand", "30", cwd=folder)
    assert done.returncode == 0
    assert "30 m in hand: 29.81 m (house_with_garage); 0.2 m left" in done.stdout
    assert "50 m bought (no plan buys fewer)" in done.stdout


def test_a_cable_that_no_drum_holds(folder):
    done = run("drums", GARAGE, "--drum", "25", cwd=folder)
    assert done.returncode == 3
    assert done.stderr.strip() == "house_with_garage: 29.81 m is longer than the longest drum (25 m)"
