"""BS 7671 411.3.1.1 and 722.411.4: a charge point on its own electrode beside a house on another earth."""

from __future__ import annotations

from ampwright.job.paths import unseen
from ampwright.job.record import Job, Section
from ampwright.rules.gb.parts.loop import EARTHED
from ampwright.rules.regulation import Finding, ask, does_not_apply, for_the_designer, regulation, seen
from ampwright.working import Working, capital


@regulation(asks="Is the house's earth kept off a charge point that has its own electrode?")
def supply_earth_kept_off(job: Job) -> Finding:
    """Armour or a core from the house's board carries the house's earth to the car unless it is cut on the way."""
    gaps = unseen(job, EARTHED)
    if "circuit.earthed_by" in gaps:
        return ask("circuit.earthed_by")
    if job.circuit.earthed_by == "supply":
        return does_not_apply("The charge point is on the same earth as the house.")
    if gaps:
        return ask(*gaps)
    if job.supply.earthing == "TT":
        return does_not_apply("The house has no earth from the supply: both are on electrodes.")
    gaps = unseen(job, ("route[].cable.kind",))
    if gaps:
        return ask(*gaps)
    sheet = Working()
    sheet.remark("Cut the armour at an insulated gland or an insulating enclosure.")
    sheet.remark("Leave an earth core from the house's board, and a data cable's screen, unconnected at the car's end.")
    paths = " and ".join(f"{_path(section)} of {section.name}" for section in job.route)
    says = f"{paths} can carry the house's earth to the car; say where each is cut."
    return for_the_designer(capital(says), sheet, ("keep_earths_apart",))


def _path(section: Section) -> str:
    """What of this cable is metal and could be joined to the house's earth."""
    kind = seen(section.cable.kind)
    if kind.startswith("armoured"):
        return "the armour and the earth core" if section.cable.cpc in ("core", "core and armour") else "the armour"
    return "the earth conductor"
