"""A display that may have stood still: the same figure twice while something large was switched.

No suspect of its own: what stands still tells nothing of the conductor. It is said, and nothing is sure by it.
"""

from __future__ import annotations

from itertools import pairwise

from ampwright.assess.sensors.session import Session, step_kw

SWITCHED_KW = 1.0  # our own choice: less may be hidden by what the house does meanwhile


def stood_still(here: Session, number: int) -> tuple[int, int] | None:
    """The places of two readings, one after the other, at which a sensor showed the same though it should have moved:
    one that watches the supply or the car, by a figure that is not nothing. None if there are none."""
    clamp, witness = here.clamps[number], here.witnesses[number]
    if clamp.sensor.watches not in ("grid", "car"):
        return None
    for (before, before_kw), (after, after_kw) in pairwise(zip(witness.at, witness.shown_kw, strict=True)):
        same = before_kw == after_kw and abs(after_kw) > step_kw(clamp)
        if same and _switched_kw(here, before, after, clamp.sensor.watches) >= SWITCHED_KW:
            return before, after
    return None


def never_moved(here: Session, number: int) -> bool:
    """Whether nothing that a sensor showed tells that its display moves at all."""
    return stood_still(here, number) is not None and len(set(here.witnesses[number].shown_kw)) == 1


def still_words(here: Session, number: int) -> str:
    """What to say of it; nothing where there is nothing to say."""
    pair = stood_still(here, number)
    if pair is None:
        return ""
    before, after = (here.numbers[place] for place in pair)
    return (f"The {here.clamps[number].name} showed the same at readings {before} and {after} though something large"
            " was switched between: its display may have stood still. Wait until it is fresh, and read once more"
            " before anything is moved.")  # fmt: skip


def nothing_switched(here: Session, number: int) -> bool:
    """Whether car, known load and inverter were the same at every one of several readings of a sensor."""
    slots = [here.slots[place] for place in here.witnesses[number].at]
    return len(slots) > 1 and len({(each.car_a, each.known_kw, each.known_line, each.sunny) for each in slots}) == 1


def _switched_kw(here: Session, before: int, after: int, watches: str) -> float:
    earlier, later = here.readings[before], here.readings[after]
    if earlier.car_a is None or later.car_a is None:
        return 0.0
    car_kw = (later.car_a - earlier.car_a) * here.job.supply.declared_v / 1000
    known_kw = (later.known_load_kw or 0.0) - (earlier.known_load_kw or 0.0) if watches == "grid" else 0.0
    return abs(car_kw + known_kw)
