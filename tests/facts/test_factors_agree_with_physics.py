"""Rating factors against the laws behind them, and small tables against sums by hand."""

from __future__ import annotations

import math

import pytest

from ampwright.facts import look_up, rows

HOTTEST_C = {"70c": 70, "90c": 90}


@pytest.mark.parametrize(
    ("row", "reference_c"),
    [(row, 30) for row in rows("gb/ca_air") if row["ambient_c"] != "25"]
    + [(row, 20) for row in rows("gb/ca_ground")],
)
def test_ambient_factor_is_the_root_of_the_rise_that_is_left(row: dict[str, str], reference_c: int) -> None:
    hot_c = HOTTEST_C[row["insulation"]]
    around_c = float(row.get("ambient_c") or row["ground_c"])

    expected = math.sqrt((hot_c - around_c) / (hot_c - reference_c))
    assert float(row["ca_ratio"]) == pytest.approx(expected, abs=0.012)


@pytest.mark.parametrize(("insulation", "ca"), [("70c", 1.03), ("90c", 1.02)])
def test_at_25_c_the_cautious_british_factor_is_kept(insulation: str, ca: float) -> None:
    # Table 4B1 prints 1.03 and 1.02; the root gives 1.061 and 1.041
    assert look_up("gb/ca_air", "ca_ratio", insulation=insulation, ambient_c=25).value == ca


@pytest.mark.parametrize(
    ("table", "count"), [("gb/grouping", "circuits_count"), ("gb/grouping_buried", "circuits_count"),
                         ("gb/grouping_ducts", "ducts_count")])  # fmt: skip
def test_alone_is_one(table: str, count: str) -> None:
    alone = [float(row["cg_ratio"]) for row in rows(table) if row[count] == "1"]

    assert alone
    assert set(alone) == {1.0}


@pytest.mark.parametrize(
    ("table", "keys", "ratio"),
    [
        # IEC 60364-5-52 Tables B.52.17 to B.52.19 and B.52.16, as in the copy named in the rows
        ("gb/grouping", {"arrangement": "bunched", "circuits_count": 3}, 0.70),
        ("gb/grouping", {"arrangement": "perforated_tray_touching", "circuits_count": 2}, 0.88),
        ("gb/grouping_buried", {"spacing": "0.125_m", "circuits_count": 4}, 0.70),
        ("gb/grouping_ducts", {"spacing": "touching", "ducts_count": 2}, 0.85),
    ],
)
def test_grouping_reads_as_published(table: str, keys: dict[str, str | float], ratio: float) -> None:
    assert look_up(table, "cg_ratio", **keys).value == ratio


def test_wider_spacing_groups_no_worse() -> None:
    for table, count in (("gb/grouping_buried", "circuits_count"), ("gb/grouping_ducts", "ducts_count")):
        by_gap = {(row["spacing"], int(row[count])): float(row["cg_ratio"]) for row in rows(table)}
        order = list(dict.fromkeys(gap for gap, _ in by_gap))
        for number in range(2, 7):
            run = [by_gap[gap, number] for gap in order]
            assert run == sorted(run)


def test_soil_factor_is_one_at_the_reference_of_the_tables() -> None:
    for laid in ("direct", "duct"):
        assert look_up("iec/soil_resistivity", "cs_ratio", laid=laid, soil_k_m_per_w=2.5).value == 1.0


def test_wholly_surrounded_by_insulation_is_half() -> None:
    # 523.9: half the clipped-direct rating beyond 0.5 m
    assert look_up("gb/insulation_contact", "ci_ratio", length_mm=500).value == 0.5


def test_rewirable_fuse_factor_is_the_overload_margin_over_its_fusing_factor() -> None:
    # 1.45 / 2.0 = 0.725, and 0.725 x 0.9 = 0.6525 when buried
    assert look_up("gb/overload_factor", "cf_ratio", device="bs3036", laid="air").value == 1.45 / 2.0
    buried = look_up("gb/overload_factor", "cf_ratio", device="bs3036", laid="ground").value
    assert buried == pytest.approx(0.6525, abs=0.0006)


@pytest.mark.parametrize(("use", "limit_v"), [("lighting", 6.9), ("other", 11.5)])
def test_volt_drop_limits_in_volts(use: str, limit_v: float) -> None:
    # 6.9 V and 11.5 V at 230 V: Basic Electrical Installation Work, page 298
    assert look_up("gb/volt_drop_limit", "limit_percent", use=use).value / 100 * 230 == pytest.approx(limit_v)


def test_supply_limits_are_plus_10_and_minus_6_percent() -> None:
    declared = look_up("gb/supply_limits", "value_v", name="declared").value
    assert look_up("gb/supply_limits", "value_v", name="low").value == pytest.approx(declared * 0.94)
    assert look_up("gb/supply_limits", "value_v", name="high").value == pytest.approx(declared * 1.10)


def test_power_beside_each_current_is_230_volts_times_it() -> None:
    threshold_a = look_up("gb/network_notice", "value", name="threshold_a").value
    assert look_up("gb/network_notice", "value", name="threshold_kva").value == pytest.approx(
        threshold_a * 0.230
    )
    for row in rows("gb/cutout_ratings"):
        assert float(row["supply_kw"]) == pytest.approx(float(row["rating_a"]) * 0.230)


def test_open_pen_window_is_ten_percent_each_way() -> None:
    # 0.9 x 230 = 207, 1.1 x 230 = 253
    low, high = (look_up("gb/open_pen", "value", name=name).value for name in ("window_low", "window_high"))
    assert (low, high) == pytest.approx((0.9 * 230, 1.1 * 230))


@pytest.mark.parametrize("row", rows("iec/rod_group"), ids=lambda r: r["rods_count"])
def test_rod_group_factor_is_the_mean_mutual_reach(row: dict[str, str]) -> None:
    # n equal hemispheres in line, evenly spaced: lambda = 2/n x sum over k of (n - k)/k
    n = int(row["rods_count"])
    expected = 2 / n * sum((n - k) / k for k in range(1, n))

    assert float(row["lambda_ratio"]) == pytest.approx(expected, rel=0.015)
