"""The opponent: as good as he should be, never better than the bound, and the same every time."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from situations import WEAKEST_100, situation

from ampwright.assess.load_cap.attack import Fuse, horizon_count, many_warmed_ratio, worst_episode
from ampwright.assess.load_cap.bound import highest_a2s
from ampwright.assess.load_cap.day import memory_s, worst_day
from ampwright.assess.load_cap.replay import many_let_through_a2s
from ampwright.physics.fuses import Gate, warmed_ratio, windows_s
from ampwright.physics.tails import Conductor, never_above_c

LENGTHS = windows_s(upto_s=600, each_to_s=120, growth_ratio=0.04)
TAILS = Conductor(rated_a=114, rated_c=70, around_c=30, zero_c=234.5, constant_s=305.0)


def proved(case):
    return warmed_ratio(lengths_s=LENGTHS, let_through_a2s=highest_a2s(case, LENGTHS),
                        nonfusing_a=WEAKEST_100.nonfusing_a, gates=[WEAKEST_100.gate])  # fmt: skip


@pytest.mark.parametrize(
    "changes",
    [{}, {"house_a": 100, "cap_a": 95}, {"message_s": 5, "watchdog_s": 15}, {"response_s": 10, "watchdog_s": 30},
     {"unseen_a": 10, "house_a": 85}, {"pick_up_a": 3}],
)  # fmt: skip
def test_what_he_finds_lies_just_below_what_is_proved(changes):
    case = situation(**changes)
    episode = worst_episode(case, WEAKEST_100)
    assert 0.88 * proved(case) < episode.warmed_ratio <= proved(case) + 1e-9


def test_he_does_better_than_a_single_step_by_hand():
    # 80 A of house steps on under a 32 A car from 100 A: 112 A for 1 + 5 s, then about 99.5 A again. Memory 53.8 s:
    # (6 x 112^2 + 47.8 x 99.5^2) / 53.8 / 125^2 = 0.652; with the watchdog's 10 s on top 0.680
    assert worst_episode(situation(), WEAKEST_100).warmed_ratio > 0.66


def test_the_same_seed_finds_the_same():
    first, second = (worst_episode(situation(), WEAKEST_100, seed=5) for _ in range(2))
    assert np.array_equal(first.house_a, second.house_a)
    assert first.warmed_ratio == second.warmed_ratio


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_many_at_once_agree_with_one_at_a_time(seed):
    currents_a = np.random.default_rng(seed).uniform(0, 160, (3, 400))
    through = many_let_through_a2s(currents_a, LENGTHS)
    many = many_warmed_ratio(through, LENGTHS, WEAKEST_100)
    for row in range(3):
        one = warmed_ratio(lengths_s=LENGTHS, let_through_a2s=through[row].tolist(),
                           nonfusing_a=WEAKEST_100.nonfusing_a, gates=[WEAKEST_100.gate])  # fmt: skip
        assert many[row] == pytest.approx(one)


def test_no_current_at_all_does_not_warm():
    assert many_warmed_ratio(np.zeros((1, len(LENGTHS))), LENGTHS, WEAKEST_100)[0] == 0


def test_slow_readings_still_make_an_episode():
    slow = situation(message_s=120, response_s=120, watchdog_s=120)
    assert horizon_count(slow) == 12
    assert worst_episode(slow, WEAKEST_100).warmed_ratio > 0


@pytest.fixture(scope="module")
def day():
    return worst_day(situation(), WEAKEST_100, TAILS, days_count=2)


def test_a_day_is_a_day(day):
    for each in (day.house_a, day.car_a, day.total_a, day.tails_c, day.lost):
        assert each.shape == (86_400,)
    assert day.total_a == pytest.approx(day.house_a + day.car_a)
    assert day.house_a.max() <= 80
    assert day.car_a.max() <= 32
    assert set(np.unique(day.car_a < 6)) <= {True, False}
    assert not ((day.car_a > 0) & (day.car_a < 6)).any()
    assert day.lost.mean() < 0.11


def test_a_day_stays_below_what_is_proved_and_holds_the_episode(day):
    assert 0.88 * proved(situation()) < day.warmed_ratio <= proved(situation()) * 1.005
    bound_c = never_above_c(lengths_s=LENGTHS, let_through_a2s=highest_a2s(situation(), LENGTHS), conductor=TAILS)
    assert 50 < day.hottest_c <= bound_c
    before = day.total_a[day.fuse_at_s - memory_s(WEAKEST_100):day.fuse_at_s]
    assert (before**2).mean() / 125**2 > 0.85 * day.warmed_ratio


def test_the_memory_by_hand():
    # 10 s x (290 / 125)^2 = 53.8 s
    assert memory_s(WEAKEST_100) == 54
    assert memory_s(Fuse(100.0, Gate(215.0, 10.0))) == 46


def test_readings_seven_seconds_apart_make_whole_days():
    day = worst_day(situation(message_s=7, watchdog_s=14), WEAKEST_100, TAILS, days_count=2)
    assert day.total_a.shape == (86_400,)
