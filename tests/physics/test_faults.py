"""Fault loops and what conductors stand, against published figures and sums done by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampwright.physics import faults

# A bent line on log-log sheet: a decade of current for two decades of time, then one for one.
BENT = [(10.0, 1000.0), (100.0, 10.0), (1000.0, 1.0)]


def test_loop_is_the_plain_sum():
    # 22 m of 2.5/1.5 mm2 (trade forum thread 62865): R1 0.163, R2 0.266, together 0.429; with Ze 0.35, 0.779
    assert faults.loop_ohm(ze_ohm=0.35, r1_ohm=0.163, r2_ohm=0.266) == pytest.approx(0.779)


@pytest.mark.parametrize(
    ("loop_ohm", "published_a"),
    # "Basic Electrical Installation Work" p. 261: 230 V / 1.15 ohm = 200 A; trade forum 20007: 0.5 ohm, 460 A
    [(1.15, 200), (0.5, 460)],
)
def test_fault_current_as_published(loop_ohm, published_a):
    current_a = faults.fault_current_a(voltage_v=230, loop_ohm=loop_ohm, factor_ratio=1)

    assert current_a == pytest.approx(published_a)


@pytest.mark.parametrize(
    ("operating_a", "published_ohm"),
    # BS 7671 table 41.3 (reprinted): B6, B16, B32, B40, C32, D32
    [(30, 7.28), (80, 2.73), (160, 1.37), (200, 1.09), (320, 0.68), (640, 0.34)],
)
def test_greatest_loop_is_that_of_table_41_3(operating_a, published_ohm):
    zs_ohm = faults.max_zs_ohm(voltage_v=230, cmin_ratio=0.95, operating_a=operating_a)

    assert zs_ohm == pytest.approx(published_ohm, abs=0.005)


@pytest.mark.parametrize(
    ("current_a", "time_s", "k", "published_mm2"),
    # textbook p. 261 (1.1) and p. 262 (0.49); trade forum 20007 (1.26); 190918 (its 18, 5 and 3.7 are rounded
    # down, which a fitter must not do: 800 sqrt(5) / 95 = 18.83, 800 sqrt(0.4) / 95 = 5.33, sqrt(0.2) 3.77)
    [
        (200, 0.4, 115, 1.10),
        (90, 0.4, 115, 0.495),
        (460, 0.1, 115, 1.265),
        (800, 5, 95, 18.83),
        (800, 0.4, 95, 5.33),
        (800, 0.2, 95, 3.77),
    ],
)
def test_least_conductor_as_published(current_a, time_s, k, published_mm2):
    assert faults.adiabatic_mm2(current_a=current_a, time_s=time_s, k=k) == pytest.approx(published_mm2, abs=0.006)


def test_withstand_by_hand_and_against_the_least_conductor():
    # 115^2 x 1.5^2 = 13225 x 2.25 = 29756 A2s
    assert faults.withstand_a2s(k=115, size_mm2=1.5) == pytest.approx(29756.25)


@given(current_a=st.floats(10, 20000), time_s=st.floats(0.01, 5), k=st.floats(40, 230))
def test_the_least_conductor_stands_just_what_is_let_through(current_a, time_s, k):
    size_mm2 = faults.adiabatic_mm2(current_a=current_a, time_s=time_s, k=k)

    assert faults.withstand_a2s(k=k, size_mm2=size_mm2) == pytest.approx(current_a**2 * time_s, rel=1e-9)


def test_three_ways_to_the_three_phase_current_agree_where_neutral_equals_line():
    # 230.94 V to neutral, 0.1 ohm a line and as much in the neutral: 1154.7 A to neutral, 400 / 0.2 = 2000 A
    # between two lines, 2309.4 A across three
    assert faults.three_phase_bound_a(phase_neutral_a=1154.70) == pytest.approx(2309.4, abs=0.1)
    assert faults.three_phase_from_two_lines_a(line_to_line_a=2000) == pytest.approx(2309.4, abs=0.1)
    assert faults.three_phase_a(line_voltage_v=400, line_ohm=0.1, factor_ratio=1) == pytest.approx(2309.4, abs=0.1)


@pytest.mark.parametrize(
    ("current_a", "expected_s"),
    # by hand on the bent line: half a decade along is sqrt(10) x current; low end never, high end held
    [
        (10, 1000),
        (31.6228, 100),
        (100, 10),
        (316.228, 3.16228),
        (1000, 1),
        (9.99, math.inf),
        (5000, 1),
    ],
)
def test_time_read_off_the_curve(current_a, expected_s):
    assert faults.operating_time_s(current_a=current_a, points=BENT) == pytest.approx(expected_s, rel=1e-4)


def test_order_of_points_is_no_matter():
    assert faults.operating_time_s(current_a=50, points=BENT[::-1]) == faults.operating_time_s(
        current_a=50, points=BENT
    )


@given(first_a=st.floats(1, 5000), second_a=st.floats(1, 5000))
def test_more_current_never_takes_longer(first_a, second_a):
    low_a, high_a = sorted((first_a, second_a))

    slow_s = faults.operating_time_s(current_a=low_a, points=BENT)
    quick_s = faults.operating_time_s(current_a=high_a, points=BENT)

    assert quick_s <= slow_s * (1 + 1e-12)


@pytest.mark.parametrize(
    ("points", "says"),
    [
        ([(10, 1)], "at least two"),
        ([(10, 1), (10, 0.5)], "no more time"),
        ([(10, 1), (20, 2)], "no more time"),
        ([(0, 1), (20, 0.5)], "point_a"),
        ([(10, 1), (20, 0)], "point_s"),
    ],
)
def test_refuses_a_curve_that_is_none(points, says):
    with pytest.raises(ValueError, match=says):
        faults.operating_time_s(current_a=15, points=points)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: faults.fault_current_a(voltage_v=230, loop_ohm=0, factor_ratio=1), "loop_ohm"),
        (lambda: faults.loop_ohm(ze_ohm=0.3, r1_ohm=-0.1, r2_ohm=0), "r1_ohm"),
        (lambda: faults.max_zs_ohm(voltage_v=230, cmin_ratio=0.95, operating_a=0), "operating_a"),
        (lambda: faults.adiabatic_mm2(current_a=100, time_s=5.1, k=115), "5 s"),
        (lambda: faults.withstand_a2s(k=0, size_mm2=1.5), "k"),
        (lambda: faults.three_phase_bound_a(phase_neutral_a=-1), "phase_neutral_a"),
    ],
)
def test_names_the_number_at_fault(call, named):
    with pytest.raises(ValueError, match=named):
        call()
