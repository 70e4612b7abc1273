"""What holes and trenches take: sleeves, sealant, warning tape, and the bits to load."""

from __future__ import annotations

import math
import re

from ampwright.assess.materials.allowances import allowances
from ampwright.assess.materials.cables import SINGLES
from ampwright.assess.materials.gathering import Gathering
from ampwright.assess.materials.items import exactly
from ampwright.assess.route.bits import bits_for
from ampwright.assess.route.cables import diameter_mm
from ampwright.assess.route.effort import efforts
from ampwright.job.record import Job, Section
from ampwright.physics.drilling import drilled_mm
from ampwright.reading import Reading, assumed

THICK = re.compile(r", (\d{1,4}(?:\.\d+)?)(?: to (\d{1,4}(?:\.\d+)?))? mm\b")
AS_NAMED = "as the wall is named on the route"
NOT_SAID = "how thick the wall is was not said"
BURIED = "D"


def take_walls(job: Job, to: Gathering) -> None:
    """A sleeve through each hole, sealant for all, bits long enough; tape above what is buried."""
    holes_count = 0
    for number, section in enumerate(job.route):
        for through in section.through:
            holes_count += 1
            _hole(section, f"route[{number}]", through, thickness_m(job, through), to)
        if section.method == BURIED and section.length_m is not None:
            path = f"route[{number}].length_m"
            to.item("warning tape", "warning tape", section.length_m, "above what is buried", path)
    if holes_count:
        tubes = exactly(math.ceil(holes_count / allowances()["sealant_holes"]))
        to.item("tube of sealant", "tube of sealant", tubes,
                "both ends of each hole; a fire barrier wants what its maker proved", "route")  # fmt: skip


def thickness_m(job: Job, through: str) -> Reading:
    """The thickness of the wall that a hole is named by: from the sketch, or as the name says it ("stone wall, 550
    mm"); else the wide range of the allowances."""
    for wall in job.sketch.walls:
        if wall.thickness_mm is not None and (through == wall.name or through.startswith(f"{wall.name},")):
            return Reading(wall.thickness_mm.low / 1000, wall.thickness_mm.high / 1000, wall.thickness_mm.because)
    said = THICK.search(through)
    if said:
        low_mm, high_mm = float(said[1]), float(said[2] or said[1])
        return assumed(low_mm / 1000, max(high_mm, low_mm) / 1000, AS_NAMED)
    return assumed(allowances()["wall_least"], allowances()["wall_most"], NOT_SAID)


def _hole(section: Section, path: str, through: str, thick_m: Reading, to: Gathering) -> None:
    cable = section.cable
    if cable.kind in SINGLES:
        to.remark(f"{through}: single cores go through it in their conduit or trunking; choose the bit by that.")
        return
    across_mm = diameter_mm(cable)
    if across_mm is None:
        to.unknown(*(f"{path}.cable.{field}" for field in ("kind", "size_mm2") if getattr(cable, field) is None),
                   *([f"{path}.cable.sheath_mm"] if cable.kind and cable.size_mm2 else []))  # fmt: skip
        return
    deep_mm = drilled_mm(thickness_mm=thick_m.high * 1000, fall_deg=efforts()["fall"], skew_deg=0)
    drilling = bits_for(across_mm, deep_mm)
    name = THICK.split(through)[0]
    if drilling.sleeve_mm is not None:
        to.item("wall sleeve", f"{drilling.sleeve_mm:g} mm wall sleeve", thick_m,
                f"a cable of {across_mm:g} mm through {name}", f"{path}.through")  # fmt: skip
    if drilling.bit_mm is None or drilling.pilot_mm is None:
        to.remark(f"{through}: no listed bit drills {deep_mm:.0f} mm deep for a cable of {across_mm:g} mm; "
                  "hire one.")  # fmt: skip
        return
    for kind, size_mm, usable_mm in (("pilot bit", drilling.pilot_mm, drilling.pilot_usable_mm),
                                     ("bit", drilling.bit_mm, drilling.usable_mm)):  # fmt: skip
        to.load(kind, f"the hole through {name}", f"{size_mm:g} mm {kind}, {usable_mm:g} mm usable")
