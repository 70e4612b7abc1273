"""What a sensor in its right place could show at all: bounds by linear programming, from plates and readings.

Nothing is guessed here: every quantity may be anything between its least and its most, and other readings hold it
within their rounding and class. What lies outside the bounds is impossible, unless something gives or draws that the
record does not list. Solved by HiGHS through scipy.
"""

from __future__ import annotations

import numpy as np

from ampwright.assess.sensors.class_limits import CLASS_PERCENT, ClassLimits
from ampwright.assess.sensors.evidence import Witness
from ampwright.assess.sensors.house_model import EVERY, Floats, Slot, car_kw, peak_sun_kw
from ampwright.assess.sensors.session import Session
from ampwright.assess.sensors.singleline import BATTERY, CAR, CAR_CABLE, KNOWN, SOLAR, SOLAR_CABLE

MOST_HOUSE_A, TIMING_KW = 100.0, 0.1
CAR_RATIOS, KNOWN_RATIOS = (0.91, 1.14), (0.85, 1.25)  # the reading's error, and a supply of 216 to 253 V
SUN_RATIO, OFF_KW, REACTIVE_RATIO, HOUSE_REACTIVE_KVA = 1.1, 0.05, 0.3, 3.0


def bounds_kw(session: Session, number: int, moment: int, believed: tuple[int, ...] = ()) -> tuple[float, float] | None:
    """Least and most that sensor `number`, if right, could show at a moment, rounding and class included.

    `believed` are witnesses whose readings then are taken as true. None if those contradict each other.
    """
    row = _right_row(session.witnesses[number])
    ends = _ends(row, np.array(_limits(session, moment)), *_held(session, moment, believed))
    if ends is None:
        return None
    step_kw = session.witnesses[number].step_kw[0] if session.witnesses[number].step_kw else 0.0
    low, high = (end + sign * _error_kw(session, number, end, step_kw) for end, sign in zip(ends, (-1, 1), strict=True))
    return low, high


def _ends(row: Floats, limits: Floats, rows: Floats, most: Floats) -> tuple[float, float] | None:
    """Least and most of `row @ x` with x within its limits (parts, 2) and `rows @ x <= most`; None if there is none."""
    if not len(rows):  # every part stands at one of its own ends
        far = row[:, None] * limits
        return float(far.min(axis=1).sum()), float(far.max(axis=1).sum())
    from scipy.optimize import linprog  # slow to bring in, and only a diagnosis wants it

    ends = []
    for sign in (1.0, -1.0):
        found = linprog(sign * row, A_ub=rows, b_ub=most, bounds=limits, method="highs")
        if found.status == 2:
            return None
        if not found.success:
            raise ArithmeticError(f"the bounds of a sensor were not found: {found.message}")
        ends.append(sign * float(found.fun))
    return ends[0], ends[1]


def _right_row(witness: Witness) -> Floats:
    return next(each.row for each in witness.suspects if each.fault.right)


def _error_kw(session: Session, number: int, kw: float, step_kw: float) -> float:
    """Half a step, the class, and a little for figures that were not read at the same instant."""
    limits = session.witnesses[number].limits or ClassLimits((0.0,), (CLASS_PERCENT,))
    return step_kw / 2 + abs(float(limits.most_kw(np.array(kw)))) + TIMING_KW


def _held(session: Session, moment: int, believed: tuple[int, ...]) -> tuple[Floats, Floats]:
    """Readings believed, as rows of `rows @ x <= most`."""
    rows, most = [], []
    for number in believed:
        witness = session.witnesses[number]
        for place, kw, step_kw in zip(witness.at, witness.shown_kw, witness.step_kw, strict=True):
            if place == moment:
                error_kw = _error_kw(session, number, kw, step_kw)
                rows += [_right_row(witness), -_right_row(witness)]
                most += [kw + error_kw, error_kw - kw]
    return np.array(rows), np.array(most)


def _limits(session: Session, moment: int) -> list[tuple[float, float]]:
    """Least and most of every part of the house at one moment."""
    return [_limit(session, session.slots[moment], *part) for part in session.house.parts]


def _limit(session: Session, slot: Slot, draw: str, line: str, kind: str) -> tuple[float, float]:
    job, tree = session.job, session.tree
    if draw == CAR:
        kw = car_kw(job, slot) * (line in (EVERY, *tree.stretch(CAR_CABLE).lines))
        ends = CAR_RATIOS if slot.car_a is not None else (0.0, 2 * CAR_RATIOS[1])
        return _around(kw, ends) if kind == "real" else (-REACTIVE_RATIO * kw, REACTIVE_RATIO * kw)
    if draw == SOLAR:
        peak_kw = peak_sun_kw(job) * (line in (EVERY, *tree.stretch(SOLAR_CABLE).lines))
        if kind == "reactive":
            return -REACTIVE_RATIO * peak_kw, REACTIVE_RATIO * peak_kw
        return (0.0, SUN_RATIO * peak_kw if slot.sunny else OFF_KW * (peak_kw > 0))
    if draw == KNOWN:
        return _around(slot.known_kw * (line == slot.known_line), KNOWN_RATIOS)
    if draw == BATTERY:
        amps = job.storage.inverter_a
        most = OFF_KW if slot.battery_idle else SUN_RATIO * (amps.high if amps else MOST_HOUSE_A)
        return -most, most
    cutout = job.supply.cutout.rating_a
    most = (cutout.high if cutout else MOST_HOUSE_A) * 1.6 * job.supply.declared_v / 1000
    return (0.0, most) if kind == "real" else (-HOUSE_REACTIVE_KVA, HOUSE_REACTIVE_KVA)


def _around(kw: float, ratios: tuple[float, float]) -> tuple[float, float]:
    return ratios[0] * kw, ratios[1] * kw
