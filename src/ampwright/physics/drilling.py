"""Holes through walls and bends at their ends: plain trigonometry.

A hole runs from its entry to its breakout. `fall_deg` is how far it dips below level on the way out, `skew_deg` how far
it swings aside on plan, each seen along its own axis. Along the wall means level, to the side that it swings to.
"""

import math
from collections.abc import Sequence

from ampwright.physics import sane

Point = Sequence[float]
STEEPEST_DEG = 60.0


def drilled_mm(*, thickness_mm: float, fall_deg: float, skew_deg: float) -> float:
    """Length in mm of the hole: t sqrt(1 + tan^2 fall + tan^2 skew).

    Raises ValueError for a wall of no thickness or an angle of 60 degrees or more.
    """
    sane.positive(thickness_mm=thickness_mm)
    _drillable(fall_deg=fall_deg, skew_deg=skew_deg)
    return thickness_mm * math.sqrt(1 + _tan(fall_deg) ** 2 + _tan(skew_deg) ** 2)


def shift_mm(*, thickness_mm: float, angle_deg: float) -> float:
    """How far in mm the breakout lies below (or beside) the entry: t tan(angle)."""
    sane.positive(thickness_mm=thickness_mm)
    _drillable(angle_deg=angle_deg)
    return thickness_mm * _tan(angle_deg)


def breakout_error_mm(*, thickness_mm: float, angle_deg: float, aim_deg: float, measuring_mm: float) -> float:
    """How far in mm the breakout may lie from where it is reckoned, in one direction.

    The worst of aiming `aim_deg` too steep or too flat, with the error of measuring the entry added whole.
    """
    sane.positive(thickness_mm=thickness_mm)
    sane.not_negative(aim_deg=aim_deg, measuring_mm=measuring_mm)
    steep = abs(angle_deg) + aim_deg
    _drillable(angle_deg=steep)
    return thickness_mm * (_tan(steep) - _tan(abs(angle_deg))) + measuring_mm


def turn_deg(*, fall_deg: float, skew_deg: float, run_along_mm: float, run_up_mm: float) -> float:
    """Angle in degrees that a cable turns through as it leaves the hole and lies along the wall.

    The run is (`run_along_mm`, `run_up_mm`) on the wall's face, of any length. 90 for a hole square to the wall, less
    where the hole points the way of the run, more where it points away. Raises ValueError for a run that goes nowhere.
    """
    _drillable(fall_deg=fall_deg, skew_deg=skew_deg)
    length = math.hypot(run_along_mm, run_up_mm)
    if not length:
        raise ValueError("the run goes nowhere")
    out = (1.0, _tan(skew_deg), -_tan(fall_deg))
    cosine = (out[1] * run_along_mm + out[2] * run_up_mm) / (length * math.hypot(*out))
    return math.degrees(math.acos(max(-1.0, min(1.0, cosine))))


def stand_off_mm(*, inner_radius_mm: float, diameter_mm: float, angle_deg: float) -> float:
    """How far in mm the cable's near side stands off the wall once it lies along it: R (1 - cos turn) - D/2.

    R, the radius of the cable's middle line, is the inner radius and half a diameter. The middle line starts to bend
    as it comes out of the face; never below zero.
    """
    sane.positive(inner_radius_mm=inner_radius_mm, diameter_mm=diameter_mm)
    sane.not_negative(angle_deg=angle_deg)
    middle_mm = inner_radius_mm + diameter_mm / 2
    return max(0.0, middle_mm * (1 - math.cos(math.radians(angle_deg))) - diameter_mm / 2)


def inner_radius_at_mm(*, stand_off_mm: float, diameter_mm: float, angle_deg: float) -> float:
    """The inner radius in mm that a cable is bent to where its near side stands off the wall by so much.

    The reverse of `stand_off_mm`. Raises ValueError for no turn at all.
    """
    sane.positive(diameter_mm=diameter_mm, angle_deg=angle_deg)
    sane.not_negative(stand_off_mm=stand_off_mm)
    return (stand_off_mm + diameter_mm / 2) / (1 - math.cos(math.radians(angle_deg))) - diameter_mm / 2


def gap_mm(*, first: tuple[Point, Point], second: tuple[Point, Point]) -> float:
    """The least distance in mm between two straight pieces in space, each given by its two ends.

    The closest points by setting both derivatives to zero, then held within the pieces (C. Ericson, Real-Time
    Collision Detection, 2005, section 5.1.9; from memory).
    """
    along, other = _less(first[1], first[0]), _less(second[1], second[0])
    between = _less(first[0], second[0])
    a, e, f = _dot(along, along), _dot(other, other), _dot(other, between)
    c, b = _dot(along, between), _dot(along, other)
    flat = a * e - b * b
    s = _held((b * f - c * e) / flat) if a and e and flat > 1e-9 * a * e else 0.0
    t = (b * s + f) / e if e else 0.0
    if not 0.0 <= t <= 1.0 or not e:
        t = _held(t)
        s = _held((b * t - c) / a) if a else 0.0
    return math.dist([p + s * v for p, v in zip(first[0], along, strict=True)],
                     [p + t * v for p, v in zip(second[0], other, strict=True)])  # fmt: skip


def _tan(angle_deg: float) -> float:
    return math.tan(math.radians(angle_deg))


def _drillable(**angle_deg: float) -> None:
    for name, value in angle_deg.items():
        if not abs(value) < STEEPEST_DEG:
            raise ValueError(f"{name} must lie within {STEEPEST_DEG:g} degrees of square, but {value:g} was given")


def _less(one: Point, two: Point) -> list[float]:
    return [p - q for p, q in zip(one, two, strict=True)]


def _dot(one: Point, two: Point) -> float:
    return sum(p * q for p, q in zip(one, two, strict=True))


def _held(share_ratio: float) -> float:
    return max(0.0, min(1.0, share_ratio))
