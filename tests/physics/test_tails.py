"""How warm the tails get: figures noted elsewhere, sums by hand, and scipy's solver of equations."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from ampwright.physics.fuses import highest_let_through_a2s, windows_s
from ampwright.physics.tails import (
    Conductor,
    hottest_c,
    never_above_c,
    steady_c,
    temperatures_c,
    time_constant_s,
)

# 25 mm2, clipped: 114 A (table 4D1A) takes it from 30 to 70 C
TAILS = Conductor(rated_a=114, rated_c=70, around_c=30, zero_c=234.5, constant_s=305.0)
LENGTHS = windows_s(upto_s=7200, each_to_s=60, growth_ratio=0.02)


@pytest.mark.parametrize(("current_a", "at_c"), [(95, 57), (100, 60), (114, 70), (125, 80), (145, 101)])
def test_agrees_with_the_figures_of_the_research_notes(current_a, at_c):
    # sensing_and_limits.md section 1.2, worked out there by another hand
    assert steady_c(current_a=current_a, conductor=TAILS) == pytest.approx(at_c, abs=0.8)


def test_time_constant_by_hand():
    # 3.45e-3 J/K/mm3 x 25,000 mm3/m x 40 K = 3,450 J/m; 114^2 x 0.727e-3 x 1.1965 ohm/m = 11.30 W/m; 305 s
    assert time_constant_s(size_mm2=25, r20_ohm_per_km=0.727, alpha20_per_k=0.00393, heat_j_per_k_mm3=0.00345,
                           rated_a=114, rated_c=70, around_c=30) == pytest.approx(305.2, abs=0.2)  # fmt: skip


def test_without_loss_it_warms_as_the_adiabatic_equation_has_it():
    # In a second at 10 kA 25 mm2 passes from 30 C by k = 226 sqrt(ln((234.5 + T2)/(234.5 + T1))) with k = I / S = 400:
    # (234.5 + T2) / 264.5 = exp((400 / 226)^2) = 22.9. BS 7671 section 543.1.3, constants for copper.
    # Time constant made to agree at rating: rated by r20 x ratio (234.5 + 70) / (234.5 + 20).
    constant_s = 3450 / (114**2 * 0.727e-3 * 304.5 / 254.5)
    body = Conductor(rated_a=114, rated_c=70, around_c=30, zero_c=234.5, constant_s=constant_s)
    ratio = (234.5 + hottest_c(currents_a=[10_000.0], start_c=30, conductor=body)) / 264.5
    assert math.log(ratio) == pytest.approx((400 / 226) ** 2, rel=0.07)


def test_agrees_with_a_general_solver():
    currents_a = [60.0] * 300 + [140.0] * 120 + [20.0] * 200 + [180.0] * 45

    def slope(at_s, at_c):
        current_a = currents_a[min(int(at_s), len(currents_a) - 1)]
        power = 40 * (current_a / 114) ** 2 * (234.5 + at_c) / 304.5
        return (power - (at_c - 30)) / 305.0

    solved = solve_ivp(slope, (0, len(currents_a)), [30.0], max_step=0.5, rtol=1e-7, t_eval=range(1, len(currents_a)))
    ours = temperatures_c(currents_a=currents_a, start_c=30, conductor=TAILS)
    assert np.max(np.abs(np.array(ours[:-1]) - solved.y[0])) < 0.2
    assert hottest_c(currents_a=currents_a, start_c=30, conductor=TAILS) == max(ours)


@given(st.lists(st.tuples(st.floats(0, 130), st.integers(1, 250)), min_size=1, max_size=5))
def test_nothing_passes_the_bound_while_the_rating_holds(blocks):
    currents_a = [current_a for current_a, length in blocks for _ in range(length)]
    through = highest_let_through_a2s(currents_a=currents_a, lengths_s=LENGTHS)
    bound_c = never_above_c(lengths_s=LENGTHS, let_through_a2s=through, conductor=TAILS)
    if bound_c <= TAILS.rated_c:
        assert hottest_c(currents_a=currents_a, start_c=30, conductor=TAILS) <= bound_c + 1e-9


def test_the_bound_is_near_for_a_steady_current():
    bound_c = never_above_c(lengths_s=LENGTHS, conductor=TAILS,
                            let_through_a2s=[114.0**2 * each for each in LENGTHS])  # fmt: skip
    assert 70 <= bound_c < 71


def test_too_much_runs_away():
    # q = 40 / 304.5 (I / 114)^2 = 1 at 314.5 A
    assert steady_c(current_a=314, conductor=TAILS) < math.inf
    assert steady_c(current_a=315, conductor=TAILS) == math.inf
    assert hottest_c(currents_a=[400.0] * 60, start_c=30, conductor=TAILS) > 90


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: steady_c(current_a=-1, conductor=TAILS), "zero or more"),
        (lambda: hottest_c(currents_a=[-1.0], start_c=30, conductor=TAILS), "zero or more"),
        (lambda: temperatures_c(currents_a=[-1.0], start_c=30, conductor=TAILS), "zero or more"),
        (lambda: never_above_c(lengths_s=[], let_through_a2s=[], conductor=TAILS), "at least one"),
        (lambda: time_constant_s(size_mm2=25, r20_ohm_per_km=0.727, alpha20_per_k=0.00393, heat_j_per_k_mm3=0.00345,
                                 rated_a=114, rated_c=30, around_c=30), "above zero"),
    ],
)  # fmt: skip
def test_senseless_numbers_are_refused(call, words):
    with pytest.raises(ValueError, match=words):
        call()
