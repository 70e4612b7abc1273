"""How far a hole through a wall may stray from where it is entered, before anybody knows its cable."""

from __future__ import annotations

from dataclasses import dataclass

from ampwright.assess.route.bits import widest_mm
from ampwright.assess.route.effort import efforts
from ampwright.job.sketch import Wall
from ampwright.physics.drilling import breakout_error_mm, shift_mm


@dataclass(frozen=True, slots=True)
class Stray:
    """How far the breakout lies below the entry, by how much it may be out in any direction, and half of the widest
    hole that the bits in use make."""

    drop_mm: float
    error_mm: float
    half_mm: float


def stray_of(wall: Wall, *, falls: bool) -> Stray:
    """Of a hole square through a wall as thick as it may be; level unless it falls to the open air."""
    assert wall.thickness_mm is not None
    thick_mm, fall_deg = wall.thickness_mm.high, efforts()["fall"] if falls else 0.0
    error_mm = breakout_error_mm(thickness_mm=thick_mm, angle_deg=fall_deg, aim_deg=efforts()["aim"],
                                 measuring_mm=efforts()["measuring"])  # fmt: skip
    return Stray(shift_mm(thickness_mm=thick_mm, angle_deg=fall_deg), error_mm, widest_mm() / 2)
