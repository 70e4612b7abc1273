"""Glands for armoured cable, by what was measured over armour bedding and sheath, else by the nominal diameters."""

from __future__ import annotations

from ampwright.assess.materials.cables import Run, runs_of
from ampwright.assess.materials.gathering import Gathering
from ampwright.assess.materials.items import exactly
from ampwright.facts import NoRow, look_up, rows
from ampwright.job.record import Cable, Job
from ampwright.reading import Reading
from ampwright.rules.gb.parts.loop import ARMOURED

ENDS_COUNT = 2
MEASURE = "Sheets and makers differ: measure the very cable under and over its armour before you buy a gland."


def take_glands(job: Job, to: Gathering) -> None:
    """A gland, a shroud and an earthing nut at each end of every armoured run."""
    for run in runs_of(job):
        if run.cable.kind in ARMOURED and run.cable.size_mm2 is not None and run.cable.cores_count is not None:
            _take(run, to)


def _take(run: Run, to: Gathering) -> None:
    path = f"{run.paths[0]}.cable"
    bedding_mm, sheath_mm, measured = _sizes(run.cable)
    if bedding_mm is None or sheath_mm is None:
        to.unknown(f"{path}.bedding_mm", f"{path}.sheath_mm")
        return
    gland = gland_for(bedding_mm, sheath_mm)
    if gland is None:
        to.remark(f"No gland is listed for {bedding_mm:g} mm under and {sheath_mm:g} mm over the armour.")
        return
    told = "as measured" if measured else "nominal, not measured"
    why = f"both ends; {bedding_mm:g} mm under and {sheath_mm:g} mm over the armour, {told}"
    ends = exactly(ENDS_COUNT)
    to.item(f"{gland} gland, type CW", f"{gland} gland, type CW", ends, why, path)
    to.item(f"{gland} gland shroud", f"{gland} gland shroud", ends, "one for each gland", path)
    nut = f"{gland.removesuffix('S')} mm earthing nut"
    to.item(nut, nut, ends, "one for each gland", path)
    if not measured:
        to.remark(MEASURE)


def _sizes(cable: Cable) -> tuple[float | None, float | None, bool]:
    """Under and over the armour, mm, the middle of what was measured; else as a table has them."""
    if cable.bedding_mm is not None and cable.sheath_mm is not None:
        return _middle(cable.bedding_mm), _middle(cable.sheath_mm), True
    try:
        under, over = (look_up("gb/armoured_dimensions", column, cores_count=cable.cores_count, size_mm2=cable.size_mm2)
                       for column in ("under_armour_mm", "overall_mm"))  # fmt: skip
    except NoRow:
        return None, None, False
    return under.value, over.value, False


def _middle(reading: Reading) -> float:
    return (reading.low + reading.high) / 2


def gland_for(bedding_mm: float, sheath_mm: float) -> str | None:
    """The smallest listed gland whose ranges hold both; None if none does."""
    for row in rows("gb/gland_sizes"):
        if bedding_mm <= float(row["bedding_to_mm"]) and (
                float(row["sheath_from_mm"]) <= sheath_mm <= float(row["sheath_to_mm"])):  # fmt: skip
            return row["gland"]
    return None
