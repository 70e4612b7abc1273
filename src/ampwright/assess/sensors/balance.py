"""What the readings say besides: displays that differ by no more than their rounding, and lines recorded wrongly."""

from __future__ import annotations

import numpy as np

from ampwright.assess.sensors.evidence import Posterior, Witness
from ampwright.assess.sensors.feasible import TIMING_KW
from ampwright.assess.sensors.session import Session
from ampwright.assess.sensors.singleline import CAR_CABLE, SOLAR_CABLE
from ampwright.assess.sensors.words import percent

MOVED_RATIO = 0.9
METER, INVERTER = "supplier's meter", "inverter's display"
WATCHES = {METER: "grid", INVERTER: "generation"}


def notes_on_rounding(session: Session, right: tuple[int, ...]) -> list[str]:
    """One sentence for each pair of displays that differ, of sensors that are right."""
    notes = []
    for number in range(len(session.clamps), len(session.witnesses)):
        name = session.witnesses[number].name
        pair = [each for each in right if session.clamps[each].sensor.watches == WATCHES[name]]
        if pair and len(pair) == sum(clamp.sensor.watches == WATCHES[name] for clamp in session.clamps):
            notes += _pair_note(session, number, tuple(pair))
    return notes


def explained_kw(steps_kw: tuple[float, ...], class_kw: float) -> tuple[float, float]:
    """What rounding alone may make of a difference of displays, and what rounding and class together may."""
    rounding_kw = sum(steps_kw) / 2
    return rounding_kw, rounding_kw + class_kw + TIMING_KW


def _class_kw(witness: Witness, shown_kw: float) -> float:
    return 0.0 if witness.limits is None else abs(float(witness.limits.most_kw(np.array(shown_kw))))


def _pair_note(session: Session, meter: int, sensors: tuple[int, ...]) -> list[str]:
    """The largest difference of the meter from the sensors that watch the same."""
    shown = {number: dict(zip(session.witnesses[number].at, session.witnesses[number].shown_kw, strict=True))
             for number in (meter, *sensors)}  # fmt: skip
    both = [place for place in shown[meter] if all(place in shown[each] for each in sensors)]
    if not both:
        return []
    apart = {place: sum(shown[each][place] for each in sensors) - shown[meter][place] for place in both}
    worst = max(both, key=lambda place: abs(apart[place]))
    steps = tuple(session.witnesses[number].step_kw[0] for number in (meter, *sensors))
    class_kw = sum(_class_kw(session.witnesses[each], shown[each][worst]) for each in sensors)
    rounding_kw, all_kw = explained_kw(steps, class_kw)
    name, gap_kw = session.witnesses[meter].name, abs(apart[worst])
    if gap_kw < 0.005:
        return []
    by = (f"rounding alone explains up to {rounding_kw:.2f}" if gap_kw <= rounding_kw + 1e-9
          else f"rounding and class explain up to {all_kw:.2f}" if gap_kw <= all_kw
          else f"rounding and class explain only {all_kw:.2f}, so look for a load or a source between them")
    return [f"The {name} and the sensors differ by at most {gap_kw:.2f} kW (reading {session.numbers[worst]}): {by}."]


def moved_lines(session: Session, posterior: Posterior) -> list[str]:
    """One sentence for a car or an inverter of one phase that seems to be on another line than recorded."""
    notes = []
    for cable, words in ((CAR_CABLE, "car"), (SOLAR_CABLE, "inverter")):
        if not session.tree.has(cable) or len(session.tree.stretch(cable).lines) == len(session.tree.lines):
            continue
        chance = dict.fromkeys(session.tree.lines, 0.0)
        for world, part in zip(posterior.world, posterior.chance, strict=True):
            where = posterior.house.worlds[world]
            chance[(where.car_lines if cable == CAR_CABLE else where.solar_lines)[0]] += float(part)
        recorded = session.tree.stretch(cable).lines[0]
        line, most = max(chance.items(), key=lambda each: each[1])
        if line != recorded and most > MOVED_RATIO:
            notes.append(f"The {words} seems to be on {line}, not on {recorded} as recorded: {percent(most)}.")
    return notes
