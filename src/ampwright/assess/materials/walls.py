"""What holes and trenches take: sleeves, sealant, warning tape, and the bits to load."""

from __future__ import annotations

import math

from ampwright.assess.materials.allowances import allowances
from ampwright.assess.materials.cables import SINGLES
from ampwright.assess.materials.gathering import Gathering
from ampwright.assess.materials.items import codes, exactly
from ampwright.assess.route.cables import diameter_mm
from ampwright.assess.route.holes import bits_for
from ampwright.job.record import Job, Section
from ampwright.reading import Reading, assumed

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
    """The thickness of the wall that a hole is named by, from the sketch; else the wide range of the allowances."""
    for wall in job.sketch.walls:
        if wall.thickness_mm is not None and (through == wall.name or through.startswith(f"{wall.name},")):
            return Reading(wall.thickness_mm.low / 1000, wall.thickness_mm.high / 1000, wall.thickness_mm.because)
    return assumed(allowances()["wall_least"], allowances()["wall_most"], NOT_SAID)


def _hole(section: Section, path: str, through: str, thick_m: Reading, to: Gathering) -> None:
    cable = section.cable
    if cable.kind in SINGLES:
        to.remark(f"{through}: single cores go through it in their conduit or trunking; choose the bit by that.")
        return
    across_mm = cable.sheath_mm.high if cable.sheath_mm is not None else diameter_mm(cable)
    if across_mm is None:
        to.unknown(*(f"{path}.cable.{field}" for field in ("kind", "size_mm2") if getattr(cable, field) is None),
                   *([f"{path}.cable.sheath_mm"] if cable.kind and cable.size_mm2 else []))  # fmt: skip
        return
    sleeve_mm, bit_mm, usable_mm, pilot_mm = bits_for(across_mm, thick_m.high * 1000)
    name = through.split(",")[0]
    if sleeve_mm is not None:
        code = f"{sleeve_mm:g} mm wall sleeve"
        to.item(code, code, thick_m, f"a cable of {across_mm:g} mm through {name}", f"{path}.through")
    if sleeve_mm is None or bit_mm is None or pilot_mm is None:
        to.remark(f"{through}: no listed bit drills {thick_m.high * 1000:g} mm deep for a cable of {across_mm:g} mm; "
                  "hire one.")  # fmt: skip
        return
    for kind, size_mm in (("pilot bit", pilot_mm), ("bit", bit_mm)):
        _load_bit(kind, size_mm, usable_mm or 0, name, to)


def _load_bit(kind: str, size_mm: float, usable_mm: float, name: str, to: Gathering) -> None:
    """The shortest listed bit of that kind and size that is long enough."""
    start = f"{size_mm:g} mm {kind}, "
    sold = sorted((int(code.removeprefix(start).split()[0]), code) for code in codes() if code.startswith(start))
    code = next((code for length_mm, code in sold if length_mm >= usable_mm), sold[-1][1])
    to.load(code, f"the hole through {name}")
