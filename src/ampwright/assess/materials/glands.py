"""Glands for armoured cable, by what was measured under and over the armour, else by the nominal diameters."""

from __future__ import annotations

from ampwright.assess.materials.allowances import allowances
from ampwright.assess.materials.cables import ENDS_COUNT, Run, runs_of
from ampwright.assess.materials.gathering import Gathering
from ampwright.assess.materials.items import exactly
from ampwright.facts import NoRow, look_up, rows
from ampwright.job.record import Cable, Job
from ampwright.reading import Reading
from ampwright.rules.gb.parts.loop import ARMOURED

MEASURE = "Sheets and makers differ: measure the very cable under and over its armour before you buy a gland."
COLUMNS = (("bedding_mm", "under_armour_mm", "under"), ("sheath_mm", "overall_mm", "over"))


def take_glands(job: Job, to: Gathering) -> None:
    """A gland, a shroud and an earthing nut at each end of every armoured run."""
    for run in runs_of(job):
        if run.cable.kind in ARMOURED and run.cable.size_mm2 is not None and run.cable.cores_count is not None:
            _take(run, to)


def _take(run: Run, to: Gathering) -> None:
    path = f"{run.paths[0]}.cable"
    read, listed = _measured(run.cable), [_nominal(run.cable, column) for _, column, _ in COLUMNS]
    for size, nominal, (_, _, word) in zip(read, listed, COLUMNS, strict=True):
        if size is not None and nominal is not None:
            _compare(size, nominal.low, word, to)
    bedding_mm, sheath_mm = read[0] or listed[0], read[1] or listed[1]
    if bedding_mm is None or sheath_mm is None:
        to.unknown(*(f"{path}.{field}" for (field, _, _), size in zip(COLUMNS, read, strict=True) if size is None))
        return
    by_table = [word for size, (_, _, word) in zip(read, COLUMNS, strict=True) if size is None]
    if by_table:
        to.remark(MEASURE)
    says = f"{bedding_mm.ends} mm under and {sheath_mm.ends} mm over the armour"
    gland = gland_for(bedding_mm, sheath_mm)
    if gland is None:
        _none_fits(bedding_mm, sheath_mm, says, path, to)
        return
    told = ("as measured", f"what is {''.join(by_table)} it nominal", "nominal, not measured")[len(by_table)]
    ends = exactly(ENDS_COUNT)
    to.item(f"{gland} gland, type CW", f"{gland} gland, type CW", ends, f"both ends; {says}, {told}", path)
    to.item(f"{gland} gland shroud", f"{gland} gland shroud", ends, "one for each gland", path)
    nut = f"{gland.removesuffix('S')} mm earthing nut"
    to.item(nut, nut, ends, "one for each gland", path)


def _measured(cable: Cable) -> tuple[Reading | None, Reading | None]:
    return cable.bedding_mm, cable.sheath_mm


def _nominal(cable: Cable, column: str) -> Reading | None:
    try:
        found = look_up("gb/armoured_dimensions", column, cores_count=cable.cores_count or 0,
                        size_mm2=cable.size_mm2 or 0)  # fmt: skip
    except NoRow:
        return None
    return exactly(found.value)


def _compare(measured_mm: Reading, nominal_mm: float, word: str, to: Gathering) -> None:
    """Say where a measured diameter is not that of the table: another cable, or a slip of the calliper."""
    most_mm = allowances()["tape_tolerance"]
    if measured_mm.low - most_mm <= nominal_mm <= measured_mm.high + most_mm:
        return
    to.remark(f"{measured_mm.ends} mm was measured {word} the armour, and the table has {nominal_mm:g} mm for such a "
              "cable: measure again, and read the size and the cores on the sheath. The gland is by what was "
              "measured.")  # fmt: skip


def _none_fits(bedding_mm: Reading, sheath_mm: Reading, says: str, path: str, to: Gathering) -> None:
    """No gland holds the whole range: ask for a closer measure where its ends take different ones."""
    least = gland_for(exactly(bedding_mm.low), exactly(sheath_mm.low))
    most = gland_for(exactly(bedding_mm.high), exactly(sheath_mm.high))
    loose = [f"{path}.{field}" for (field, _, _), size in zip(COLUMNS, (bedding_mm, sheath_mm), strict=True)
             if size.low < size.high]  # fmt: skip
    if not loose:
        to.remark(f"No gland is listed for {says}.")
        return
    to.unknown(*loose)
    ends = " and ".join(f"{gland or 'none listed'} at the {end}" for gland, end in ((least, "least"), (most, "most")))
    to.remark(f"No one gland holds {says} ({ends}): measure it closer before you buy a gland.")


def gland_for(bedding_mm: Reading, sheath_mm: Reading) -> str | None:
    """The smallest listed gland whose ranges hold both at both ends of what was measured; None if none does."""
    for row in rows("gb/gland_sizes"):
        from_mm, to_mm = float(row["sheath_from_mm"]), float(row["sheath_to_mm"])
        if bedding_mm.high <= float(row["bedding_to_mm"]) and from_mm <= sheath_mm.low and sheath_mm.high <= to_mm:
            return row["gland"]
    return None
