"""The electrode: rods in line by BS 7430, against a table of rods worked out before the code was written."""

import math

import pytest
from jobs import house

from ampwright.reading import BEST, WORST, assumed, measured
from ampwright.rules.iec.electrode import electrode_gaps, electrode_ohm, electrode_ranges
from ampwright.working import Working

ROD = {
    "electrode.fitted": True, "electrode.rods_count": 1, "electrode.rod_length_m": measured(1.2),
    "electrode.rod_diameter_mm": 14.2, "electrode.soil_ohm_m": measured(100),
}  # fmt: skip


def ohm(changes, end=WORST):
    return electrode_ohm(house({**ROD, **changes}), end, Working())


@pytest.mark.parametrize(
    ("soil_ohm_m", "length_m", "expected_ohm"),
    # by hand: 100 / (2 pi 1.2) x (ln(8 x 1.2 / 0.0142) - 1) = 13.263 x 5.516 = 73.2, and others of the notes' table
    [(100, 1.2, 73.2), (50, 2.4, 20.6), (200, 1.8, 105), (1000, 4.8, 229)],
)
def test_one_rod_agrees_with_the_sums_done_by_hand(soil_ohm_m, length_m, expected_ohm):
    changes = {"electrode.soil_ohm_m": measured(soil_ohm_m), "electrode.rod_length_m": measured(length_m)}
    assert ohm(changes) == pytest.approx(expected_ohm, rel=0.005)


@pytest.mark.parametrize(("rods", "expected_ohm"), [(2, 39.9), (3, 28.1), (4, 21.9)])
def test_rods_in_line_agree_with_the_sums_done_by_hand(rods, expected_ohm):
    # a = 100 / (2 pi x 73.2 x 2.4) = 0.0906; two rods 73.2 x 1.0906 / 2 = 39.9
    changes = {"electrode.rods_count": rods, "electrode.spacing_m": measured(2.4)}
    assert ohm(changes) == pytest.approx(expected_ohm, abs=0.06)


def test_a_reading_outranks_the_rods_and_is_taken_at_its_end():
    changes = {"electrode.measured_ohm": assumed(60, 90, "two tests")}
    assert ohm(changes) == 90
    assert ohm(changes, BEST) == 60
    assert electrode_ranges(house({**ROD, **changes})) == ("electrode.measured_ohm",)


def test_worse_soil_and_a_shorter_rod_are_the_worse_end():
    changes = {"electrode.soil_ohm_m": assumed(50, 100, "clay"), "electrode.rod_length_m": assumed(1.2, 2.4, "stated")}
    # 73.2 ohm of the notes for 100 ohm m and 1.2 m, 20.6 ohm for 50 ohm m and 2.4 m
    assert ohm(changes) == pytest.approx(73.2, abs=0.1)
    assert ohm(changes, BEST) == pytest.approx(20.6, abs=0.1)


@pytest.mark.parametrize(
    ("changes", "gap"),
    [
        ({"electrode.soil_ohm_m": None}, "electrode.soil_ohm_m"),
        ({"electrode.soil_ohm_m": measured(0)}, "electrode.soil_ohm_m"),
        ({"electrode.rods_count": 2}, "electrode.spacing_m"),
        ({"electrode.rod_length_m": measured(0.1)}, "electrode.rod_length_m"),
        ({"electrode.measured_ohm": measured(0)}, "electrode.measured_ohm"),
    ],
)
def test_asks_for_what_is_missing_or_cannot_be(changes, gap):
    assert electrode_gaps(house({**ROD, **changes})) == (gap,)


def test_asks_for_the_reading_first_where_nothing_is_known():
    assert electrode_gaps(house())[0] == "electrode.measured_ohm"
    assert electrode_gaps(house(ROD)) == ()


def test_shows_the_equation_and_warns_of_rods_too_close():
    sheet = Working()
    electrode_ohm(house({**ROD, "electrode.rods_count": 2, "electrode.spacing_m": measured(0.6)}), WORST, sheet)
    shown = {step.symbol: step for step in sheet.steps}
    assert shown["Rrod"].formula == "rho / (2 * pi * Lrod) * (ln(8 * Lrod / drod) - 1)"
    assert shown["arod"].value == pytest.approx(100 / (2 * math.pi * 73.16 * 0.6), rel=1e-3)
    assert any("closer than their length" in step.formula for step in sheet.steps)
