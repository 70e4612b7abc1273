"""What a hole and a bend must know of a cable: its diameter, and its least bending radius by each source."""

from __future__ import annotations

from dataclasses import dataclass

from ampwright.facts import NoRow, look_up
from ampwright.job.record import Cable
from ampwright.working import Fact

BEND = "gb/bend_radius"
LARGE_MM2, SMALL_MM, MIDDLE_MM = 16.0, 10.0, 25.0


@dataclass(frozen=True, slots=True)
class Bending:
    """The factor that is used, of overall diameters to the inside of the bend, and what other sources ask.

    Where sources disagree the one that asks for the most holds.
    """

    used: Fact
    others: tuple[Fact, ...]


def diameter_mm(cable: Cable) -> float | None:
    """The overall diameter (of flat cable the width): the most that was measured, else by the tables; None where no
    table has it and it must be measured."""
    if cable.sheath_mm is not None:
        return cable.sheath_mm.high
    if cable.size_mm2 is None:
        return None
    try:
        if cable.kind in ("armoured_70c", "armoured_90c") and cable.cores_count is not None:
            return look_up("gb/armoured_dimensions", "overall_mm", cores_count=cable.cores_count,
                           size_mm2=cable.size_mm2).value  # fmt: skip
        if cable.kind == "flat_twin_and_earth":
            return look_up("gb/flat_cable_dimensions", "width_mm", size_mm2=cable.size_mm2).value
    except NoRow:
        return None
    return None


def bending(cable: Cable, across_mm: float) -> Bending:
    """The strictest factor that a source asks for that cable, with what the others ask."""
    if cable.kind in ("armoured_70c", "armoured_90c"):
        to = "16 mm2" if (cable.size_mm2 or 0) <= LARGE_MM2 else "over 16 mm2"
        asked = [look_up(BEND, "diameters_ratio", cable="armoured", to=each) for each in (to, "any")]
        strictest = max(asked, key=lambda each: each.value)
        return Bending(strictest, tuple(each for each in asked if each is not strictest))
    if cable.kind == "flat_twin_and_earth" and across_mm <= SMALL_MM:
        return Bending(look_up(BEND, "diameters_ratio", cable="flat_twin_and_earth", to="any"), ())
    to = "10 mm" if across_mm <= SMALL_MM else "25 mm" if across_mm <= MIDDLE_MM else "over 25 mm"
    return Bending(look_up(BEND, "diameters_ratio", cable="circular", to=to), ())
