"""The opponent: a search, with restarts from a fixed seed, for the house and the losses that warm the fuse most.

What it finds is a day that could be; `bound` says what cannot be. Between the two lies what neither knows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ampwright.assess.load_cap.replay import Flags, Floats, many_car_a, many_kept_losses, many_let_through_a2s, totals_a
from ampwright.assess.load_cap.situation import Situation
from ampwright.physics.fuses import Gate, windows_s

SEED = 1914
OPPONENTS = 40
ROUNDS = 48
HORIZON_S = 360
Genes = tuple[Flags, Flags, Flags]


@dataclass(frozen=True, slots=True)
class Fuse:
    """The weakest fuse that conforms: what it never melts at, and one gate of its standard."""

    nonfusing_a: float
    gate: Gate


@dataclass(frozen=True, slots=True)
class Episode:
    """A few minutes of an opponent: the seen house in A (messages, message_s), which readings are lost (messages)."""

    house_a: Floats
    lost: Flags
    warmed_ratio: float


def worst_episode(situation: Situation, fuse: Fuse, seed: int = SEED) -> Episode:
    """The episode that warms the weakest conforming fuse most, of all that were tried."""
    random = np.random.default_rng(seed)
    messages = horizon_count(situation)
    lengths_s = windows_s(upto_s=max(HORIZON_S, messages * situation.message_s), each_to_s=120, growth_ratio=0.04)
    genes = _first(situation, random)
    best: Episode | None = None
    for number in range(ROUNDS):
        lost = many_kept_losses(situation, genes[2])
        house_a = _house_a(situation, genes)
        totals = totals_a(situation, house_a, many_car_a(situation, house_a, lost))
        warmed = many_warmed_ratio(many_let_through_a2s(totals, lengths_s), lengths_s, fuse)
        order = np.argsort(-warmed)
        top = int(order[0])
        if best is None or warmed[top] > best.warmed_ratio:
            best = Episode(house_a[top], lost[top], float(warmed[top]))
        genes = _bred(situation, genes, order, random, fresh=number % 8 == 7)
    assert best is not None
    return best


def horizon_count(situation: Situation) -> int:
    """Messages that an episode lasts: some minutes, and where those are few the times of several replies."""
    return max(HORIZON_S // situation.message_s, min(6 * situation.lag_messages_count, HORIZON_S))


def many_warmed_ratio(let_through_a2s: Floats, lengths_s: Sequence[int], fuse: Fuse) -> Floats:
    """`physics.fuses.warmed_ratio` for many rows at once. Shapes (opponents, lengths) and (opponents,)."""
    lengths = np.array(lengths_s, dtype=np.float64)
    before = np.concatenate([[0.0], lengths[:-1]])
    peaks = np.maximum(let_through_a2s[:, :1], np.finfo(float).tiny)
    rises = np.diff(let_through_a2s, axis=1, prepend=0.0) / peaks
    means = let_through_a2s / np.where(lengths - before <= 1, lengths, before + rises)
    plain = let_through_a2s / lengths
    longer = plain[:, 2 * lengths >= lengths[-1]].max(axis=1, keepdims=True)
    means = np.concatenate([means, longer], axis=1)
    share = np.concatenate([np.minimum(1.0, fuse.gate.time_s / lengths), [0.0]])
    at = (fuse.nonfusing_a / fuse.gate.current_a) ** 2
    above, below = share >= at, share < at
    weight = (at - share[below][None, :]) / (share[above][:, None] - share[below][None, :])
    mixed = weight * means[:, above, None] + (1 - weight) * means[:, None, below]
    warmed: Floats = mixed.max(axis=(1, 2)) / fuse.nonfusing_a**2
    return warmed


def _first(situation: Situation, random: np.random.Generator) -> Genes:
    """Swings of every period, with and without a run of losses."""
    messages = horizon_count(situation)
    lag = situation.lag_messages_count
    times = np.arange(messages)
    rows = []
    for _ in range(OPPONENTS):
        high = int(random.integers(1, 4 * lag + situation.held_messages_count + 2))
        low = int(random.integers(1, 4 * lag + 2))
        rows.append((times + int(random.integers(0, high + low))) % (high + low) < high)
    wants_all = np.array(rows)
    lost = np.zeros_like(wants_all)
    for row in range(OPPONENTS):
        start = int(random.integers(0, messages))
        lost[row, start:start + situation.held_messages_count - 1] = row % 2 == 0
    return wants_all, random.random(wants_all.shape) < 0.5, lost


def _house_a(situation: Situation, genes: Genes) -> Floats:
    """All of the house, or so much that the car keeps its current: within a message as one block, early or late."""
    wants_all, late, _ = genes
    seconds = np.arange(situation.message_s)
    if situation.message_s == 1 or situation.house_a == 0:
        tempted = np.full(situation.message_s, situation.tempting_a)
    else:
        whole_s = situation.tempting_a / situation.house_a * situation.message_s
        tempted = situation.house_a * np.clip(whole_s - seconds, 0.0, 1.0)
    shaped = np.where(late[:, :, None], tempted[::-1], tempted)
    house: Floats = np.where(wants_all[:, :, None], situation.house_a, shaped)
    return house


def _bred(situation: Situation, genes: Genes, order: np.ndarray, random: np.random.Generator,
          fresh: bool) -> Genes:  # fmt: skip
    """The best eighth stand; the rest are children of theirs, or from time to time strangers."""
    keep = OPPONENTS // 8
    if fresh:
        strangers = _first(situation, random)
        return tuple(np.concatenate([mine[order[:keep]], new[keep:]])  # type: ignore[return-value]
                     for mine, new in zip(genes, strangers, strict=True))  # fmt: skip
    parents = order[random.integers(0, keep, OPPONENTS)]
    parents[:keep] = order[:keep]
    children = [each[parents].copy() for each in genes]
    messages = children[0].shape[1]
    for row in range(keep, OPPONENTS):
        for _ in range(int(random.integers(1, 4))):
            which = children[int(random.choice(3, p=[0.55, 0.15, 0.3]))]
            start = int(random.integers(0, messages))
            span = int(random.integers(1, 2 * situation.lag_messages_count + 2))
            which[row, start:start + span] = random.random() < 0.5
        if random.random() < 0.3:
            shift = int(random.integers(1, messages))
            for which in children:
                which[row] = np.roll(which[row], shift)
    return children[0], children[1], children[2]
