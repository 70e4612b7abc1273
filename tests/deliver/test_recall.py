"""`ampwright recall` over several jobs, in a folder and in a store of either kind."""

from __future__ import annotations

import csv
import io
import json

import pytest
from command import run

from ampwright.deliver.demo import JOBS, demo_files
from ampwright.deliver.store.store import Store

ARMOURED = "cable.kind = armoured_90c"


@pytest.fixture
def kept(place):
    """The store of the three demo jobs; the id of each by its file."""
    store = Store(place)
    ids = {name: store.take_in(demo_files()[name], operation=f"take-{name}", who="Owner", origin="a file")
           for name in JOBS}  # fmt: skip
    store.close()
    return ids


def found(done):
    return [each["job"] for each in json.loads(done.stdout)["jobs"] if each["holds"] == "yes"]


def test_over_a_store_of_either_kind(place, kept, tmp_path):
    at = ("--jobs", str(place), "--json")
    assert found(run("recall", *at, "supply.earthing = TT", cwd=tmp_path)) == [kept["farmhouse.yaml"]]
    assert found(run("recall", *at, "supply.earthing = TN-C-S", cwd=tmp_path)) == [
        kept["house_with_garage.yaml"], kept["terrace.yaml"]]  # fmt: skip
    assert found(run("recall", *at, cwd=tmp_path)) == list(kept.values())
    again = run("recall", *at, "--on", "2025-01-01", cwd=tmp_path)
    told = json.loads(again.stdout)["again"]
    assert [(each["job"], [one["rule"] for one in each["verdicts"]]) for each in told["differing"]] == [
        (kept["house_with_garage.yaml"], ["planning_permission"])]  # fmt: skip
    assert again.returncode == 1


def test_over_a_folder_as_text_and_as_csv(folder, tmp_path):
    at = ("recall", "--folder", str(folder))
    text = run(*at, "route.length_m = 10 to 30", cwd=tmp_path)
    assert text.returncode == 0, text.stderr
    assert "2 of 4 jobs hold this: route.length_m = 10 to 30." in text.stdout
    assert "MAY HOLD: the survey left a range" in text.stdout
    assert "18 m" in text.stdout
    rows = list(csv.DictReader(io.StringIO(run(*at, "supply.earthing = TT", "--csv", cwd=tmp_path).stdout)))
    assert [(row["job"], row["holds"], row["path"], row["value"]) for row in rows] == [
        ("farmhouse.yaml", "yes", "supply.earthing", "TT")]  # fmt: skip
    rows = list(csv.DictReader(io.StringIO(run(*at, "--on", "2025-01-01", "--csv", cwd=tmp_path).stdout)))
    assert {(row["rule"], row["verdict now"]) for row in rows} == {("planning_permission", "MET")}


def test_bad_files_stop_nothing_and_every_bad_condition_is_told(tmp_path):
    (tmp_path / "bad.yaml").write_text("title: [", encoding="utf-8")
    (tmp_path / "good.yaml").write_text("version: 2\ntitle: good\nsupply: {earthing: TT}\n", encoding="utf-8")
    done = run("recall", "--folder", ".", "supply.earthing = TT", cwd=tmp_path)
    assert done.returncode == 3
    assert "1 of 1 jobs hold this" in done.stdout
    assert "bad.yaml" in done.stderr
    done = run("recall", "--folder", ".", "nosuch = 1", "set_a = ten", cwd=tmp_path)
    assert done.returncode == 3
    assert "nosuch" in done.stderr
    assert "'ten' is not a number" in done.stderr


def test_an_edition_or_tables_that_are_not_known_are_refused(tmp_path):
    done = run("recall", "--folder", ".", "--edition", "BS 7671:1066", cwd=tmp_path)
    assert (done.returncode, "BS 7671:2018+A4:2026" in done.stderr) == (3, True)
    (tmp_path / "none").mkdir()
    done = run("recall", "--folder", ".", "--tables", "none", cwd=tmp_path)
    assert (done.returncode, "no table in it" in done.stderr) == (3, True)
