"""What the ends of a cable take: joint boxes, ferrules, sleeving on earth cores, and entry seals."""

from __future__ import annotations

from itertools import pairwise

from ampwright.assess.materials.allowances import allowances
from ampwright.assess.materials.cables import ENDS_COUNT, LIVE, SINGLES, Run, runs_of
from ampwright.assess.materials.gathering import Gathering, whole
from ampwright.assess.materials.items import codes, exactly
from ampwright.assess.route.cables import diameter_mm
from ampwright.facts import NoRow, look_up, rows
from ampwright.job.record import Cable, Job
from ampwright.rules.gb.parts.loop import ARMOURED

SEALS_MM = (20, 25, 32)
FINE_CLASS = 5
CORE = ("core", "core and armour")


def take_ends(job: Job, to: Gathering) -> None:
    """The boxes between runs, and what each end of each run takes."""
    runs = runs_of(job)
    for before, after in pairwise(runs):
        _box(before, after, to)
    for run in runs:
        _ferrules(job, run, to)
        _sleeving(run.cable, f"{run.paths[0]}.cable", to)
        _seals(job, run, to)


def _box(before: Run, after: Run, to: Gathering) -> None:
    """A joint box where the cable changes, for the weather if either side of it is out of doors."""
    ends = {before.paths[-1]: before.sections[-1][1].outdoors, after.paths[0]: after.sections[0][1].outdoors}
    if True not in ends.values() and None in ends.values():
        to.unknown(*(f"{path}.outdoors" for path, outdoors in ends.items() if outdoors is None))
        return
    code = "joint box, weatherproof" if True in ends.values() else "joint box, indoors"
    to.item(code, code, exactly(1), "where the cable changes", *ends)


def cores_of(job: Job, cable: Cable) -> dict[float, int] | None:
    """How many cores of each size, mm2, are made off at one end; None while that is not known."""
    if cable.kind is None or cable.size_mm2 is None:
        return None
    found: dict[float, int] = {cable.size_mm2: cable.cores_count or 0}
    if cable.kind == "flat_twin_and_earth":
        found = {cable.size_mm2: 2}
        cpc_mm2 = cable.cpc_mm2 or _flat_cpc_mm2(cable.size_mm2)
        if cpc_mm2 is not None:
            found[cpc_mm2] = found.get(cpc_mm2, 0) + 1
    elif cable.kind in SINGLES:
        if job.charge_point.phases is None:
            return None
        found = {cable.size_mm2: LIVE[job.charge_point.phases]}
        if cable.cpc == "core" and cable.cpc_mm2 is not None:
            found[cable.cpc_mm2] = found.get(cable.cpc_mm2, 0) + 1
    return found if all(found.values()) else None


def _flat_cpc_mm2(size_mm2: float) -> float | None:
    try:
        return look_up("gb/flat_cable_dimensions", "cpc_mm2", size_mm2=size_mm2).value
    except NoRow:
        return None


def class_of(cable: Cable) -> float | None:
    """The class of its conductors: as read, else the finest that the cable's standard allows; None where it may be
    any."""
    if cable.conductor_class is not None:
        return cable.conductor_class
    known = [row for row in rows("gb/conductor_class") if row["cable"] == cable.kind]
    return look_up("gb/conductor_class", "finest_class_count", cable=cable.kind).value if known else None


def may_be_fine(cable: Cable) -> bool:
    """Whether its conductors are fine-stranded, or may be."""
    finest = class_of(cable)
    return finest is None or finest >= FINE_CLASS


def _ferrules(job: Job, run: Run, to: Gathering) -> None:
    """On fine strands alone: solid and stranded cores of the fixed cables go into the terminal as they are. What is not
    known of the cable is asked with the cut list."""
    finest = class_of(run.cable)
    if run.cable.kind is None or not may_be_fine(run.cable):
        return
    if finest is None:
        to.unknown(f"{run.paths[0]}.cable.conductor_class")
        return
    for size_mm2, count in (cores_of(job, run.cable) or {}).items():
        code = f"{size_mm2:g} mm2 ferrule"
        if code not in codes():
            to.remark(f"No {code} is on the list: order it by hand.")
            continue
        spare = 1 + allowances()["spare_fixings"] / 100
        to.item(code, code, whole(exactly(count * ENDS_COUNT * spare)),
                f"each core at both ends and a tenth to spare: strands of class {finest:g} are fine; crimp as the "
                "terminal's maker asks", f"{run.paths[0]}.cable")  # fmt: skip


def _sleeving(cable: Cable, path: str, to: Gathering) -> None:
    """On the bare earth of flat cable, and on a core of armoured or sheathed cable that serves as earth."""
    bare, marked = cable.kind == "flat_twin_and_earth", cable.kind not in SINGLES and cable.cpc in CORE
    if bare or marked:
        why = "the bare earth at both ends" if bare else "the earth core at both ends, unless it is green and yellow"
        length_m = exactly(ENDS_COUNT * allowances()["sleeving_end"])
        to.item("green and yellow sleeving", "green and yellow sleeving", length_m, why, path)


def _seals(job: Job, run: Run, to: Gathering) -> None:
    """A seal at the charge point out of doors for a cable without armour, and at a box in the weather."""
    path = f"{run.paths[0]}.cable"
    if run.cable.kind is None or run.cable.kind in (*ARMOURED, *SINGLES):
        return
    places = ["the charge point"] if run.last and job.charge_point.outdoors else []
    places += [] if run.last or not run.sections[-1][1].outdoors else ["the joint box"]
    places += [] if run.first or not run.sections[0][1].outdoors else ["the joint box"]
    if not places:
        return
    across_mm = diameter_mm(run.cable)
    if across_mm is None:
        to.unknown(f"{path}.sheath_mm")
        return
    size_mm = next((each for each in SEALS_MM if across_mm <= allowances()[f"entry_seal_{each}"]), None)
    if size_mm is None:
        to.remark(f"No entry seal is listed for a cable of {across_mm:g} mm.")
        return
    code = f"{size_mm} mm cable entry seal"
    to.item(code, code, exactly(len(places)), f"at {' and '.join(dict.fromkeys(places))}, for the cable's shape", path)
