"""Faults: the loop, the current it lets flow, how long that lasts and what the conductor stands."""

import math
from collections.abc import Sequence
from itertools import pairwise

from ampwright.physics import sane

Curve = Sequence[tuple[float, float]]
"""A device's time/current characteristic as (ampere, second) points."""


def loop_ohm(*, ze_ohm: float, r1_ohm: float, r2_ohm: float) -> float:
    """Earth fault loop in ohm: Zs = Ze + R1 + R2, added as plain numbers.

    The plain sum is never less than the true impedance. Raises ValueError if a part is negative.
    Source: BS 7671 part 2, definition of Zs.
    """
    sane.not_negative(ze_ohm=ze_ohm, r1_ohm=r1_ohm, r2_ohm=r2_ohm)
    return ze_ohm + r1_ohm + r2_ohm


def fault_current_a(*, voltage_v: float, loop_ohm: float, factor_ratio: float) -> float:
    """Fault current in amperes: factor x U0 / Z.

    `factor_ratio` is the voltage factor (Cmin for the least current, Cmax for the greatest, 1 for neither).
    Raises ValueError if any is not above zero. Source: Ohm; factors as IEC 60909-0 uses them.
    """
    sane.positive(voltage_v=voltage_v, loop_ohm=loop_ohm, factor_ratio=factor_ratio)
    return factor_ratio * voltage_v / loop_ohm


def max_zs_ohm(*, voltage_v: float, cmin_ratio: float, operating_a: float) -> float:
    """Greatest loop in ohm that still drives the device's operating current: U0 Cmin / Ia.

    Raises ValueError if any is not above zero. Source: BS 7671 411.4.4 (Zs Ia <= U0 Cmin).
    """
    sane.positive(voltage_v=voltage_v, cmin_ratio=cmin_ratio, operating_a=operating_a)
    return voltage_v * cmin_ratio / operating_a


def three_phase_bound_a(*, phase_neutral_a: float) -> float:
    """Three-phase prospective current in amperes for breaking capacity: 2 x the phase-to-neutral one.

    Common practice, no source. Exact where the neutral has the impedance of a line, too high where it has
    less. Where the neutral has more it is too low: then use `three_phase_from_two_lines_a`.
    Raises ValueError if the current is not above zero.
    """
    sane.positive(phase_neutral_a=phase_neutral_a)
    return 2 * phase_neutral_a


def three_phase_a(*, line_voltage_v: float, line_ohm: float, factor_ratio: float) -> float:
    """Prospective current in amperes of a short across three lines: factor x UL / (sqrt(3) Z).

    `line_voltage_v` is line to line, `line_ohm` the impedance of one line from the source.
    Raises ValueError if any is not above zero. Source: IEC 60909-0.
    """
    sane.positive(line_voltage_v=line_voltage_v, line_ohm=line_ohm, factor_ratio=factor_ratio)
    return factor_ratio * line_voltage_v / (math.sqrt(3) * line_ohm)


def three_phase_from_two_lines_a(*, line_to_line_a: float) -> float:
    """Prospective three-phase current in amperes from one measured line to line: 2 / sqrt(3) x I.

    Exact for three lines alike. Raises ValueError if the current is not above zero. Source: Ohm
    (UL / 2Z against UL / (sqrt(3) Z)).
    """
    sane.positive(line_to_line_a=line_to_line_a)
    return 2 / math.sqrt(3) * line_to_line_a


def adiabatic_mm2(*, current_a: float, time_s: float, k: float) -> float:
    """Least conductor in mm2 for a fault with no time to lose heat: sqrt(I^2 t) / k.

    `k` is in A s^0.5 per mm2. Good up to 5 s. Below 0.1 s the let-through energy of the device governs: use
    `withstand_a2s`. Raises ValueError if a number is not above zero or the time is over 5 s.
    Source: BS 7671 543.1.3, IEC 60364-5-54.
    """
    sane.positive(current_a=current_a, time_s=time_s, k=k)
    if time_s > 5:
        raise ValueError(f"the adiabatic equation serves up to 5 s, but time_s is {time_s:g}")
    return current_a * math.sqrt(time_s) / k


def withstand_a2s(*, k: float, size_mm2: float) -> float:
    """Let-through energy in A2s that a conductor stands: k^2 S^2.

    Raises ValueError if either is not above zero. Source: BS 7671 434.5.2.
    """
    sane.positive(k=k, size_mm2=size_mm2)
    return (k * size_mm2) ** 2


def operating_time_s(*, current_a: float, points: Curve) -> float:
    """Seconds a device takes at `current_a`: a straight line in log-log between (ampere, second) points.

    Safe for disconnection at both ends: below the first point it is taken never to operate (infinity), past
    the last point it gains nothing (the last time stands). Where the true curve sags below the straight
    line the time told is long; do not use it to show that a device stays in. Raises ValueError for fewer
    than two points, or points whose currents do not differ or whose times grow with current.
    Source: a straight line on the log-log sheet on which makers print the curve.
    """
    sane.positive(current_a=current_a)
    curve = _ordered(points)
    if current_a < curve[0][0]:
        return math.inf
    for (low_a, slow_s), (high_a, quick_s) in pairwise(curve):
        if current_a <= high_a:
            share = math.log(current_a / low_a) / math.log(high_a / low_a)
            return slow_s * math.pow(quick_s / slow_s, share)
    return curve[-1][1]


def _ordered(points: Curve) -> list[tuple[float, float]]:
    if len(points) < 2:
        raise ValueError("a time/current curve wants at least two points")
    curve = sorted(points)
    for point_a, point_s in curve:
        sane.positive(point_a=point_a, point_s=point_s)
    for (low_a, slow_s), (high_a, quick_s) in pairwise(curve):
        if low_a == high_a or quick_s > slow_s:
            raise ValueError(
                f"more current must give no more time, but {low_a:g} A takes {slow_s:g} s "
                f"and {high_a:g} A takes {quick_s:g} s"
            )
    return curve
