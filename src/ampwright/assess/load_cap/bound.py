"""What no opponent can pass: the largest I2t in any stretch of time, exactly searched and therefore proved.

The argument. The car's current is set by one reading, a fixed number of messages ago. Intervals a lag apart
therefore form chains that know nothing of each other, and a chain's next step depends only on what the last one
showed. In a step the opponent shows one of two houses: all of it, or just so much that the car keeps its full
current. The sum of I2, with all that can come of it, is convex in between, so nothing else is better. He may also
lose a reading (the car stays as it was) or leave the car at its fallback. Readings lost are counted at a price, and
for *any* price the best that he gets, plus the price of all that he may lose, is an upper bound; the least over
several prices stands.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from ampwright.assess.load_cap.situation import Situation

PRICES = (0.0, 0.02, 0.05, 0.1, 0.2, 0.3, 0.45, 0.6, 0.8, 1.0)


def highest_a2s(situation: Situation, lengths_s: Sequence[int]) -> list[float]:
    """For each length, an I2t in A2s that no admissible opponent can pass in any stretch of that length."""
    longest = math.ceil(lengths_s[-1] / situation.message_s / situation.lag_messages_count) + 1
    peak_a2s = situation.peak_a**2
    tables = [(share * peak_a2s, _chains_a2s(situation, share * peak_a2s, longest)) for share in PRICES]
    found, before_s, before_a2s = [], 0, 0.0
    for length in lengths_s:
        most_a2s = min(length * peak_a2s, before_a2s + (length - before_s) * peak_a2s)
        for price_a2s, chain_a2s in tables:
            most_a2s = min(most_a2s, _stretch_a2s(situation, length, price_a2s, chain_a2s))
        found.append(most_a2s)
        before_s, before_a2s = length, most_a2s
    return found


def _stretch_a2s(situation: Situation, length_s: int, price_a2s: float, chain_a2s: Sequence[float]) -> float:
    """Whole messages by their chains, what is left over at either end at the peak."""
    message_s, whole = situation.message_s, length_s // situation.message_s
    counts = (whole,) if message_s == 1 else (whole, max(0, whole - 1))
    return max(
        message_s * _messages_a2s(situation, count, price_a2s, chain_a2s)
        + (length_s - count * message_s) * situation.peak_a**2
        for count in counts
    )


def _messages_a2s(situation: Situation, count: int, price_a2s: float, chain_a2s: Sequence[float]) -> float:
    """The sum over this many messages, one after another: so many chains of one length, the rest a step longer."""
    chains = situation.lag_messages_count
    steps, longer = divmod(count, chains)
    lost = situation.held_messages_count + situation.lost_ratio * count
    return longer * chain_a2s[steps + 1] + (chains - longer) * chain_a2s[steps] + price_a2s * lost


def _chains_a2s(situation: Situation, price_a2s: float, longest: int) -> list[float]:
    """The most that one chain of 0, 1, 2 ... steps can gather, less the price of what is lost."""
    low_a, high_a = situation.tempting_a, situation.house_a
    free_a, fallen_a = situation.car_a, min(situation.fallback_a, situation.car_a)
    moves = {
        car_a: (_mean_a2s(situation, car_a, low_a), situation.allowed_a(low_a, car_a),
                _mean_a2s(situation, car_a, high_a), situation.allowed_a(high_a, car_a))
        for car_a in _reached_a(situation, (free_a, fallen_a))
    }  # fmt: skip
    to_come = dict.fromkeys(moves, 0.0)
    found = [0.0]
    for _ in range(longest):
        to_come = {
            car_a: max(low_a2s + to_come[after_low_a], high_a2s + to_come[after_high_a], high_a2s + to_come[fallen_a],
                       high_a2s - price_a2s + to_come[free_a])
            for car_a, (low_a2s, after_low_a, high_a2s, after_high_a) in moves.items()
        }  # fmt: skip
        found.append(max(to_come.values()))
    return found


def _reached_a(situation: Situation, starts_a: Sequence[float]) -> list[float]:
    """Every current of the car that a chain can come by from these."""
    reached_a: list[float] = []
    ahead = list(starts_a)
    while ahead:
        car_a = ahead.pop()
        if car_a not in reached_a:
            reached_a.append(car_a)
            ahead += [situation.allowed_a(shown_a, car_a) for shown_a in (situation.tempting_a, situation.house_a)]
    return reached_a


def _mean_a2s(situation: Situation, car_a: float, shown_house_a: float) -> float:
    """The I2t in A2s of one second, as a mean over one message in which the house averages so much.

    Within a message he may swing between nothing and everything; a message of one second is one figure.
    """
    least_a = situation.unseen_a + car_a
    if situation.message_s == 1 or situation.house_a == 0:
        return (least_a + shown_house_a) ** 2
    share = shown_house_a / situation.house_a
    return float(least_a**2 + share * ((least_a + situation.house_a) ** 2 - least_a**2))
