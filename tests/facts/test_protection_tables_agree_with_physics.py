"""Tables for faults and shock against the equations that they were made from."""

from __future__ import annotations

import math

import pytest

from ampwright.facts import look_up, look_up_at_least, rows

# IEC 60364-5-54 Annex A: heat capacity J/(K mm3), beta C, resistivity at 20 C ohm mm
METALS = {
    "copper": (3.45e-3, 234.5, 17.241e-6),
    "aluminium": (2.5e-3, 228.0, 28.264e-6),
    "steel": (3.8e-3, 202.0, 138e-6),
}
CMIN_V = 230 * 0.95


@pytest.mark.parametrize(
    "row", rows("iec/k_factors"), ids=lambda r: f"{r['role']}-{r['material']}-{r['insulation']}"
)
def test_k_is_the_heat_the_metal_can_take(row: dict[str, str]) -> None:
    heat, beta_c, rho20 = METALS[row["material"]]
    start_c, end_c = float(row["initial_c"]), float(row["final_c"])

    expected = math.sqrt(heat * (beta_c + 20) / rho20 * math.log((beta_c + end_c) / (beta_c + start_c)))
    assert float(row["k"]) == pytest.approx(expected, abs=0.6)


def max_zs(*devices: str) -> list[dict[str, str]]:
    return [row for row in rows("gb/max_zs") if row["device"] in devices]


@pytest.mark.parametrize("row", max_zs("mcb"), ids=lambda r: f"{r['curve']}{r['rating_a']}-{r['time_s']}")
def test_breaker_zs_is_the_least_voltage_over_the_tripping_current(row: dict[str, str]) -> None:
    multiple = {
        ("B", "0.4"): 5,
        ("B", "5"): 5,
        ("C", "0.4"): 10,
        ("C", "5"): 10,
        ("D", "0.4"): 20,
        ("D", "5"): 10,
    }
    trips_a = multiple[row["curve"], row["time_s"]] * float(row["rating_a"])

    assert float(row["ia_a"]) == trips_a
    assert float(row["zs_ohm"]) == pytest.approx(CMIN_V / trips_a, abs=0.0051)


@pytest.mark.parametrize("row", max_zs("bs88_2", "bs88_3", "bs3036", "bs1362"),
                         ids=lambda r: f"{r['device']}-{r['rating_a']}-{r['time_s']}")  # fmt: skip
def test_fuse_zs_and_fuse_current_are_one_pair(row: dict[str, str]) -> None:
    # the current is printed to the ampere
    assert CMIN_V / float(row["zs_ohm"]) == pytest.approx(float(row["ia_a"]), abs=0.51)


@pytest.mark.parametrize("row", max_zs("bs1361"), ids=lambda r: f"{r['rating_a']}-{r['time_s']}")
def test_withdrawn_fuse_has_the_lower_voltage_taken_off(row: dict[str, str]) -> None:
    printed_ohm, kept_ohm = float(row["zs_2008_ohm"]), float(row["zs_ohm"])

    assert 230 / printed_ohm == pytest.approx(float(row["ia_a"]), abs=0.51)
    assert -1e-9 <= printed_ohm * 0.95 - kept_ohm < 0.01


@pytest.mark.parametrize("row", rows("gb/tt_max_ra"), ids=lambda r: r["idn_ma"])
def test_table_41_5_is_50_volts_over_the_residual_current(row: dict[str, str]) -> None:
    assert float(row["ra_ohm"]) == pytest.approx(50 / float(row["idn_ma"]) * 1000, abs=0.5)


@pytest.mark.parametrize(("earthing", "circuit", "time_s"),
                         [("TN", "final_to_32a", 0.4), ("TT", "final_to_32a", 0.2),
                          ("TN", "other", 5), ("TT", "other", 1)])  # fmt: skip
def test_disconnection_times_are_those_of_chapter_41(earthing: str, circuit: str, time_s: float) -> None:
    # BS 7671 Table 41.1 and 411.3.2.3 to 411.3.2.4 (0.4 and 5 s also in a textbook, page 251)
    assert look_up("gb/disconnection_time", "time_s", earthing=earthing, circuit=circuit).value == time_s


@pytest.mark.parametrize("rating_a", [63, 80, 100])
def test_fuse_gate_and_fuse_curve_meet_at_five_seconds(rating_a: int) -> None:
    # two roads to one current: the IEC 60269-1 gate, and 218.5 V over the Zs of Table 41.4
    gate = look_up("iec/fuse_gates", "current_a", rating_a=rating_a, gate="clear_by_5s").value
    curve = look_up("gb/fuse_points", "current_a", device="bs88_3", rating_a=rating_a, time_s=5).value

    assert curve == pytest.approx(gate, rel=0.01)


@pytest.mark.parametrize("rating_a", sorted({float(row["rating_a"]) for row in rows("iec/fuse_gates")}))
def test_gates_of_one_fuse_stand_in_order(rating_a: float) -> None:
    order = ["not_below_10s", "clear_by_5s", "not_below_0.1s", "clear_by_0.1s"]
    amps = [look_up("iec/fuse_gates", "current_a", rating_a=rating_a, gate=gate).value for gate in order]

    assert amps == sorted(set(amps))
    assert amps[0] > 1.6 * rating_a


def test_a_better_class_lets_less_through() -> None:
    kept = {(r["class"], r["curve"], r["breaking_ka"], r["rating_to_a"]): float(r["i2t_a2s"])
            for r in rows("gb/mcb_let_through")}  # fmt: skip
    pairs = [(kept["3", c, b, r], worse) for (class_, c, b, r), worse in kept.items() if class_ == "2"]

    assert pairs
    assert all(better < worse for better, worse in pairs)
    assert all(value < kept[class_, "C", b, r] for (class_, c, b, r), value in kept.items() if c == "B")


def test_breaker_bands_meet_end_to_end() -> None:
    bands = [(float(row["low_ratio"]), float(row["high_ratio"])) for row in rows("gb/mcb_bands")]

    assert bands == [(3, 5), (5, 10), (10, 20)]  # BS EN 60898-1


def test_bare_buried_copper_needs_more_than_sheathed() -> None:
    least = {(row["protection"], row["material"]): float(row["least_mm2"])
             for row in rows("gb/buried_earthing_conductor")}  # fmt: skip

    assert least["corrosion_only", "copper"] < least["none", "copper"] < least["none", "coated_steel"]


@pytest.mark.parametrize(
    ("line_mm2", "least_mm2"), [(6, 6), (16, 16), (25, 16), (35, 16), (50, 25), (70, 35)]
)
def test_table_54_7_gives_the_usual_cpc_sizes(line_mm2: float, least_mm2: float) -> None:
    # S to 16 mm2, 16 mm2 to 35, then S/2: 50/2 = 25, 70/2 = 35
    share = look_up_at_least("gb/min_cpc", "share_ratio", "line_to_mm2", line_mm2).value
    extra_mm2 = look_up_at_least("gb/min_cpc", "least_mm2", "line_to_mm2", line_mm2).value

    assert share * line_mm2 + extra_mm2 == least_mm2
