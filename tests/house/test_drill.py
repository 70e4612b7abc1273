"""The mistakes that `make drill` plants still have a place to be planted in."""

import csv

import pytest
from source import ROOT, SRC

with (ROOT / "tools" / "drill.csv").open(encoding="utf-8", newline="") as lines:
    PLANTED = list(csv.DictReader(lines))


@pytest.mark.parametrize("row", PLANTED, ids=[row["name"] for row in PLANTED])
def test_the_text_that_a_mistake_replaces_stands_once(row):
    assert row["replace"] != row["find"]
    assert (SRC / row["file"]).read_text(encoding="utf-8").count(row["find"]) == 1
