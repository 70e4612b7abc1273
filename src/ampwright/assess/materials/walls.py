"""What holes and trenches take: sleeves, sealant, warning tape, bedding and duct, and the bits to load."""

from __future__ import annotations

import math
import re
from itertools import pairwise

from ampwright.assess.materials.allowances import allowances
from ampwright.assess.materials.cables import SINGLES
from ampwright.assess.materials.enclosures import conduit_mm
from ampwright.assess.materials.gathering import Gathering, scaled, whole
from ampwright.assess.materials.items import exactly
from ampwright.assess.route.bits import bits_for
from ampwright.assess.route.cables import diameter_mm
from ampwright.assess.route.effort import efforts
from ampwright.assess.trench import UNSAID, surfaces
from ampwright.job.record import Job, Section
from ampwright.physics.drilling import drilled_mm
from ampwright.reading import Reading, assumed
from ampwright.rules.gb.parts.loop import ARMOURED

THICK = re.compile(r", (\d{1,4}(?:\.\d+)?)(?: to (\d{1,4}(?:\.\d+)?))? mm\b")
AS_NAMED = "as the wall is named on the route"
NOT_SAID = "how thick the wall is was not said"
BURIED = "D"
HARD = ("paving", "concrete", "tarmac")


def take_walls(job: Job, to: Gathering) -> None:
    """A sleeve through each hole, sealant for all, bits long enough; what a trench takes; a hole that nobody named."""
    holes_count = 0
    for number, section in enumerate(job.route):
        for through in section.through:
            holes_count += 1
            _hole(job, number, through, to)
        if section.method == BURIED and section.length_m is not None:
            _trench(job, number, section.length_m, to)
    _ask_unsaid_walls(job, to)
    if holes_count:
        tubes = exactly(math.ceil(holes_count / allowances()["sealant_holes"]))
        to.item("tube of sealant", "tube of sealant", tubes,
                "both ends of each hole; a fire barrier wants what its maker proved", "route")  # fmt: skip


def _trench(job: Job, number: int, length_m: Reading, to: Gathering) -> None:
    """Tape above the cable, sand around it; a duct where the ground cannot be opened again or there is no armour. Where
    the surface was not said it may be either."""
    section, path = job.route[number], f"route[{number}].length_m"
    to.item("warning tape", "warning tape", length_m, "above what is buried", path)
    over = surfaces(job, number)
    hard = [each for each in over if each in HARD]
    bare = section.cable.kind is not None and section.cable.kind not in ARMOURED
    if hard or bare:
        why = "a cable without armour is not laid bare in the ground" if bare else f"below {' or '.join(hard)}"
        surely = bare or len(hard) == len(over)
        need = length_m if surely else Reading(0, length_m.high, UNSAID)
        to.item("cable duct", "cable duct", need, f"{why}; common practice, no source; the bore by what is pulled "
                "through it, and a cable in a duct carries less", path)  # fmt: skip
        if surely:
            return
    bags = whole(scaled(length_m, allowances()["bedding_bags"]))
    to.item("25 kg bag of bedding sand", "25 kg bag of bedding sand", Reading(0, bags.high, UNSAID) if hard else bags,
            "below and over the cable, or sieved soil without stones; common practice, no source", path)  # fmt: skip


def _ask_unsaid_walls(job: Job, to: Gathering) -> None:
    """Where one stretch is indoors and the next is not, something is passed through: ask, if neither says what."""
    for number, (before, after) in enumerate(pairwise(job.route), start=1):
        if {_outdoors(before), _outdoors(after)} == {True, False} and not before.through and not after.through:
            to.unknown(f"route[{number}].through")
            to.remark(f"{before.name}, then {after.name}: one is indoors and the other is not, and no hole is named. "
                      "Say what the cable passes through: no hole, sleeve or bit is on this list for it.")  # fmt: skip


def _outdoors(section: Section) -> bool | None:
    """Whether it is out of doors. What is buried is so too; if it is said not to be in the weather it may be either,
    since the ground keeps that off as a roof does."""
    if section.method != BURIED:
        return section.outdoors
    return None if section.outdoors is False else True


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


def _hole(job: Job, number: int, through: str, to: Gathering) -> None:
    """By the outside of what goes through: the conduit where the stretch is in one, else the cable."""
    section, path, thick_m = job.route[number], f"route[{number}]", thickness_m(job, through)
    cable, in_conduit = section.cable, section.enclosure.kind == "conduit"
    across_mm = conduit_mm(job, section) if in_conduit else diameter_mm(cable)
    what = "conduit" if in_conduit else "cable"
    if in_conduit and across_mm is None:
        to.remark(f"{through}: the conduit goes through it, and its size is not known yet; choose the bit by that.")
        return
    if cable.kind in SINGLES and not in_conduit:
        to.remark(f"{through}: single cores go through it in their conduit or trunking; choose the bit by that.")
        return
    if across_mm is None:
        to.unknown(*(f"{path}.cable.{field}" for field in ("kind", "size_mm2") if getattr(cable, field) is None),
                   *([f"{path}.cable.sheath_mm"] if cable.kind and cable.size_mm2 else []))  # fmt: skip
        return
    deep_mm = drilled_mm(thickness_mm=thick_m.high * 1000, fall_deg=efforts()["fall"], skew_deg=0)
    drilling = bits_for(across_mm, deep_mm)
    name = THICK.split(through)[0]
    if drilling.sleeve_mm is not None:
        to.item("wall sleeve", f"{drilling.sleeve_mm:g} mm wall sleeve", thick_m,
                f"a {what} of {across_mm:g} mm through {name}", f"{path}.through")  # fmt: skip
    if drilling.bit_mm is None or drilling.pilot_mm is None:
        to.remark(f"{through}: no listed bit drills {deep_mm:.0f} mm deep for a {what} of {across_mm:g} mm; "
                  "hire one.")  # fmt: skip
        return
    for kind, size_mm, usable_mm in (("pilot bit", drilling.pilot_mm, drilling.pilot_usable_mm),
                                     ("bit", drilling.bit_mm, drilling.usable_mm)):  # fmt: skip
        to.load(kind, f"the hole through {name}", f"{size_mm:g} mm {kind}, {usable_mm:g} mm usable")
