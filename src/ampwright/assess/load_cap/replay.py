"""What the cap does, second by second, to a given house and given losses: once in plain steps, and many at a time."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from ampwright.assess.load_cap.situation import Situation

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]


def car_a(situation: Situation, house_a: Sequence[float], lost: Sequence[bool]) -> list[float]:
    """The car's current in A for each message, from the seen house in A for each second and which readings are lost.

    Shapes: as many seconds as messages times `message_s`. The car starts at its full current, as after a long rest.
    """
    message_s, delay = situation.message_s, situation.response_messages_count + 1
    taken_a: list[float] = []
    allowed_a: list[float] = []
    age_s = 0
    for number, gone in enumerate(lost):
        taken_a.append(allowed_a[number - delay] if number >= delay else situation.car_a)
        before_a = allowed_a[-1] if allowed_a else situation.car_a
        if gone:
            age_s += message_s
            allowed_a.append(min(situation.fallback_a, situation.car_a) if age_s >= situation.watchdog_s else before_a)
            continue
        age_s = 0
        seen_a = sum(house_a[number * message_s:(number + 1) * message_s]) / message_s
        allowed_a.append(_told_a(situation, taken_a[-1], seen_a))
    return taken_a


def _told_a(situation: Situation, taken_a: float, seen_house_a: float) -> float:
    """What the charge point makes of one reading: it knows its own current and reckons the house from the rest."""
    truly_a = min(seen_house_a + taken_a, situation.sensor_full_a)
    shown_a = (1 - situation.error_ratio) * truly_a - situation.rounding_a - situation.picked_up(taken_a)
    told_a = min(situation.car_a, taken_a + situation.cap_a + situation.dead_band_a - shown_a)
    return told_a if told_a >= situation.least_car_a else 0.0


def many_car_a(situation: Situation, house_a: Floats, lost: Flags) -> Floats:
    """`car_a` for many opponents at once. Shapes: house (opponents, messages, message_s), lost and answer
    (opponents, messages)."""
    opponents, messages = lost.shape
    delay = situation.response_messages_count + 1
    seen_a = house_a.mean(axis=2)
    taken = np.full((messages, opponents), situation.car_a, dtype=np.float64)
    allowed = taken.copy()
    age_s = np.zeros(opponents)
    before_a = allowed[0].copy()
    fallback_a = min(situation.fallback_a, situation.car_a)
    for number in range(messages):
        if number >= delay:
            taken[number] = allowed[number - delay]
        gone = lost[:, number]
        age_s = np.where(gone, age_s + situation.message_s, 0.0)
        truly_a = np.minimum(seen_a[:, number] + taken[number], situation.sensor_full_a)
        shown_a = (1 - situation.error_ratio) * truly_a - situation.rounding_a - situation.picked_up(taken[number])
        told_a = np.minimum(situation.car_a, taken[number] + situation.cap_a + situation.dead_band_a - shown_a)
        told_a = np.where(told_a >= situation.least_car_a, told_a, 0.0)
        held_a = np.where(age_s >= situation.watchdog_s, fallback_a, before_a)
        before_a = allowed[number] = np.where(gone, held_a, told_a)
    return taken.T


def totals_a(situation: Situation, house_a: Floats, car: Floats) -> Floats:
    """The current in the tails in A for each second. Shapes: (opponents, messages, message_s), (opponents, messages),
    and (opponents, seconds)."""
    total_a: Floats = situation.unseen_a + house_a + car[:, :, None]
    return total_a.reshape(total_a.shape[0], -1)


def kept_losses(situation: Situation, lost: Sequence[bool]) -> list[bool]:
    """The same losses, one for each message, those taken out that pass the admissible share."""
    rest, held = _rest_count(situation), situation.held_messages_count
    credit, running = held * rest, 0
    kept = []
    for wanted in lost:
        fallen = 0 < held <= running
        gone = wanted and (fallen or (credit >= rest > 0))
        credit = min(held * rest, credit + 1) if not gone else credit if fallen else credit - rest
        running = running + 1 if gone else 0
        kept.append(gone)
    return kept


def _rest_count(situation: Situation) -> int:
    """Readings that must arrive for each that may be lost; 0 if none may."""
    return round((1 - situation.lost_ratio) / situation.lost_ratio) if situation.lost_ratio > 0 else 0


def many_kept_losses(situation: Situation, lost: Flags) -> Flags:
    """`kept_losses` for many opponents at once. Shape (opponents, messages).

    A loss may stand only if so many readings came before it that the share is kept, or if the watchdog has acted.
    """
    kept = lost.copy()
    rest, held = _rest_count(situation), situation.held_messages_count
    credit = np.full(lost.shape[0], float(held * rest))
    running = np.zeros(lost.shape[0])
    for number in range(lost.shape[1]):
        fallen = (running >= held) & (held > 0)
        gone = kept[:, number] & (fallen | ((credit >= rest) & (rest > 0)))
        kept[:, number] = gone
        spent = np.where(fallen, credit, credit - rest)
        credit = np.minimum(held * rest, np.where(gone, spent, credit + 1))
        running = np.where(gone, running + 1, 0)
    return kept


def many_let_through_a2s(currents_a: Floats, lengths_s: Sequence[int]) -> Floats:
    """The largest I2t in A2s of each row in any stretch of each length. Shapes (opponents, seconds) and (opponents,
    lengths). Before the first second nothing flowed."""
    sums: Any = np.concatenate([np.zeros((currents_a.shape[0], 1)), np.cumsum(currents_a**2, axis=1)], axis=1)
    found = np.empty((currents_a.shape[0], len(lengths_s)))
    for place, length in enumerate(lengths_s):
        if length >= sums.shape[1]:
            found[:, place] = sums[:, -1]
        else:
            found[:, place] = (sums[:, length:] - sums[:, :-length]).max(axis=1)
    return found
