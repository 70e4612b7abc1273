"""Days of the worst that was found, second by second: the episode that warms the fuse most, hour after hour."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from ampwright.assess.load_cap.attack import SEED, Episode, Fuse, many_warmed_ratio, worst_episode
from ampwright.assess.load_cap.replay import Flags, Floats, car_a, kept_losses, many_let_through_a2s
from ampwright.assess.load_cap.situation import Situation
from ampwright.physics.fuses import windows_s
from ampwright.physics.tails import Conductor, temperatures_c

DAYS_COUNT = 3
HOUR_S, DAY_S = 3600, 86_400
LENGTHS_S = windows_s(upto_s=7200, each_to_s=120, growth_ratio=0.02)


@dataclass(frozen=True, slots=True)
class Day:
    """The worst day of those tried. Each array has one figure a second: house and car and their total in A, the
    tails in C, and whether the reading of that time was lost. `fuse_at_s` is when the fuse is warmest, and `episode`
    the minutes that are worst for it."""

    house_a: Floats
    car_a: Floats
    total_a: Floats
    tails_c: Floats
    lost: Flags
    warmed_ratio: float
    hottest_c: float
    fuse_at_s: int
    days_count: int


def worst_day(situation: Situation, fuse: Fuse, tails: Conductor, seed: int = SEED,
              days_count: int = DAYS_COUNT) -> Day:  # fmt: skip
    """Several days against the cap, and of them the one that brings the fuse nearest to melting.

    Each hour has its own house, loads switching within their ratings, and once the worst episode that the search
    found; every third hour of a day is nothing but that episode, again and again, for the tails.
    """
    episode = worst_episode(situation, fuse, seed)
    house_a, lost = _days(situation, episode, np.random.default_rng(seed), days_count)
    car = np.repeat(np.array(car_a(situation, house_a.tolist(), lost.tolist())), situation.message_s)[:len(house_a)]
    total_a = situation.unseen_a + house_a + car
    tails_c = np.array(temperatures_c(currents_a=total_a.tolist(), start_c=tails.around_c, conductor=tails))
    warmed = [float(many_warmed_ratio(many_let_through_a2s(total_a[None, start:end], LENGTHS_S), LENGTHS_S, fuse)[0])
              for start, end in pairwise(range(0, len(total_a) + 1, DAY_S))]  # fmt: skip
    worst = int(np.argmax(warmed))
    seconds = slice(worst * DAY_S, (worst + 1) * DAY_S)
    losses = np.repeat(lost, situation.message_s)[:len(house_a)]
    return Day(
        house_a=situation.unseen_a + house_a[seconds], car_a=car[seconds], total_a=total_a[seconds],
        tails_c=tails_c[seconds], lost=losses[seconds], warmed_ratio=max(warmed), hottest_c=float(tails_c.max()),
        fuse_at_s=_hottest_second(total_a[seconds], fuse), days_count=days_count,
    )  # fmt: skip


def memory_s(fuse: Fuse) -> int:
    """The stretch over which the weakest fuse could average: long enough to keep its gate, and no longer, s."""
    return max(1, round(fuse.gate.time_s * (fuse.gate.current_a / fuse.nonfusing_a) ** 2))


def _hottest_second(total_a: Floats, fuse: Fuse) -> int:
    """When the plain mean over the fuse's memory is highest."""
    length = memory_s(fuse)
    sums = np.concatenate([[0.0], np.cumsum(total_a**2)])
    return int(np.argmax(sums[length:] - sums[:-length])) + length


def _days(situation: Situation, episode: Episode, random: np.random.Generator,
          days_count: int) -> tuple[Floats, Flags]:  # fmt: skip
    """The seen house for each second, and which readings are lost. Shapes: (seconds,) and (messages,)."""
    messages = days_count * DAY_S // situation.message_s
    per_hour = HOUR_S // situation.message_s
    house = _switching(situation, random, messages)
    lost = np.zeros(messages, dtype=bool)
    span = len(episode.lost)
    for hour in range(messages // max(1, per_hour)):
        start = hour * per_hour + per_hour // 2
        repeats = per_hour // 2 // span if hour % 3 == 2 else 1
        for number in range(max(1, repeats)):
            here = slice(start + number * span, min(messages, start + (number + 1) * span))
            house[here] = episode.house_a[:here.stop - here.start]
            lost[here] = episode.lost[:here.stop - here.start]
    seconds = np.zeros(days_count * DAY_S)
    flat = house.reshape(-1)[:len(seconds)]
    seconds[:len(flat)] = flat
    return _whole(seconds, situation), np.array(kept_losses(situation, lost.tolist()))


def _whole(seconds: Floats, situation: Situation) -> Floats:
    """Only as many seconds as whole messages cover."""
    return seconds[:len(seconds) // situation.message_s * situation.message_s]


def _switching(situation: Situation, random: np.random.Generator, messages: int) -> Floats:
    """A house that holds each level for a while: from seconds to some minutes, anywhere within its ratings."""
    seconds = messages * situation.message_s
    holds_s = random.integers(5, 600, seconds // 5 + 1)
    count = int(np.searchsorted(np.cumsum(holds_s), seconds)) + 1
    levels = np.repeat(situation.house_a * random.beta(0.6, 0.8, count), holds_s[:count])[:seconds]
    shaped: Floats = levels.reshape(messages, situation.message_s)
    return shaped
