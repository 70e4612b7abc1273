"""How likely each effect is, of one sensor and of all at once: the combinations that are left, summed."""

from __future__ import annotations

from collections import defaultdict
from functools import cache

from ampwright.assess.sensors.evidence import Posterior
from ampwright.assess.sensors.session import Session
from ampwright.assess.sensors.suspects import Effect


def chances(posterior: Posterior, number: int) -> dict[Effect, float]:
    """Chance of every effect of one witness, most likely first."""
    found: dict[Effect, float] = defaultdict(float)
    for world, suspect, chance in posterior.shares(number):
        found[suspect.effect_in(posterior.house.worlds[world])] += chance
    return dict(sorted(found.items(), key=lambda each: -each[1]))


def likeliest_together(here: Session, posterior: Posterior) -> tuple[tuple[Effect, ...], float]:
    """The likeliest effects of all sensors at once, and their chance."""
    return max(together(here, posterior).items(), key=lambda each: each[1])


def together(here: Session, posterior: Posterior) -> dict[tuple[Effect, ...], float]:
    """Chance of the effects of all sensors at once."""
    sensors, worlds = posterior.witnesses[: len(here.clamps)], posterior.house.worlds
    numbers: dict[Effect, int] = {}
    shows = cache(lambda number, world, pick: numbers.setdefault(
        sensors[number].suspects[pick].effect_in(worlds[world]), len(numbers)))  # fmt: skip
    found: dict[tuple[int, ...], float] = defaultdict(float)
    for world, picks, chance in zip(posterior.world.tolist(), posterior.picks.tolist(), posterior.chance.tolist(),
                                    strict=True):  # fmt: skip
        found[tuple([shows(number, world, picks[number]) for number in range(len(sensors))])] += chance
    effects = tuple(numbers)
    return {tuple(effects[each] for each in several): chance for several, chance in found.items()}
