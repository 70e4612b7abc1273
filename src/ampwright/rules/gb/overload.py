"""BS 7671 sections 433, 521 and 524: the device carries the car, the cable the device, on conductors that are there."""

from __future__ import annotations

from dataclasses import replace

from ampwright.facts import NoRow
from ampwright.job.paths import unseen
from ampwright.job.record import Cable, Job
from ampwright.reading import BEST, WORST
from ampwright.rules.gb.parts.carrying import WHERE_LAID, carrying_gaps, carrying_open, weakest_section
from ampwright.rules.gb.parts.demand import within
from ampwright.rules.gb.parts.loop import ask_for, down
from ampwright.rules.gb.parts.route import design_current_a, design_current_basis
from ampwright.rules.regulation import Finding, ask, for_the_designer, regulation, seen, settled, weigh
from ampwright.working import Verdict, Working

ARMOURED = ("armoured_70c", "armoured_90c")
COUNTED = (*ARMOURED, "multicore_70c")
AS_CORE = ("core", "core and armour")


@regulation(
    asks="Does the protective device carry the charging current?",
    needs=("charge_point.rated_a", "circuit.device.rating_a"),
)
def device_carries_design_current(job: Job) -> Finding:
    """Ib, the charge point's setting, may not be above In, the device's rating."""
    sheet = Working()
    ib_a = sheet.given("Ib", design_current_a(job), design_current_basis(job))
    in_a = sheet.given("In", seen(job.circuit.device.rating_a), "marked on the device")
    sheet.remark("A car draws this for hours: where devices stand side by side, follow their maker.")
    return settled(ib_a <= in_a, f"The car draws up to {ib_a:g} A; the device is rated {in_a:g} A.", sheet)


@regulation(
    asks="Has the cable a conductor for every line, the neutral and the earth?",
    needs=("charge_point.phases", "supply.phases", "route[].cable.kind"),
)
def conductors_enough(job: Job) -> Finding:
    """A core each for the lines, the neutral (always counted) and the earth, unless armour or a bare cpc is the earth.

    Single cores are as many as are drawn in, so that they do not limit. A core too few fails whatever is unknown.
    """
    sheet = Working()
    supply_count = sheet.given("nsup", seen(job.supply.phases))
    lines_count = sheet.given("nline", seen(job.charge_point.phases))
    if lines_count > supply_count:
        lines = f"The charge point is for {lines_count:g} lines"
        return settled(False, f"{lines}; the supply has {supply_count:g}.", sheet)
    sheet.step("nlive = nline + 1", lines_count + 1)
    counted = [each for number in range(len(job.route)) if (each := _cores(job, number, sheet)) is not None]
    spare_count, says = min(counted, default=(0, "Single cores are drawn in, as many as are wanted."))
    gaps = tuple(gap for number, section in enumerate(job.route) for gap in _core_gaps(job, number, section.cable))
    if gaps and spare_count >= 0:
        return ask_for(gaps)
    return settled(spare_count >= 0, says, sheet)


def _core_gaps(job: Job, number: int, cable: Cable) -> tuple[str, ...]:
    """What must be found out of a cable whose cores count; armour only where there is some."""
    if cable.kind not in COUNTED:
        return ()
    here = f"route[{number}].cable"
    bare = cable.cpc is not None and cable.cpc != "core" and cable.kind not in ARMOURED
    return (*unseen(job, (f"{here}.cores_count", f"{here}.cpc")), *((f"{here}.cpc",) if bare else ()))


def _cores(job: Job, number: int, sheet: Working) -> tuple[int, str] | None:
    """Cores to spare and the sentence on one section; None of single cores or where nobody counted.

    A protective conductor that nobody looked at takes no core: what fails then fails in any case.
    """
    section = job.route[number]
    cable, flat = section.cable, section.cable.kind == "flat_twin_and_earth"
    cores_count = 2 if flat else cable.cores_count
    if cores_count is None or not (flat or cable.kind in COUNTED):
        return None
    sheet.heading(f"Section {number + 1}, {section.name}")
    earth_count = 1 if cable.cpc in AS_CORE and not flat else 0
    earth = f"the earth is the {cable.cpc}" if cable.cpc else "nobody looked what the earth is"
    sheet.given("ncpc", earth_count, "its bare cpc is no core" if flat else earth)
    wanted_count = 1 + seen(job.charge_point.phases) + earth_count
    sheet.step(f"nwant_{number + 1} = nlive + ncpc", wanted_count)
    sheet.given(f"nhas_{number + 1}", cores_count, "flat twin and earth" if flat else "counted")
    lines = "a line" if job.charge_point.phases == 1 else f"{job.charge_point.phases} lines"
    wants = f"{lines}, the neutral and the earth" if earth_count else f"{lines} and the neutral"
    besides = " and its bare cpc" if flat else ""
    return cores_count - wanted_count, (f"The cable of one stretch ({section.name}) has {cores_count} cores{besides}; "
                                        f"{wanted_count} are wanted, for {wants}.")  # fmt: skip


@regulation(
    asks="Can every stretch of cable carry what the device lets through?",
    needs=("circuit.device.kind", "circuit.device.rating_a", *WHERE_LAID),
)
def cable_carries_device_rating(job: Job) -> Finding:
    """In may not be above Iz of the weakest section, each with the factors for where it lies."""
    gaps = carrying_gaps(job)
    if gaps:
        return ask(*gaps)
    sheet, best_sheet = Working(), Working()
    in_a = sheet.given("In", seen(job.circuit.device.rating_a), "marked on the device")
    best_sheet.given("In", in_a, "marked on the device")
    best_a, best_name = weakest_section(job, BEST, best_sheet)
    best = within(in_a, best_a)
    try:
        worst_a, name = weakest_section(job, WORST, sheet)
    except NoRow as ends:
        if not best:
            return settled(False, _says(best_a, best_name, in_a), best_sheet)
        return ask(*carrying_open(job), says=f"At the far end of what the survey allows the tables stop ({ends}).")
    says = _says(worst_a, name, in_a)
    finding = weigh(best=best, worst=within(in_a, worst_a), says=says, sheet=sheet)
    if finding.verdict is not Verdict.NOT_YET_KNOWN:
        return finding
    unsettled = carrying_open(job)
    if not unsettled:
        return for_the_designer(f"{says} The table for its depth may allow it: see the book.", sheet)
    return replace(finding, needs=unsettled)


def _says(carries_a: float, name: str, in_a: float) -> str:
    return f"The weakest stretch ({name}) carries {down(carries_a, 1)} A; the device is rated {in_a:g} A."
