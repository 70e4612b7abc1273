"""What is proved: against every sequence of a small case, against random opponents, and in which way it moves."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from situations import WEAKEST_100, situation

from ampwright.assess.load_cap.bound import highest_a2s
from ampwright.assess.load_cap.replay import many_car_a, many_kept_losses, many_let_through_a2s, totals_a
from ampwright.physics.fuses import warmed_ratio, windows_s

LENGTHS = windows_s(upto_s=600, each_to_s=90, growth_ratio=0.05)


def warmed(case):
    through = highest_a2s(case, LENGTHS)
    return warmed_ratio(lengths_s=LENGTHS, let_through_a2s=through, nonfusing_a=WEAKEST_100.nonfusing_a,
                        gates=[WEAKEST_100.gate])  # fmt: skip


@pytest.mark.parametrize("changes", [{}, {"fallback_a": 16.0}, {"sensor_full_a": 105.0}, {"cap_a": 70.0},
                                     {"lost_ratio": 0.0, "watchdog_s": 1}, {"pick_up_a": 4.0}])  # fmt: skip
def test_no_sequence_of_a_small_case_passes_it(changes):
    # every house of three levels and every loss over six seconds, from a car at full current: 46,656 opponents
    case = situation(response_s=1, watchdog_s=2, **{"house_a": 80, **changes}) if "watchdog_s" not in changes else \
        situation(response_s=1, **changes)  # fmt: skip
    levels = (0.3 * case.house_a, case.tempting_a, case.house_a)
    houses = np.array(list(itertools.product(levels, repeat=6)))
    losses = np.array(list(itertools.product([False, True], repeat=6)))
    house_a = np.repeat(houses, len(losses), axis=0)[:, :, None]
    lost = many_kept_losses(case, np.tile(losses, (len(houses), 1)))
    totals = totals_a(case, house_a, many_car_a(case, house_a, lost))
    found = many_let_through_a2s(totals, range(1, 7)).max(axis=0)
    proved = np.array(highest_a2s(case, (1, 2, 3, 4, 5, 6)))
    assert (found <= proved + 1e-6).all()
    assert (found[:3] >= 0.95 * proved[:3]).all()  # and it is not idle: the small case nearly reaches it


CASES = st.builds(
    situation,
    cap_a=st.integers(20, 95), error_ratio=st.floats(0, 0.06), house_a=st.floats(1, 100), unseen_a=st.floats(0, 20),
    car_a=st.sampled_from([16.0, 32.0]), fallback_a=st.sampled_from([0.0, 6.0, 16.0]), message_s=st.integers(1, 12),
    response_s=st.integers(1, 15), watchdog_s=st.integers(1, 30), sensor_full_a=st.sampled_from([110.0, 120.0, 240.0]),
    pick_up_a=st.floats(0, 4),
)  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(CASES, st.integers(0, 2**32 - 1))
def test_no_random_opponent_passes_it(case, seed):
    random = np.random.default_rng(seed)
    messages = 600 // case.message_s
    levels = np.array([0.0, 0.5 * case.house_a, case.tempting_a, case.house_a])
    house_a = levels[random.integers(0, 4, (8, messages, case.message_s))]
    house_a[:4] = np.repeat(levels[random.integers(2, 4, (4, messages, 1))], case.message_s, axis=2)
    lost = many_kept_losses(case, random.random((8, messages)) < 0.4)
    totals = totals_a(case, house_a, many_car_a(case, house_a, lost))
    assert (many_let_through_a2s(totals, LENGTHS) <= np.array(highest_a2s(case, LENGTHS)) + 1e-6).all()


@settings(max_examples=40, deadline=None)
@given(CASES, st.integers(1, 30))
def test_a_lower_cap_never_warms_the_fuse_more(case, less_a):
    lower = situation(**{**fields_of(case), "cap_a": max(1, case.cap_a - less_a)})
    assert warmed(lower) <= warmed(case) + 1e-9


@settings(max_examples=40, deadline=None)
@given(CASES, st.sampled_from([("error_ratio", 0.02), ("watchdog_s", 7), ("response_s", 5), ("house_a", 8.0),
                               ("unseen_a", 3.0)]))  # fmt: skip
def test_a_worse_world_never_warms_it_less(case, worse):
    name, more = worse
    assert warmed(situation(**{**fields_of(case), name: getattr(case, name) + more})) >= warmed(case) - 1e-9


def fields_of(case):
    return {name: getattr(case, name) for name in case.__dataclass_fields__}


def test_a_house_that_leaves_room_for_the_car_is_plain():
    # 40 A and 32 A never pass the cap: 72 A for ever, (72 / 125)^2 = 0.332
    assert warmed(situation(house_a=40)) == pytest.approx((72 / 125) ** 2, rel=1e-6)


def test_the_peak_for_a_watchdog_that_never_acts():
    # the car stays at 32 A on 80 A: (112 / 125)^2 = 0.803
    assert warmed(situation(watchdog_s=600)) == pytest.approx((112 / 125) ** 2, rel=1e-3)


def test_without_lags_and_losses_only_the_steady_current_and_the_swing_are_left():
    # a reading a second, answered at once: house up (112 A for a second, of the reading before), then 80 + 16.5 + ...
    case = situation(response_s=0, watchdog_s=1, lost_ratio=0.0)
    proved = highest_a2s(case, (1, 2))
    assert proved[0] == pytest.approx(112.0**2)
    assert proved[1] < 2 * 112.0**2


def replayed_a2s(case, seconds_a, length):
    house_a = np.array(seconds_a).reshape(1, -1, case.message_s)
    lost = np.zeros((1, house_a.shape[1]), dtype=bool)
    return many_let_through_a2s(totals_a(case, house_a, many_car_a(case, house_a, lost)), (length,))[0, 0]


def test_a_house_that_swings_within_a_message_is_counted():
    # 10 s messages: 8 s of 80 A and 2 s of none show 64 A, so the car keeps 32 A: 112 A for 8 s in 10, 32 A for 2
    case = situation(message_s=10, response_s=10, lost_ratio=0.0)
    found = replayed_a2s(case, ([80.0] * 8 + [0.0] * 2) * 120, 1200)
    assert found == pytest.approx(120 * (8 * 112**2 + 2 * 32**2))
    assert found <= highest_a2s(case, (1, 10, 100, 1200))[-1]


def test_a_full_sensor_is_counted():
    # full at 70 A under a cap of 60 A: it shows 0.97 x 70 - 0.5 = 67.4 A, so each reading takes 6.4 A off the car
    case = situation(cap_a=60, sensor_full_a=70, response_s=0, lost_ratio=0.0)
    found = replayed_a2s(case, [80.0] * 5, 4)
    assert found == pytest.approx(sum(each**2 for each in (112, 105.6, 99.2, 92.8)))
    assert found <= highest_a2s(case, (1, 2, 3, 4))[-1]
