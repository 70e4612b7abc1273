"""One row or an error."""

import pytest

from ampwright.facts import TableError, look_up, look_up_at_least, look_up_text, rows
from ampwright.working import Trust


def test_one_row_with_its_source():
    fact = look_up("iec/copper_resistance", "r20_ohm_per_km", size_mm2=6)

    # IEC 60228 class 2, 6 mm2: 3.08 ohm/km
    assert (fact.value, fact.trust) == (3.08, Trust.REPRINTED)
    assert fact.where.startswith("IEC 60228")
    assert fact.row == "size_mm2 6"


@pytest.mark.parametrize("size", [6, 6.0, "6", "6.0"])
def test_a_key_is_a_number_however_it_is_written(size):
    assert look_up("iec/copper_resistance", "r20_ohm_per_km", size_mm2=size).value == 3.08


@pytest.mark.parametrize(
    ("table", "column", "keys", "says"),
    [
        ("iec/copper_resistance", "r20_ohm_per_km", {"size_mm2": 7}, "no row"),
        ("gb/cable_ratings", "it_a", {"size_mm2": 6}, "rows for"),
        ("gb/no_such", "it_a", {}, "no table"),
        ("gb/cable_ratings", "it_a", {"colour": "brown"}, "no column"),
    ],
)
def test_anything_else_is_an_error_that_says_why(table, column, keys, says):
    with pytest.raises(TableError, match=says):
        look_up(table, column, **keys)


def test_between_two_rows_the_higher_one_is_taken():
    # Table 4B1, 70 C: 35 C has 0.94 and 40 C has 0.87; 36 C takes the row for 40
    assert look_up_at_least("gb/ca_air", "ca_ratio", "ambient_c", 35, insulation="70c").value == 0.94
    assert look_up_at_least("gb/ca_air", "ca_ratio", "ambient_c", 36, insulation="70c").value == 0.87
    with pytest.raises(TableError, match="or more"):
        look_up_at_least("gb/ca_air", "ca_ratio", "ambient_c", 200, insulation="70c")


def test_text_cells():
    assert look_up_text("gb/editions", "published", edition="BS 7671:2018+A4:2026") == "2026-04-15"
    assert len(rows("gb/editions")) == 2
