"""The weakest fuse: the gates of the standard, sums by hand, and fuses of another make that must hold."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampwright.facts import look_up, look_up_at_least, rows
from ampwright.physics.fuses import (
    Gate,
    highest_let_through_a2s,
    prearcing_gate,
    shortest_melting_s,
    warmed_ratio,
    windows_s,
)

# IEC 60269-1 table 3 as remembered in the notes: no gG fuse melts within 10 s nor within 0.1 s at these currents
GATES = {63.0: (Gate(160, 10), Gate(450, 0.1)), 80.0: (Gate(215, 10), Gate(610, 0.1)),
         100.0: (Gate(290, 10), Gate(820, 0.1))}  # fmt: skip
LENGTHS = windows_s(upto_s=7200, each_to_s=120, growth_ratio=0.02)
RATINGS = sorted(GATES)


def never_a(rating_a):
    return 1.25 * rating_a


def warmed(currents_a, rating_a):
    through = highest_let_through_a2s(currents_a=currents_a, lengths_s=LENGTHS)
    return warmed_ratio(lengths_s=LENGTHS, let_through_a2s=through, nonfusing_a=never_a(rating_a),
                        gates=GATES[rating_a][:1])  # fmt: skip


@pytest.mark.parametrize("rating_a", RATINGS)
def test_it_keeps_every_gate_and_no_more(rating_a):
    for gate in GATES[rating_a]:
        kept_s = shortest_melting_s(current_a=gate.current_a, nonfusing_a=never_a(rating_a), gates=GATES[rating_a])
        assert kept_s == pytest.approx(gate.time_s)


@pytest.mark.parametrize("rating_a", RATINGS)
def test_the_gates_are_those_of_the_table(rating_a):
    assert look_up("iec/fuse_gates", "current_a", rating_a=rating_a, gate="not_below_10s").value == \
        GATES[rating_a][0].current_a  # fmt: skip
    assert look_up_at_least("iec/fuse_conventional", "nonfusing_ratio", "rating_to_a", rating_a).value == 1.25


def test_agrees_with_the_sum_done_by_hand():
    # 10 s x (290 A / 132 A)^2 = 48.3 s
    assert shortest_melting_s(current_a=132, nonfusing_a=125, gates=GATES[100.0]) == pytest.approx(48.27, abs=0.01)


@pytest.mark.parametrize("rating_a", RATINGS)
def test_at_its_conventional_nonfusing_current_it_never_melts(rating_a):
    at_a = never_a(rating_a)
    assert shortest_melting_s(current_a=at_a, nonfusing_a=at_a, gates=GATES[rating_a]) == math.inf
    assert warmed([at_a] * 20_000, rating_a) <= 1 + 1e-9


def test_beyond_every_gate_nothing_is_granted():
    assert shortest_melting_s(current_a=900, nonfusing_a=125, gates=GATES[100.0]) == 0


def test_prearcing_energy_as_a_gate():
    # 27,000 A2s at 0.01 s (IEC 60269-1 table 7, from memory): the root of 2,700,000 is 1,643 A
    gate = prearcing_gate(least_a2s=27_000, at_s=0.01)
    assert gate.current_a == pytest.approx(1643.2, abs=0.1)
    assert shortest_melting_s(current_a=1643.1, nonfusing_a=125, gates=[gate]) == pytest.approx(0.01, rel=1e-3)


@pytest.mark.parametrize("row", [row for row in rows("gb/fuse_points") if row["device"] in ("bs88_2", "bs88_3")],
                         ids=lambda row: f"{row['device']}-{row['rating_a']}-{row['time_s']}")  # fmt: skip
def test_no_fuse_outlasts_the_time_in_which_bs7671_has_it_open(row):
    # BS 7671 tables 41.2 and 41.4 give the current that opens it by then: the lower bound must lie below
    rating_a = float(row["rating_a"])
    listed = [each for each in rows("iec/fuse_gates") if float(each["rating_a"]) <= rating_a]
    if not listed:
        pytest.skip("no gates are held for so small a fuse")
    nearest = max(float(each["rating_a"]) for each in listed)
    found = {time: look_up("iec/fuse_gates", "current_a", rating_a=nearest, gate=f"not_below_{time}s").value
             for time in ("10", "0.1")}  # fmt: skip
    gates = [Gate(current_a, float(time)) for time, current_a in found.items()]
    lasts_s = shortest_melting_s(current_a=float(row["current_a"]), nonfusing_a=1.25 * nearest, gates=gates)
    assert lasts_s <= float(row["time_s"])


def test_a_line_between_the_gates_is_no_lower_bound():
    # One body: If = 125 A, and 10 s at 290 A just borne: tau = 10 / -ln(1 - (125/290)^2) = 48.66 s. At 160 A it melts
    # after -tau ln(1 - (125/160)^2) = 45.8 s. A straight line on log paper from (125 A, 2 h) to (290 A, 10 s) would
    # promise 10 s x (290/160)^7.82 = 1,046 s.
    tau_s = 10 / -math.log(1 - (125 / 290) ** 2)
    melts_s = -tau_s * math.log(1 - (125 / 160) ** 2)
    slope = math.log(7200 / 10) / math.log(290 / 125)
    assert melts_s == pytest.approx(45.8, abs=0.1)
    assert 10 * (290 / 160) ** slope > 20 * melts_s
    assert shortest_melting_s(current_a=160, nonfusing_a=125, gates=GATES[100.0]) < melts_s


@pytest.mark.parametrize("current_a", [20.0, 100.0, 124.0])
def test_a_steady_current_warms_it_by_the_square(current_a):
    assert warmed([current_a] * 9000, 100.0) == pytest.approx((current_a / 125) ** 2, rel=1e-9)


@pytest.mark.parametrize("length", [3, 10, 20, 48])
def test_one_block_from_cold_agrees_with_the_melting_time(length):
    # 132 A for t s: t / 48.27 s of the way; up to the gate's time the whole of what the gate allows
    shortest_s = shortest_melting_s(current_a=132, nonfusing_a=125, gates=GATES[100.0])
    share = max(10, length) / shortest_s
    assert share <= warmed([132.0] * length, 100.0) + 1e-9 < share + 0.006  # the bound's own slack, on the safe side


def test_a_block_on_a_warm_fuse_by_hand():
    # 100 A for ever, then 132 A for 15 s. Memory 10 s x (290/125)^2 = 53.8 s:
    # (15 x 132^2 + 38.8 x 100^2) / 53.8 / 125^2 = 0.7725
    assert 0.7723 <= warmed([100.0] * 8000 + [132.0] * 15, 100.0) < 0.7785


def other_fuse(rating_a, rising, share, slow_s):
    """A fuse of another make: two bodies, the hot spot on a slower one, resistance that rises with heat; scaled so
    that it just keeps the non-fusing current and the 10 s gate. Returns how far the currents bring it, 1 melts."""
    gate = GATES[rating_a][0]

    def run(currents_a, heat, fast_per_s, step_s=0.1):
        spot = body = highest = 0.0
        for current_a in currents_a:
            for _ in range(int(1 / step_s)):
                power = heat * current_a**2 * (1 + rising * (spot + body))
                spot += step_s * (power * (1 - share) - fast_per_s * spot)
                body += step_s * (power * share * 1 / (slow_s * fast_per_s) - body / slow_s)
                highest = max(highest, spot + body)
                if highest > 3:
                    return highest
        return highest

    def settled(fast_per_s):
        # at the non-fusing current it settles at 1: heat (1 - share + share) If^2 (1 + rising) / fast = 1
        return fast_per_s / (never_a(rating_a) ** 2 * (1 + rising))

    low, high = 1e-4, 1.0
    for _ in range(22):
        middle = math.sqrt(low * high)
        if run([gate.current_a] * 10, settled(middle), middle) < 1:
            low = middle
        else:
            high = middle
    return lambda currents_a: run(currents_a, settled(low), low)


@pytest.mark.parametrize("rating_a", [63.0, 100.0])
@pytest.mark.parametrize(("rising", "share", "slow_s"), [(0, 0, 600), (2, 0, 600), (4, 0.3, 300), (1, 0.6, 900)])
def test_no_conforming_fuse_of_another_make_melts_sooner_than_is_said(rating_a, rising, share, slow_s):
    melts = other_fuse(rating_a, rising, share, slow_s)
    random = np.random.default_rng(7)
    for _ in range(3):
        lengths = random.integers(3, 90, 8)
        levels = random.uniform(0.3, 1.7, 8) * rating_a
        trace = np.repeat(levels, lengths)
        trace *= math.sqrt(0.999 / warmed(trace.tolist(), rating_a))
        assert warmed(trace.tolist(), rating_a) == pytest.approx(0.999)
        assert melts(trace.tolist()) < 1 + 1e-3


@given(st.lists(st.floats(0, 200), min_size=1, max_size=60), st.integers(0, 59), st.floats(0, 50))
def test_more_current_never_warms_it_less(currents_a, place, more_a):
    heavier = list(currents_a)
    heavier[place % len(heavier)] += more_a
    assert warmed(heavier, 100.0) >= warmed(currents_a, 100.0) - 1e-12


@given(st.lists(st.floats(0, 200), min_size=2, max_size=60))
def test_let_through_of_longer_stretches_is_never_less(currents_a):
    found = highest_let_through_a2s(currents_a=currents_a, lengths_s=LENGTHS)
    assert found == sorted(found)
    assert found[0] == pytest.approx(max(currents_a) ** 2)
    assert found[-1] == pytest.approx(sum(each * each for each in currents_a))


def test_windows():
    assert windows_s(upto_s=20, each_to_s=5, growth_ratio=0.5) == (1, 2, 3, 4, 5, 7, 10, 15, 20)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: shortest_melting_s(current_a=1, nonfusing_a=125, gates=[]), "at least one gate"),
        (lambda: shortest_melting_s(current_a=1, nonfusing_a=125, gates=[Gate(120, 10)]), "lies within"),
        (lambda: shortest_melting_s(current_a=-1, nonfusing_a=125, gates=[Gate(290, 10)]), "zero or more"),
        (lambda: prearcing_gate(least_a2s=0, at_s=0.01), "above zero"),
        (lambda: warmed_ratio(lengths_s=[2], let_through_a2s=[1.0], nonfusing_a=125, gates=[Gate(290, 10)]),
         "one second"),
        (lambda: windows_s(upto_s=3, each_to_s=5, growth_ratio=0.5), "from 1 to 3"),
        (lambda: highest_let_through_a2s(currents_a=[-1.0], lengths_s=[1]), "zero or more"),
    ],
)  # fmt: skip
def test_senseless_numbers_are_refused(call, words):
    with pytest.raises(ValueError, match=words):
        call()
