"""Clips and cleats for what is laid on a surface, by the spacing rule of the cable's size."""

from __future__ import annotations

from ampwright.assess.materials.allowances import allowances
from ampwright.assess.materials.gathering import Gathering, plus, scaled, whole
from ampwright.assess.materials.items import exactly
from ampwright.assess.route.cables import diameter_mm
from ampwright.facts import NoRow, look_up_at_least
from ampwright.job.record import Cable, Job
from ampwright.rules.gb.parts.loop import ARMOURED

ON_A_SURFACE = "C"
CLIPPED = ("flat_twin_and_earth", "multicore_70c")


def take_fixings(job: Job, to: Gathering) -> None:
    """A fixing for each spacing of the level run (the closer one), one at the end, two at each hole, and some spare."""
    figures = allowances()
    for number, section in enumerate(job.route):
        cable, path = section.cable, f"route[{number}]"
        if section.method != ON_A_SURFACE or section.length_m is None or cable.kind not in (*ARMOURED, *CLIPPED):
            continue
        spacing_mm = _spacing_mm(cable)
        if spacing_mm is None:
            to.unknown(f"{path}.cable.sheath_mm")
            continue
        corners = figures["end_fixing"] + figures["corner_fixings"] * len(section.through)
        need = whole(scaled(plus(whole(scaled(section.length_m, 1000 / spacing_mm)), exactly(corners)),
                            1 + figures["spare_fixings"] / 100))  # fmt: skip
        code = "cable cleat" if cable.kind in ARMOURED else "cable clip"
        across_mm = diameter_mm(cable)
        to.item(code, f"{code} for {across_mm:g} mm", need, f"every {spacing_mm:g} mm", f"{path}.length_m")
        to.item("wall plug and screw", "wall plug and screw", need, f"one for each {code}", f"{path}.length_m")


def _spacing_mm(cable: Cable) -> float | None:
    """The closest spacing for a run whose way up nobody said; None where its size is in no table."""
    across_mm = diameter_mm(cable)
    if across_mm is None:
        return None
    table = "armoured" if cable.kind in ARMOURED else "pvc_sheathed"
    try:
        return look_up_at_least("gb/clip_spacing", "horizontal_mm", "overall_to_mm", across_mm, cable=table).value
    except NoRow:
        return None
