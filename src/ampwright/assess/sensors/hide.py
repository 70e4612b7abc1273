"""Hide a fault in an installation: what may be wrong, drawn as often as the diagnosis expects it."""

from __future__ import annotations

import random

from ampwright.assess.sensors.house_model import house
from ampwright.assess.sensors.placement import Clamp, clamps
from ampwright.assess.sensors.simulator import LAG_S, Practice, Truth
from ampwright.assess.sensors.singleline import CAR_CABLE, SOLAR_CABLE, SingleLine, single_line
from ampwright.assess.sensors.suspects import Fault, Suspect, suspects
from ampwright.job.record import Job

OTHER_LINE_RATIO, UNKNOWN_INVERTER_RATIO = 0.05, 0.1
WRONG_RATIO_RATIO = 0.3


def hide(job: Job, seed: int, *, faulty: bool = True, dark: bool = False, surprises: bool = True) -> Practice:
    """An installation with at least one wrong sensor (or with none). The same seed hides the same.

    With `surprises` there may be an inverter that the record does not know, and a car or an inverter of one phase
    may be on another line than recorded. Raises BadSingleLine; ValueError if the job has no sensors.
    """
    dice, tree = random.Random(seed), single_line(job)
    known = {clamp.name: suspects(clamp, tree, house(job, tree, (), 0).parts) for clamp in clamps(job)}
    if not known:
        raise ValueError("the job lists no sensors; add each with its name and what it watches")
    picked = {name: Fault() for name in known}
    while faulty and all(fault.right for fault in picked.values()):
        picked = {name: _pick(each, dice) for name, each in known.items()}
    truths = {clamp.name: _truth(clamp, picked[clamp.name], dice) for clamp in clamps(job)}
    return Practice(
        job, truths, dice, dark=dark,
        unknown_inverter_kw=dice.uniform(1, 3) if surprises and dice.random() < UNKNOWN_INVERTER_RATIO else 0.0,
        solar_lines=_lines(tree, SOLAR_CABLE, dice, surprises), car_lines=_lines(tree, CAR_CABLE, dice, surprises),
    )  # fmt: skip


def _pick(known: tuple[Suspect, ...], dice: random.Random) -> Fault:
    listed = [each for each in known if each.fault.other != "unexplained"]
    return dice.choices(listed, [each.weight_ratio for each in listed])[0].fault


def _truth(clamp: Clamp, fault: Fault, dice: random.Random) -> Truth:
    """A core that is not shut reads low by any amount and turns the phase; a sound one is within its class."""
    class_ratio = (clamp.sensor.class_percent or 3.0) / 100
    half_open = fault.gain == "low" and dice.random() > WRONG_RATIO_RATIO
    gain = {"low": dice.uniform(0.3, 0.85) if half_open else 0.5, "high": 2.0}.get(fault.gain, 1.0)
    turns = dice.uniform(2, 8) if half_open else dice.uniform(0, 2)
    return Truth(fault, gain * (1 + dice.uniform(-class_ratio, class_ratio)), turns, dice.randint(0, LAG_S))


def _lines(tree: SingleLine, cable: str, dice: random.Random, surprises: bool) -> tuple[str, ...]:
    if not tree.has(cable):
        return ()
    recorded = tree.stretch(cable).lines
    others = [line for line in tree.lines if line not in recorded]
    return (dice.choice(others),) if surprises and others and dice.random() < OTHER_LINE_RATIO else recorded
