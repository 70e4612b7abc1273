"""Good drum plans found quickly: each drum filled as full as the cuts that are left allow, in many random orders.

Nothing here proves that a plan is the best; where it buys no more than the cuts' sum asks for, it is.
"""

from __future__ import annotations

import random
from collections.abc import Sequence

TRIES_COUNT, SEED = 300, 7
Filled = list[tuple[int, list[int]]]  # which stock, and which cuts by number


def best_of_tries(steps: Sequence[int], ends: Sequence[int], counts: Sequence[int | None], least: int) -> Filled | None:
    """The plan that buys the fewest steps of many, or the first that buys no more than `least`; None if none holds all.

    `steps` are the cuts and `ends` the drums, in whole steps; of a drum with a count there are so many in hand.
    """
    dice, best, fewest = random.Random(SEED), None, 0
    for _ in range(TRIES_COUNT):
        found = _tried(steps, ends, counts, dice)
        if found is None:
            continue
        bought = sum(ends[stock] for stock, _ in found if counts[stock] is None)
        if best is None or bought < fewest:
            best, fewest = found, bought
        if fewest <= least:
            break
    return best


def _tried(steps: Sequence[int], ends: Sequence[int], counts: Sequence[int | None],
           dice: random.Random) -> Filled | None:  # fmt: skip
    left = list(range(len(steps)))
    dice.shuffle(left)
    waiting = [stock for stock, count in enumerate(counts) for _ in range(count or 0)]
    shop = sorted((stock for stock, count in enumerate(counts) if count is None), key=lambda each: ends[each])
    dice.shuffle(waiting)
    found: Filled = []
    while left:
        rest = sum(steps[each] for each in left)
        fits = [stock for stock in shop if ends[stock] >= rest]
        longest_cut = max(steps[each] for each in left)
        holds = [stock for stock in shop if ends[stock] >= longest_cut]
        if not waiting and not holds:
            return None
        stock = waiting.pop() if waiting else fits[0] if fits else dice.choice(holds)
        filled = _fullest([(each, steps[each]) for each in left], ends[stock])
        if filled:
            found.append((stock, filled))
            left = [each for each in left if each not in filled]
    return found


def _fullest(cuts: Sequence[tuple[int, int]], end: int) -> list[int]:
    """The cuts that fill a drum best: sums that can be reached, as bits of one number, taken apart backwards."""
    reached = [1]
    for _, step in cuts:
        reached.append((reached[-1] | reached[-1] << step) & ((1 << (end + 1)) - 1))
    place = reached[-1].bit_length() - 1
    taken = []
    for number in range(len(cuts), 0, -1):
        if not reached[number - 1] >> place & 1:
            taken.append(cuts[number - 1][0])
            place -= cuts[number - 1][1]
    return taken
