"""What lies inside a cable fits what was measured outside: two tables made apart."""

import math

import pytest

from ampwright.facts import look_up, rows


@pytest.mark.parametrize("row", rows("iec/armoured_build"), ids=lambda row: row["size_mm2"])
@pytest.mark.parametrize("cores", [2, 3, 4, 5])
def test_armoured_cores_in_a_ring_and_the_bedding_fill_the_space_under_the_armour(row, cores):
    core_mm = float(row["conductor_mm"]) + 2 * float(row["insulation_mm"])
    around_mm = core_mm * (1 + 1 / math.sin(math.pi / cores)) + 2 * float(row["bedding_mm"])
    under_mm = look_up("gb/armoured_dimensions", "under_armour_mm", cores_count=cores, size_mm2=row["size_mm2"]).value

    # stranded conductors are pressed a little and beddings thin: up to 3 % more than there is room for
    assert 0.9 <= around_mm / under_mm <= 1.03


@pytest.mark.parametrize("row", rows("iec/armoured_build"), ids=lambda row: row["size_mm2"])
@pytest.mark.parametrize("cores", [2, 3, 4, 5])
def test_a_sheath_of_one_to_two_millimetres_is_left_over_the_armour(row, cores):
    under, overall = (look_up("gb/armoured_dimensions", name, cores_count=cores, size_mm2=row["size_mm2"])
                      for name in ("under_armour_mm", "overall_mm"))  # fmt: skip

    assert 1.2 <= (overall.value - under.value) / 2 - float(row[f"wire_{cores}core_mm"]) <= 2.1


@pytest.mark.parametrize("row", rows("iec/flat_build"), ids=lambda row: row["size_mm2"])
def test_flat_cores_and_a_bare_conductor_leave_a_sheath(row):
    core_mm = float(row["conductor_mm"]) + 2 * float(row["insulation_mm"])
    width_mm, height_mm, cpc_mm2 = (look_up("gb/flat_cable_dimensions", name, size_mm2=row["size_mm2"]).value
                                    for name in ("width_mm", "height_mm", "cpc_mm2"))  # fmt: skip

    assert 0.6 <= (height_mm - core_mm) / 2 <= 2
    assert 2 * core_mm + float(row["cpc_mm"]) < width_mm
    # round wire of that area, a tenth more for the gaps between strands
    assert 0.99 <= math.pi / 4 * float(row["cpc_mm"]) ** 2 / cpc_mm2 <= 1.3
