"""Readings from an instrument's CSV, by a map of columns."""

import pytest
from jobs import house

from ampwright.job.instrument_file import BadInstrumentFile, read_into
from ampwright.reading import Reading

MAP = """column,field,factor
Cct,circuit,
R1R2,tests.r1r2_ohm,
IR,tests.insulation_megohm,
Pol,tests.polarity_right,
Trip s,tests.rcd_ms,1000
"""
READINGS = "Cct,R1R2,IR,Pol,Trip s\nlights,0.9,200,PASS,\nEV,0.21,>999,PASS,0.028\n"


def read(tmp_path, readings=READINGS, columns=MAP, circuit="EV"):
    (tmp_path / "out.csv").write_text(readings, encoding="utf-8")
    (tmp_path / "map.csv").write_text(columns, encoding="utf-8")
    return read_into(house(), tmp_path / "out.csv", tmp_path / "map.csv", circuit).tests


def faults(tmp_path, **files):
    with pytest.raises(BadInstrumentFile) as bad:
        read(tmp_path, **files)
    return bad.value.says


def test_the_row_of_the_circuit_is_read_in_the_units_of_the_record(tmp_path):
    found = read(tmp_path)
    assert found.r1r2_ohm == Reading(0.21, 0.21, "", None, "out.csv")
    assert found.rcd_ms.high == 28
    assert found.polarity_right is True


def test_beyond_the_range_of_the_instrument_is_a_range_that_says_so(tmp_path):
    found = read(tmp_path).insulation_megohm
    assert (found.low, found.high) == (999, 1000000)
    assert found.because == ">999 in out.csv: beyond the instrument's range"


def test_an_empty_cell_changes_nothing(tmp_path):
    assert read(tmp_path, circuit="lights").rcd_ms is None


def test_semicolons_and_a_byte_order_mark(tmp_path):
    assert read(tmp_path, readings="\ufeff" + READINGS.replace(",", ";")).r1r2_ohm.high == 0.21


def test_all_faults_of_a_row_at_once(tmp_path):
    says = faults(tmp_path, readings="Cct,R1R2,IR,Pol,Trip s\nEV,abc,-5,maybe,0.028\n")
    wrong = ("R1R2", "IR", "Pol")
    assert [each.split(":")[0] for each in says] == [f"out.csv, line 2, column {name}" for name in wrong]


def test_a_map_with_faults(tmp_path):
    says = faults(tmp_path, columns="column,field,factor\nR1R2,tests.nothing,\nIR,tests.insulation_megohm,none\n")
    assert says == ("map.csv, entry 1: tests.nothing is no field that a test instrument reads",
                    "map.csv, entry 2: the factor none is not a number above zero")  # fmt: skip


@pytest.mark.parametrize(
    ("files", "says"),
    [({"circuit": "shower"}, "out.csv: 0 rows are of that circuit, and one is wanted; name one of lights, EV"),
     ({"circuit": None}, "out.csv: 2 rows stand there, and one is wanted; name one of lights, EV"),
     ({"readings": ""}, "out.csv is empty"),
     ({"readings": "Cct,R1R2,IR,Pol,Trip s\nEV,0.21\n"},
      "out.csv, line 2: it has not as many columns as the headings"),
     ({"readings": "Cct,R1R2,IR,Pol\nEV,0.21,200,PASS\n"}, "out.csv has no column Trip s"),
     ({"columns": "a,b\n1,2\n"},
      "map.csv: a map has the headings column, field and, where a figure is to be multiplied, factor"),
     ({"columns": "column,field\nIR,tests.r1r2_ohm\nR1R2,tests.r1r2_ohm\n"},
      "map.csv: tests.r1r2_ohm is filled from two columns")],
)  # fmt: skip
def test_what_cannot_be_used_is_refused_in_words(tmp_path, files, says):
    assert faults(tmp_path, **files) == (says,)
