"""Rods and the broken PEN, against a mutual-potential integral, published figures and sums by hand."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate

from ampwright.physics import earthing

# BS 7430 group factors for rods in line (memory); the integral below is their outside check.
LAMBDA = {2: 1.00, 3: 1.66, 4: 2.15}


def by_integral_ohm(*, rods, length_m, diameter_m, soil_ohm_m, spacing_m):
    """Rods as line sources of even current, with images above ground, all at one mean potential."""

    def mean_potential(distance_m):
        def seen_from(z_m):
            return math.asinh((length_m - z_m) / distance_m) + math.asinh((length_m + z_m) / distance_m)

        total, _ = integrate.quad(seen_from, 0, length_m, limit=200)
        return soil_ohm_m / (4 * math.pi * length_m) * total / length_m

    gaps = [[abs(i - j) * spacing_m or diameter_m / 2 for j in range(rods)] for i in range(rods)]
    matrix = np.array([[mean_potential(gap) for gap in row] for row in gaps])
    return 1 / np.linalg.solve(matrix, np.ones(rods)).sum()


@pytest.mark.parametrize(
    ("length_m", "diameter_m", "by_hand_ohm"),
    # 100 / (2 pi 1.2) = 13.263; ln(8 x 1.2 / 0.016) = ln 600 = 6.3969; 13.263 x 5.3969 = 71.58
    # 100 / (2 pi 2.4) = 6.6315; ln(8 x 2.4 / 0.016) = ln 1200 = 7.0901; 6.6315 x 6.0901 = 40.39
    [(1.2, 0.016, 71.58), (2.4, 0.016, 40.39)],
)
def test_one_rod_by_hand(length_m, diameter_m, by_hand_ohm):
    ohm = earthing.rod_ohm(soil_ohm_m=100, length_m=length_m, diameter_m=diameter_m)

    assert ohm == pytest.approx(by_hand_ohm, abs=0.01)


@pytest.mark.parametrize("length_m", [1.2, 2.4, 3.6])
@pytest.mark.parametrize("diameter_m", [0.009, 0.0142, 0.016])
def test_one_rod_by_integral(length_m, diameter_m):
    ohm = earthing.rod_ohm(soil_ohm_m=100, length_m=length_m, diameter_m=diameter_m)

    assert ohm == pytest.approx(
        by_integral_ohm(rods=1, length_m=length_m, diameter_m=diameter_m, soil_ohm_m=100, spacing_m=1),
        rel=0.005,
    )


@pytest.mark.parametrize(
    ("rods", "spacing_m", "within_ratio"), [(2, 1.2, 0.03), (2, 2.4, 0.01), (3, 2.4, 0.01), (4, 2.4, 0.015)]
)
def test_rods_in_line_by_integral(rods, spacing_m, within_ratio):
    single_ohm = earthing.rod_ohm(soil_ohm_m=100, length_m=1.2, diameter_m=0.016)

    ohm = earthing.rods_in_line_ohm(
        single_ohm=single_ohm, soil_ohm_m=100, spacing_m=spacing_m, rods_count=rods, lambda_ratio=LAMBDA[rods]
    )
    truth_ohm = by_integral_ohm(rods=rods, length_m=1.2, diameter_m=0.016, soil_ohm_m=100, spacing_m=spacing_m)

    assert ohm == pytest.approx(truth_ohm, rel=within_ratio)
    assert ohm >= truth_ohm * 0.999  # the formula errs to the cautious side


def test_rods_in_line_by_hand():
    # a = 100 / (2 pi 71.58 x 2.4) = 0.092642; 71.58 x 1.092642 / 2 = 39.106
    ohm = earthing.rods_in_line_ohm(single_ohm=71.58, soil_ohm_m=100, spacing_m=2.4, rods_count=2, lambda_ratio=1.0)

    assert ohm == pytest.approx(39.106, abs=0.001)


@pytest.mark.parametrize(
    ("load_w", "electrode_ohm", "by_hand_v"),
    # 230^2 / 7400 = 7.14865 ohm: 230 x 1 / 8.14865 = 28.225; 230 x 10 / 17.14865 = 134.12
    # 230^2 / 1000 = 52.9 ohm: 230 x 100 / 152.9 = 150.43
    [(7400, 1, 28.225), (7400, 10, 134.12), (1000, 100, 150.43)],
)
def test_broken_pen_on_one_phase_is_a_divider(load_w, electrode_ohm, by_hand_v):
    touch_v = earthing.open_pen_touch_v(loads_w=[load_w], nominal_v=230, electrode_ohm=electrode_ohm)
    lines_v = earthing.open_pen_lines_v(loads_w=[load_w], nominal_v=230, electrode_ohm=electrode_ohm)

    assert touch_v == pytest.approx(by_hand_v, abs=0.01)
    assert lines_v == pytest.approx((230 - by_hand_v,), abs=0.01)


def test_broken_pen_on_three_phases_by_hand():
    # one phase alone of three: Y = 7400 / 52900 = 0.139887 S, V = 230 x 0.139887 / (0.139887 + 1) = 28.225 V
    # L2 to PEN: |230 at -120 deg less 28.225| = sqrt((-115 - 28.225)^2 + 199.186^2) = 245.33 V
    touch_v = earthing.open_pen_touch_v(loads_w=[7400, 0, 0], nominal_v=230, electrode_ohm=1)
    lines_v = earthing.open_pen_lines_v(loads_w=[7400, 0, 0], nominal_v=230, electrode_ohm=1)

    assert touch_v == pytest.approx(28.225, abs=0.01)
    assert lines_v == pytest.approx((201.775, 245.33, 245.33), abs=0.01)


@given(load_w=st.floats(100, 20000), electrode_ohm=st.floats(0.5, 500))
def test_even_loads_put_nothing_on_the_pen(load_w, electrode_ohm):
    touch_v = earthing.open_pen_touch_v(loads_w=[load_w] * 3, nominal_v=230, electrode_ohm=electrode_ohm)

    assert touch_v == pytest.approx(0, abs=1e-6)


@given(
    loads_w=st.lists(st.floats(0, 20000), min_size=3, max_size=3),
    better_ohm=st.floats(0.5, 500),
    worse_by_ohm=st.floats(0, 500),
)
def test_a_worse_earth_never_touches_less(loads_w, better_ohm, worse_by_ohm):
    def touch_v(ohm):
        return earthing.open_pen_touch_v(loads_w=loads_w, nominal_v=230, electrode_ohm=ohm)

    assert touch_v(better_ohm) <= touch_v(better_ohm + worse_by_ohm) + 1e-9


def test_electrode_for_the_touch_limit():
    # 32.174 A (7.4 kW at 230 V): 70 x 230 / (32.174 x 160) = 3.1275 ohm; there the touch voltage is 70 V
    ohm = earthing.electrode_for_touch_limit_ohm(touch_limit_v=70, voltage_v=230, load_a=7400 / 230)

    assert ohm == pytest.approx(3.1275, abs=0.0005)
    assert earthing.open_pen_touch_v(loads_w=[7400], nominal_v=230, electrode_ohm=ohm) == pytest.approx(70)


def test_neutral_current_as_published():
    # BS 7671 annex A722.1 form: I1 - 7.5 = 24.5 and 0.866 x 5 = 4.33, so 24.88 A for 32, 10 and 5 A
    assert earthing.neutral_current_a(l1_a=32, l2_a=10, l3_a=5) == pytest.approx(24.88, abs=0.005)
    assert earthing.neutral_current_a(l1_a=20, l2_a=20, l3_a=20) == pytest.approx(0, abs=1e-12)


def test_pen_shift_by_hand():
    # the neutral 28.225 V towards L1 of 230 V: readings 201.775, 245.33 and 245.33 V; and back again
    shift_v = earthing.pen_shift_v(l1_n_v=201.775, l2_n_v=245.33, l3_n_v=245.33, source_v=230)

    assert shift_v == pytest.approx(28.225, abs=0.1)
    # a healthy 240 V supply told as 230 V: sqrt(57600 - 52900) = 68.56 V
    assert earthing.pen_shift_v(l1_n_v=240, l2_n_v=240, l3_n_v=240, source_v=230) == pytest.approx(68.56, abs=0.01)
    assert earthing.pen_shift_v(l1_n_v=220, l2_n_v=220, l3_n_v=220, source_v=230) == 0


@given(
    loads_w=st.lists(st.floats(100, 20000), min_size=3, max_size=3),
    electrode_ohm=st.floats(0.5, 500),
)
def test_the_shift_is_found_again_from_the_readings(loads_w, electrode_ohm):
    case = {"loads_w": loads_w, "nominal_v": 230, "electrode_ohm": electrode_ohm}
    l1, l2, l3 = earthing.open_pen_lines_v(**case)

    shift_v = earthing.pen_shift_v(l1_n_v=l1, l2_n_v=l2, l3_n_v=l3, source_v=230)

    assert shift_v == pytest.approx(earthing.open_pen_touch_v(**case), abs=1e-4)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: earthing.rod_ohm(soil_ohm_m=100, length_m=0.1, diameter_m=0.016), "too stout"),
        (lambda: earthing.rod_ohm(soil_ohm_m=-100, length_m=1.2, diameter_m=0.016), "soil_ohm_m"),
        (lambda: earthing.open_pen_touch_v(loads_w=[1, 2], nominal_v=230, electrode_ohm=1), "one or three"),
        (lambda: earthing.open_pen_touch_v(loads_w=[1, -2, 3], nominal_v=230, electrode_ohm=1), "L2"),
        (lambda: earthing.open_pen_touch_v(loads_w=[1], nominal_v=230, electrode_ohm=0), "electrode_ohm"),
        (lambda: earthing.electrode_for_touch_limit_ohm(touch_limit_v=230, voltage_v=230, load_a=1), "below"),
        (lambda: earthing.neutral_current_a(l1_a=1, l2_a=-1, l3_a=0), "l2_a"),
        (
            lambda: earthing.rods_in_line_ohm(single_ohm=70, soil_ohm_m=100, spacing_m=0, rods_count=2, lambda_ratio=1),
            "spacing_m",
        ),
    ],
)
def test_names_the_number_at_fault(call, named):
    with pytest.raises(ValueError, match=named):
        call()
