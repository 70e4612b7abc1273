"""The cap second by second: sums by hand, the two ways of replaying it, and what may be lost."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from situations import situation

from ampwright.assess.load_cap.replay import (
    car_a,
    kept_losses,
    many_car_a,
    many_kept_losses,
    many_let_through_a2s,
    totals_a,
)
from ampwright.physics.fuses import highest_let_through_a2s


def test_a_step_by_hand():
    # sensor reads (1 - 0.03) x 112 - 0.5 = 108.14 at 80 A of house and 32 A of car; told 32 + 96 - 108.14 = 19.86 A
    # after 5 s; then 0.97 x 99.86 - 0.5 = 96.36 is shown, and the car is told 19.86 + 96 - 96.36 = 19.50 A
    taken = car_a(situation(), [40.0] * 10 + [80.0] * 15, [False] * 25)
    assert taken[:16] == [32.0] * 16
    assert taken[16] == pytest.approx(19.86)
    assert taken[22] == pytest.approx(19.4958, abs=1e-4)


def test_it_settles_where_the_proof_says():
    case = situation()
    taken = car_a(case, [80.0] * 200, [False] * 200)
    assert 80 + taken[-1] == pytest.approx(case.steady_a)  # 96.5 / 0.97 = 99.48
    assert case.steady_a == pytest.approx(99.4845, abs=1e-4)


def test_below_the_least_current_the_car_is_paused():
    # at 95 A of house 1.5 A would be left
    assert car_a(situation(house_a=95), [95.0] * 60, [False] * 60)[-1] == 0


def test_signal_lost_it_falls_back_after_watchdog_and_response():
    # last reading at the end of second 4; the watchdog of 10 s acts at 15, the response of 5 s brings it at 20
    taken = car_a(situation(fallback_a=6.0), [20.0] * 40, [False] * 5 + [True] * 35)
    assert taken[19] == 32
    assert taken[20] == 6


def test_a_full_sensor_lets_the_car_down_by_steps():
    # full at 105 A: shows 0.97 x 105 - 0.5 = 101.35 at 112 A, so the car is told 32 + 96 - 101.35 = 26.65 A
    taken = car_a(situation(sensor_full_a=105), [80.0] * 20, [False] * 20)
    assert taken[6] == pytest.approx(26.65)


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 7), st.integers(0, 12), st.integers(1, 25), st.sampled_from([0.0, 6.0, 16.0]),
       st.integers(0, 2**32 - 1))  # fmt: skip
def test_both_ways_of_replaying_agree(message_s, response_s, watchdog_s, fallback_a, seed):
    case = situation(message_s=message_s, response_s=response_s, watchdog_s=watchdog_s, fallback_a=fallback_a,
                     sensor_full_a=115)  # fmt: skip
    random = np.random.default_rng(seed)
    house_a = random.uniform(0, 100, (3, 60, message_s))
    wanted = random.random((3, 60)) < 0.3
    lost = many_kept_losses(case, wanted)
    many = many_car_a(case, house_a, lost)
    for row in range(3):
        assert lost[row].tolist() == kept_losses(case, wanted[row].tolist())
        assert many[row].tolist() == pytest.approx(car_a(case, house_a[row].ravel().tolist(), lost[row].tolist()))


@given(st.lists(st.booleans(), min_size=1, max_size=200))
def test_no_more_is_lost_than_a_tenth_and_a_watchdogs_worth(wanted):
    # the watchdog's time holds 10 readings; what is lost after it acted costs nothing
    case = situation()
    kept = kept_losses(case, wanted)
    run, counted = 0, 0
    for gone in kept:
        run = run + 1 if gone else 0
        counted += gone and run <= case.held_messages_count
    assert counted <= case.held_messages_count + 0.1 * len(wanted)
    assert all(want or not gone for want, gone in zip(wanted, kept, strict=True))


def test_with_no_share_to_lose_nothing_is_lost():
    assert not any(kept_losses(situation(lost_ratio=0.0), [True] * 30))


def test_let_through_agrees_with_the_plain_sum():
    random = np.random.default_rng(3)
    currents_a = random.uniform(0, 130, (2, 300))
    lengths_s = (1, 2, 10, 100, 300, 500)
    fast = many_let_through_a2s(currents_a, lengths_s)
    for row in range(2):
        plain = highest_let_through_a2s(currents_a=currents_a[row].tolist(), lengths_s=lengths_s)
        assert fast[row].tolist() == pytest.approx(plain)


def test_totals_add_what_the_sensor_does_not_see():
    house_a = np.full((1, 2, 3), 20.0)
    totals = totals_a(situation(unseen_a=5, message_s=3), house_a, np.array([[32.0, 0.0]]))
    assert totals.tolist() == [[57, 57, 57, 25, 25, 25]]
