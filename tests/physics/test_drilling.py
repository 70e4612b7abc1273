"""Holes and bends against trigonometry worked by hand and against a plain search."""

import itertools
import math
import random

import numpy as np
import pytest
from scipy.optimize import minimize

from ampwright.physics.drilling import (
    breakout_error_mm,
    drilled_mm,
    gap_mm,
    inner_radius_at_mm,
    shift_mm,
    stand_off_mm,
    turn_deg,
)


def test_a_hole_that_falls_five_degrees_through_300_mm():
    # tan 5 deg = 0.087489: it drops 300 x 0.087489 = 26.25 mm, and is 300 / cos 5 deg = 300 / 0.996195 = 301.15 mm long
    assert shift_mm(thickness_mm=300, angle_deg=5) == pytest.approx(26.25, abs=0.01)
    assert drilled_mm(thickness_mm=300, fall_deg=5, skew_deg=0) == pytest.approx(301.15, abs=0.01)


def test_a_hole_that_falls_and_swings_aside():
    # 3-4-12: through 12, down 4, aside 3 is 13 long (9 + 16 + 144 = 169)
    fall_deg, skew_deg = math.degrees(math.atan2(4, 12)), math.degrees(math.atan2(3, 12))
    assert drilled_mm(thickness_mm=12, fall_deg=fall_deg, skew_deg=skew_deg) == pytest.approx(13)


def test_two_degrees_of_aim_through_300_mm():
    # tan 7 deg - tan 5 deg = 0.122785 - 0.087489 = 0.035296; x 300 = 10.59 mm, and 3 mm for measuring: 13.59 mm
    assert breakout_error_mm(thickness_mm=300, angle_deg=5, aim_deg=2, measuring_mm=3) == pytest.approx(13.59, abs=0.01)
    # too steep is worse than too flat: tan 5 deg - tan 3 deg = 0.087489 - 0.052408 = 0.035081
    assert breakout_error_mm(thickness_mm=300, angle_deg=-5, aim_deg=2, measuring_mm=0) > 300 * 0.035081


@pytest.mark.parametrize(("fall_deg", "skew_deg", "along", "up", "turn"), [
    (0, 0, 1, 0, 90), (0, 0, 0, -7, 90), (5, 0, 0, -1, 85), (5, 0, 0, 1, 95), (0, 30, 2, 0, 60), (0, 30, -2, 0, 120),
    (45, 0, 0, -1, 45),
])  # fmt: skip
def test_a_hole_towards_the_run_spares_its_own_angle(fall_deg, skew_deg, along, up, turn):
    assert turn_deg(fall_deg=fall_deg, skew_deg=skew_deg, run_along_mm=along, run_up_mm=up) == pytest.approx(turn)


def test_the_stand_off_of_an_armoured_cable():
    # 3 x 6 mm2, 16.6 mm: inner radius 6 x 16.6 = 99.6, middle line 99.6 + 8.3 = 107.9. Square: 107.9 - 8.3 = 99.6 mm.
    assert stand_off_mm(inner_radius_mm=99.6, diameter_mm=16.6, angle_deg=90) == pytest.approx(99.6)
    # 60 deg: 107.9 x (1 - 0.5) - 8.3 = 45.65 mm; 85 deg: 107.9 x (1 - 0.087156) - 8.3 = 90.20 mm
    assert stand_off_mm(inner_radius_mm=99.6, diameter_mm=16.6, angle_deg=60) == pytest.approx(45.65)
    assert stand_off_mm(inner_radius_mm=99.6, diameter_mm=16.6, angle_deg=85) == pytest.approx(90.20, abs=0.01)


@pytest.mark.parametrize("angle_deg", [45, 85, 90, 95, 120])
def test_the_stand_off_is_the_height_of_an_arc_walked_in_small_steps(angle_deg):
    radius_mm, steps = 60 + 10, 20_000
    headings = np.radians(angle_deg) * (1 - (np.arange(steps) + 0.5) / steps)
    walked_mm = np.sum(radius_mm * np.radians(angle_deg) / steps * np.sin(headings))
    assert stand_off_mm(inner_radius_mm=60, diameter_mm=20, angle_deg=angle_deg) == pytest.approx(walked_mm - 10)


@pytest.mark.parametrize("angle_deg", [45, 90, 110])
def test_the_radius_and_the_stand_off_are_each_others_reverse(angle_deg):
    off_mm = stand_off_mm(inner_radius_mm=80, diameter_mm=14, angle_deg=angle_deg)
    assert inner_radius_at_mm(stand_off_mm=off_mm, diameter_mm=14, angle_deg=angle_deg) == pytest.approx(80)


def test_a_cable_hardly_turned_touches_the_wall():
    assert stand_off_mm(inner_radius_mm=60, diameter_mm=20, angle_deg=5) == 0


@pytest.mark.parametrize(("first", "second", "gap"), [
    (((0, 0, 0), (10, 0, 0)), ((0, 3, 4), (10, 3, 4)), 5),
    (((0, 0, 0), (10, 0, 0)), ((5, -5, 2), (5, 5, 2)), 2),
    (((0, 0, 0), (10, 0, 0)), ((13, 4, 0), (20, 4, 0)), 5),
    (((0, 0, 0), (0, 0, 0)), ((3, 0, 4), (3, 9, 4)), 5),
    (((0, 0, 0), (10, 0, 0)), ((4, 1, 0), (4, 1, 0)), 1),
    (((0, 0, 0), (10, 0, 0)), ((5, -5, 0), (5, 5, 0)), 0),
])  # fmt: skip
def test_gaps_that_can_be_seen(first, second, gap):
    assert gap_mm(first=first, second=second) == pytest.approx(gap)
    assert gap_mm(first=second, second=first[::-1]) == pytest.approx(gap)


def test_the_gap_is_what_a_minimiser_finds():
    draw = random.Random(7)
    for _ in range(40):
        ends = np.array([[draw.uniform(-100, 100) for _ in range(3)] for _ in range(4)])

        def apart(share, ends=ends):
            return math.dist(ends[0] + share[0] * (ends[1] - ends[0]), ends[2] + share[1] * (ends[3] - ends[2]))

        least = min(minimize(apart, start, bounds=[(0, 1), (0, 1)]).fun
                    for start in itertools.product((0.0, 0.5, 1.0), repeat=2))  # fmt: skip
        assert gap_mm(first=(ends[0], ends[1]), second=(ends[2], ends[3])) == pytest.approx(least, abs=1e-3)


@pytest.mark.parametrize("wrong", [
    lambda: drilled_mm(thickness_mm=0, fall_deg=5, skew_deg=0), lambda: shift_mm(thickness_mm=100, angle_deg=60),
    lambda: turn_deg(fall_deg=0, skew_deg=0, run_along_mm=0, run_up_mm=0),
    lambda: breakout_error_mm(thickness_mm=100, angle_deg=58, aim_deg=3, measuring_mm=0),
    lambda: inner_radius_at_mm(stand_off_mm=1, diameter_mm=5, angle_deg=0),
])  # fmt: skip
def test_what_cannot_be_drilled_is_refused(wrong):
    with pytest.raises(ValueError):
        wrong()
