"""The bend at each end of a hole: the least radius by the source used and by others, and its stand-off."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ampwright.assess.route.cables import Bending, bending
from ampwright.assess.route.plan import where_words
from ampwright.assess.route.search import XYZ
from ampwright.job.record import Cable
from ampwright.physics.drilling import drilled_mm, inner_radius_at_mm, shift_mm, stand_off_mm, turn_deg
from ampwright.working import Working, capital, shown

TIGHT_DEG, LEVEL_MM, SWUNG_DEG = 1.0, 1.0, 30.0


@dataclass(frozen=True, slots=True)
class Swung:
    """The same hole swung `SWUNG_DEG` towards a level run: the stand-off, how far aside this end then lies along the
    wall, and how long the hole is, both through the thickest that the wall may be."""

    off_mm: float
    aside_mm: float
    length_mm: float

    @property
    def says(self) -> str:
        """The numbers, and what has to be looked at again."""
        return (f"{self.off_mm:.0f} mm if the hole is swung {SWUNG_DEG:g}° towards the run: this end then lies "
                f"{self.aside_mm:.0f} mm further that way and the hole is {self.length_mm:.0f} mm long, so look again "
                "on both sides for what is there, and choose the bit by that")  # fmt: skip


@dataclass(frozen=True, slots=True)
class Bend:
    """Where a cable leaves a hole and lies along the wall. `flat_radius_mm` is what it would be bent to flat on the
    wall, `others_mm` the radii that other sources ask, each with its name, `swung` the hole swung towards a level run.
    """

    where: str
    turn_deg: float
    radius_mm: float
    by: str
    others_mm: tuple[tuple[str, float], ...]
    stand_off_mm: float
    flat_radius_mm: float
    swung: Swung | None

    @property
    def fits_flat(self) -> bool:
        """Whether the cable may lie flat on the wall straight from the hole."""
        return self.flat_radius_mm >= self.radius_mm

    @property
    def rule(self) -> str:
        """The least radius, by the strictest source, and what others ask."""
        others = "".join(f"; {name} asks {radius:.0f} mm" for name, radius in self.others_mm)
        held = "; the stricter holds" if others else ""
        return f"Bends {self.radius_mm:.0f} mm inside at least ({self.by}){others}{held}."

    @property
    def says(self) -> str:
        """One sentence with the numbers."""
        turns = f"{capital(self.where)} the cable turns {self.turn_deg:.0f}°"
        if self.fits_flat:
            return f"{turns}: it may lie flat on the wall."
        swung = f" ({self.swung.says})" if self.swung is not None else ""
        return (f"{turns}, too tight flat on the wall: stand it off {self.stand_off_mm:.0f} mm{swung}, ease the edge "
                "of the hole by as much, or enter a box here.")  # fmt: skip


def bends_at(sheet: Working, cable: Cable, across_mm: float | None, fall_deg: float, thick_mm: float,
             ends: tuple[XYZ, XYZ], runs: tuple[XYZ | None, XYZ | None],
             rooms: tuple[str | None, str | None]) -> tuple[Bend, ...]:  # fmt: skip
    """The bends of one hole, inner end first. None where the cable is not known; no bend where no run follows.

    `thick_mm` is the most that the wall is thick.

    Seen from the inner end the hole rises towards the room as much as it falls to the outside.
    """
    if across_mm is None:
        return ()
    found: list[Bend] = []
    factor = bending(cable, across_mm)
    for number, (end, run, room) in enumerate(zip(ends, runs, rooms, strict=True)):
        if run is None:
            continue
        if not found:
            sheet.given("Dcable", across_mm, "published dimensions of the cable; measure yours")
            sheet.fact("nbend", factor.used)
            sheet.step("rbend = nbend * Dcable", factor.used.value * across_mm)
        along_mm, up_mm = math.dist(end[:2], run[:2]), run[2] - end[2]
        if not along_mm and not up_mm:
            continue
        where = where_words(room)
        outward_deg = fall_deg if number else -fall_deg
        found.append(_bend(sheet, number + 1, where, factor, across_mm, outward_deg, thick_mm, (along_mm, up_mm)))
    return tuple(found)


def _bend(sheet: Working, number: int, where: str, factor: Bending, across_mm: float, fall_deg: float,
          thick_mm: float, run_mm: tuple[float, float]) -> Bend:  # fmt: skip
    """One bend, with its lines on the sheet."""
    radius_mm = factor.used.value * across_mm
    turned, off_mm = _turned(fall_deg, 0.0, *run_mm, radius_mm, across_mm)
    level = abs(run_mm[1]) < LEVEL_MM
    swung = None
    if level:
        swung = Swung(_turned(fall_deg, SWUNG_DEG, *run_mm, radius_mm, across_mm)[1],
                      shift_mm(thickness_mm=thick_mm, angle_deg=SWUNG_DEG),
                      drilled_mm(thickness_mm=thick_mm, fall_deg=fall_deg, skew_deg=SWUNG_DEG))  # fmt: skip
    sheet.given(f"aturn_{number}", turned, "from the axis of the hole to the run")
    sheet.step(f"soff_{number} = max(0, (rbend + Dcable / 2) * (1 - cos(aturn_{number})) - Dcable / 2)", off_mm)
    flat_mm = inner_radius_at_mm(stand_off_mm=0, diameter_mm=across_mm, angle_deg=max(turned, TIGHT_DEG))
    others = tuple((each.where, each.value * across_mm) for each in factor.others)
    by = f"{shown(factor.used.value)} diameters, {factor.used.where}, {factor.used.trust.value}"
    return Bend(where, turned, radius_mm, by, others, off_mm, flat_mm, swung)


def _turned(fall_deg: float, skew_deg: float, along_mm: float, up_mm: float, radius_mm: float,
            across_mm: float) -> tuple[float, float]:  # fmt: skip
    """The angle that the cable turns through, and the stand-off."""
    turned = turn_deg(fall_deg=fall_deg, skew_deg=skew_deg, run_along_mm=along_mm, run_up_mm=up_mm)
    return turned, stand_off_mm(inner_radius_mm=radius_mm, diameter_mm=across_mm, angle_deg=turned)
