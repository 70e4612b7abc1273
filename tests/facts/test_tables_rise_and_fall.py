"""Where physics says which way a column must run, it does."""

from __future__ import annotations

import csv
from collections import defaultdict
from itertools import pairwise
from pathlib import Path

import pytest

from ampwright.facts import rows

CHECKSUMS = Path(__file__).parent / "checksums.csv"
with CHECKSUMS.open(encoding="utf-8", newline="") as lines:
    KEYS = {row["table"]: row["keys"].split() for row in csv.DictReader(lines)}

STRICTLY_UP = [
    ("gb/cable_ratings", "size_mm2", "it_a"),
    ("gb/max_zs", "rating_a", "ia_a"),
    ("gb/main_bonding", "neutral_to_mm2", "bonding_mm2"),
    ("gb/mcb_let_through", "rating_to_a", "i2t_a2s"),
    ("gb/mcb_let_through", "breaking_ka", "i2t_a2s"),
    ("gb/fuse_points", "rating_a", "current_a"),
    ("iec/fuse_gates", "rating_a", "current_a"),
    ("iec/fuse_prearcing", "rating_a", "min_a2s"),
    ("iec/fuse_prearcing", "rating_a", "max_a2s"),
    ("iec/rod_group", "rods_count", "lambda_ratio"),
    ("gb/armoured_dimensions", "size_mm2", "under_armour_mm"),
    ("gb/armoured_dimensions", "size_mm2", "mass_kg_per_km"),
    ("gb/flat_cable_dimensions", "size_mm2", "width_mm"),
    ("gb/clip_spacing", "overall_to_mm", "horizontal_mm"),
    ("gb/conduit_terms", "size_mm2", "term_count"),
    ("gb/conduit_capacity", "conduit_mm", "term_count"),
    ("gb/conduit_capacity_bent", "conduit_mm", "term_count"),
    ("gb/trunking_terms", "size_mm2", "term_count"),
    ("gb/trunking_capacity", "depth_mm", "term_count"),
    ("gb/trunking_capacity", "width_mm", "term_count"),
]
UP_OR_LEVEL = [
    ("gb/max_zs", "time_s", "zs_ohm"),
    ("gb/armoured_dimensions", "size_mm2", "overall_mm"),
    ("gb/armoured_dimensions", "size_mm2", "armour_mm2"),
    ("gb/armoured_dimensions", "cores_count", "overall_mm"),
    ("gb/clip_spacing", "overall_to_mm", "vertical_mm"),
]
STRICTLY_DOWN = [
    ("gb/volt_drop", "size_mm2", "mv_per_a_m"),
    ("iec/copper_resistance", "size_mm2", "r20_ohm_per_km"),
    ("iec/copper_resistance_flexible", "size_mm2", "r20_ohm_per_km"),
    ("gb/r1_plus_r2", "cpc_mm2", "r1r2_mohm_per_m"),
    ("gb/r1_plus_r2", "line_mm2", "r1r2_mohm_per_m"),
    ("gb/ca_air", "ambient_c", "ca_ratio"),
    ("gb/ca_ground", "ground_c", "ca_ratio"),
    ("iec/soil_resistivity", "soil_k_m_per_w", "cs_ratio"),
    ("gb/insulation_contact", "length_mm", "ci_ratio"),
    ("gb/max_zs", "rating_a", "zs_ohm"),
    ("gb/fuse_points", "time_s", "current_a"),
    ("gb/rcd_times", "multiple_ratio", "max_ms"),
    ("iec/rdc_dd_times", "dc_ma", "max_s"),
    ("gb/tt_max_ra", "idn_ma", "ra_ohm"),
]
DOWN_OR_LEVEL = [
    ("gb/armour_resistance", "size_mm2", "r20_ohm_per_km"),
    ("gb/armour_resistance", "cores_count", "r20_ohm_per_km"),
    ("gb/grouping", "circuits_count", "cg_ratio"),
    ("gb/grouping_buried", "circuits_count", "cg_ratio"),
    ("gb/grouping_ducts", "ducts_count", "cg_ratio"),
]


def runs(table: str, along: str, column: str) -> list[list[float]]:
    """The column's values in order of `along`, one list for each setting of the other keys."""
    found: dict[tuple[str, ...], list[tuple[float, float]]] = defaultdict(list)
    for row in rows(table):
        if row[column]:
            others = tuple(row[key] for key in KEYS[table] if key != along)
            found[others].append((float(row[along]), float(row[column])))
    return [[value for _, value in sorted(points)] for points in found.values()]


def steps(table: str, along: str, column: str) -> list[tuple[float, float]]:
    found = [pair for run in runs(table, along, column) for pair in pairwise(run)]
    assert found, "nothing to compare"
    return found


@pytest.mark.parametrize("case", STRICTLY_UP, ids="-".join)
def test_rises(case: tuple[str, str, str]) -> None:
    assert all(low < high for low, high in steps(*case))


@pytest.mark.parametrize("case", UP_OR_LEVEL, ids="-".join)
def test_never_falls(case: tuple[str, str, str]) -> None:
    assert all(low <= high for low, high in steps(*case))


@pytest.mark.parametrize("case", STRICTLY_DOWN, ids="-".join)
def test_falls(case: tuple[str, str, str]) -> None:
    assert all(high > low for high, low in steps(*case))


@pytest.mark.parametrize("case", DOWN_OR_LEVEL, ids="-".join)
def test_never_rises(case: tuple[str, str, str]) -> None:
    assert all(high >= low for high, low in steps(*case))


@pytest.mark.parametrize(
    ("table", "low", "high"),
    [
        ("iec/fuse_prearcing", "min_a2s", "max_a2s"),
        ("iec/fuse_conventional", "nonfusing_ratio", "fusing_ratio"),
        ("gb/mcb_bands", "low_ratio", "high_ratio"),
        ("gb/gland_sizes", "sheath_from_mm", "sheath_to_mm"),
        ("gb/armoured_dimensions", "under_armour_mm", "overall_mm"),
        ("gb/flat_cable_dimensions", "height_mm", "width_mm"),
        ("gb/soil_for_rods", "low_ohm_m", "high_ohm_m"),
        ("gb/rcd_times", "min_ms", "max_ms"),
    ],
)
def test_the_low_end_is_below_the_high_end(table: str, low: str, high: str) -> None:
    both = [row for row in rows(table) if row[low] and row[high]]

    assert both
    assert all(float(row[low]) < float(row[high]) for row in both)
