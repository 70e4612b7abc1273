"""fields.csv has a row for every leaf of the record and for nothing else."""

import csv
import dataclasses
import typing

import pytest
from source import SRC

from ampwright.job.fields import field, fields, in_words, leaves
from ampwright.job.record import Job
from ampwright.reading import Reading

ROWS = list(csv.DictReader((SRC / "job" / "fields.csv").read_text(encoding="utf-8").splitlines()))
INSTRUMENTS = {
    "loop tester", "continuity tester", "insulation tester", "RCD tester", "earth tester", "tape", "calliper",
    "thermometer", "clinometer", "compass", "car adapter", "eye", "label", "customer", "operator", "installer", "none",
}  # fmt: skip


def walk(group, above=""):
    """Leaf paths by a second way: from the dataclass fields and the text of their types."""
    found = []
    for each in dataclasses.fields(group):
        hint = typing.get_type_hints(group)[each.name]
        inside = [hint, *typing.get_args(hint)]
        inside += [deeper for option in inside for deeper in typing.get_args(option)]
        groups = [option for option in inside if dataclasses.is_dataclass(option) and option is not Reading]
        path = f"{above}{each.name}"
        if groups:
            brackets = "[]" if "tuple" in str(hint) else ""
            found += walk(groups[0], f"{path}{brackets}.")
        else:
            found.append(path)
    return found


def test_the_rows_are_exactly_the_leaves():
    assert [row["path"] for row in ROWS] == walk(Job)
    assert list(leaves()) == walk(Job)
    assert len(fields()) == len(ROWS)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["path"])
def test_a_row_is_complete(row):
    assert row["asks"]
    assert row["how"]
    assert row["instrument"] in INSTRUMENTS
    numeric = any(word in str(leaves()[row["path"]]) for word in ("Reading", "float", "'int'", "int |", "tuple[int"))
    assert bool(row["low"]) == bool(row["high"]) == numeric
    if numeric:
        assert float(row["low"]) < float(row["high"])


def test_the_hazards_carry_their_caution():
    assert "put the conductor back" in field("supply.ze_ohm").how
    assert "never draw the fuse" in field("supply.cutout.rating_a").how
    assert "scan before digging" in field("route[].depth_m").how
    assert "asbestos" in field("site.built_year").how


def test_in_words():
    assert in_words("supply.ze_ohm") == "earth fault loop impedance at the cut-out, Ze"
    assert in_words("route[1].length_m") == "length of this stretch (route, no. 2)"
    assert in_words("route[1].length_m", how=True).endswith(field("route[].length_m").how)
    assert in_words("route") == "route"
    assert in_words("installation.loads") == "installation, loads"


def test_a_path_that_is_no_leaf():
    with pytest.raises(KeyError):
        field("supply.zee")
