"""Cable tables against laws that do not come from them."""

from __future__ import annotations

import math
from collections import defaultdict
from itertools import pairwise

import pytest

from ampwright.facts import look_up, rows

HOTTEST_C = {
    "flat_twin_and_earth": 70, "armoured_70c": 70, "multicore_70c": 70, "singles_70c": 70,
    "armoured_90c": 90, "singles_90c": 90,
}  # fmt: skip
HARDER_TO_EASIER = {
    "flat_twin_and_earth": ["103", "101", "A", "C"],
    "armoured_70c": ["D", "E"],
    "armoured_90c": ["C", "E"],
    "multicore_70c": ["A", "B", "C", "E"],
    "singles_70c": ["A", "B", "C"],
    "singles_90c": ["A", "B", "C"],
}


def ratings() -> dict[tuple[str, str, str, float], float]:
    return {
        (row["cable"], row["method"], row["loaded_count"], float(row["size_mm2"])): float(row["it_a"])
        for row in rows("gb/cable_ratings")
    }


@pytest.mark.parametrize(
    "row", rows("gb/volt_drop"), ids=lambda r: f"{r['cable']}-{r['loaded_count']}-{r['size_mm2']}"
)
def test_volt_drop_is_the_resistance_warmed(row: dict[str, str]) -> None:
    # k R20 (234.5 + T) / 254.5, k = 2 single phase, root 3 three phase (IEC 60228 R20, copper's 234.5)
    hot_c = HOTTEST_C[row["cable"]]
    r20 = look_up("iec/copper_resistance", "r20_ohm_per_km", size_mm2=row["size_mm2"]).value
    phases = 2 if row["loaded_count"] == "2" else math.sqrt(3)
    # single cores of 25 and 35 mm2 in conduit: a real alternating-current effect, printed to 0.05
    within = 0.04 if row["cable"] == "singles_70c" and float(row["size_mm2"]) >= 25 else 0.025

    assert float(row["mv_per_a_m"]) == pytest.approx(phases * r20 * (234.5 + hot_c) / 254.5, rel=within)


def test_ratings_grow_smoothly_with_size() -> None:
    # log It against log S: a mistyped entry breaks the slope, which runs from 0.42 to 0.78 in every series
    series: dict[tuple[str, str, str], list[tuple[float, float]]] = defaultdict(list)
    for (cable, method, loaded, size), it_a in ratings().items():
        series[cable, method, loaded].append((size, it_a))

    slopes = [
        math.log(b / a) / math.log(t / s)
        for run in series.values()
        for (s, a), (t, b) in pairwise(sorted(run))
    ]
    assert len(slopes) == len(ratings()) - len(series)
    assert all(0.42 <= slope <= 0.78 for slope in slopes)


@pytest.mark.parametrize("cable", HARDER_TO_EASIER)
def test_easier_cooling_carries_no_less(cable: str) -> None:
    found = ratings()
    for harder, easier in pairwise(HARDER_TO_EASIER[cable]):
        pairs = [
            (it_a, found[cable, easier, loaded, size])
            for (name, method, loaded, size), it_a in found.items()
            if (name, method) == (cable, harder)
        ]
        assert pairs
        assert all(low <= high for low, high in pairs)


def test_three_loaded_cores_carry_less_than_two() -> None:
    found = ratings()
    pairs = [(it_a, found[c, m, "2", s]) for (c, m, loaded, s), it_a in found.items() if loaded == "3"]

    assert pairs
    assert all(three < two for three, two in pairs)


@pytest.mark.parametrize(
    ("cooler", "hotter"), [("armoured_70c", "armoured_90c"), ("singles_70c", "singles_90c")]
)
def test_hotter_insulation_carries_more(cooler: str, hotter: str) -> None:
    found = ratings()
    pairs = [(it_a, found[hotter, m, n, s]) for (c, m, n, s), it_a in found.items() if c == cooler]

    assert pairs
    assert all(low < high for low, high in pairs)


@pytest.mark.parametrize(
    ("cable", "method", "size_mm2", "it_a"),
    [
        # "SWA Cables" page, Table 4E4A, and the extract of Table 4D1A: addresses in sources.csv
        ("armoured_90c", "C", 6, 62),
        ("armoured_90c", "D", 6, 53),
        ("armoured_90c", "E", 10, 90),
        ("singles_70c", "C", 25, 114),
        # Table 4D2A column C as in IEC 60364-5-52 Table B.52.2
        ("multicore_70c", "C", 6, 46),
    ],
)
def test_reads_as_published(cable: str, method: str, size_mm2: float, it_a: float) -> None:
    found = look_up("gb/cable_ratings", "it_a", cable=cable, method=method, loaded_count=2, size_mm2=size_mm2)

    assert found.value == it_a


@pytest.mark.parametrize("row", rows("gb/r1_plus_r2"), ids=lambda r: f"{r['line_mm2']}-{r['cpc_mm2']}")
def test_r1_plus_r2_is_the_sum_of_the_two_resistances(row: dict[str, str]) -> None:
    line, cpc = (
        look_up("iec/copper_resistance", "r20_ohm_per_km", size_mm2=row[size]).value
        for size in ("line_mm2", "cpc_mm2")
    )

    assert float(row["r1r2_mohm_per_m"]) == pytest.approx(line + cpc, abs=0.0051)


@pytest.mark.parametrize("row", [row for row in rows("gb/armoured_dimensions") if row["armour_mm2"]],
                         ids=lambda r: f"{r['cores_count']}x{r['size_mm2']}")  # fmt: skip
def test_armour_area_and_armour_resistance_tell_one_story(row: dict[str, str]) -> None:
    # steel's 0.138 ohm mm2/m over the area is 6 to 15 % under the stated maximum: lay and tolerance
    most = look_up(
        "gb/armour_resistance", "r20_ohm_per_km", cores_count=row["cores_count"], size_mm2=row["size_mm2"]
    )

    assert 0.85 <= 138 / float(row["armour_mm2"]) / most.value <= 0.94


def test_flexible_copper_resists_a_little_more_than_stiff() -> None:
    for row in rows("iec/copper_resistance_flexible"):
        stiff = look_up("iec/copper_resistance", "r20_ohm_per_km", size_mm2=row["size_mm2"]).value
        assert 1.0 < float(row["r20_ohm_per_km"]) / stiff < 1.11
