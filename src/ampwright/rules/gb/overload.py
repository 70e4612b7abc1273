"""BS 7671 section 433: the device carries the charging current, and every stretch of cable carries the device."""

from __future__ import annotations

from dataclasses import replace

from ampwright.facts import NoRow
from ampwright.job.record import Job
from ampwright.reading import BEST, WORST
from ampwright.rules.gb.parts.carrying import WHERE_LAID, carrying_gaps, carrying_open, weakest_section
from ampwright.rules.gb.parts.loop import down
from ampwright.rules.gb.parts.route import design_current_a
from ampwright.rules.regulation import Finding, ask, for_the_designer, regulation, seen, settled, weigh
from ampwright.working import Verdict, Working

# Sums of printed decimals: 35.999999999999996 A is 36 A on paper.
PAPER_A = 1e-9


@regulation(
    asks="Does the protective device carry the charging current?",
    needs=("charge_point.rated_a", "circuit.device.rating_a"),
)
def device_carries_design_current(job: Job) -> Finding:
    """Ib, the charge point's setting, may not be above In, the device's rating."""
    sheet = Working()
    ib_a = sheet.given("Ib", design_current_a(job), "the charge point's setting")
    in_a = sheet.given("In", seen(job.circuit.device.rating_a), "marked on the device")
    sheet.remark("A car draws this for hours: where devices stand side by side, follow their maker.")
    return settled(ib_a <= in_a, f"The car draws up to {ib_a:g} A; the device is rated {in_a:g} A.", sheet)


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
    best = in_a <= best_a + PAPER_A
    try:
        worst_a, name = weakest_section(job, WORST, sheet)
    except NoRow as ends:
        if not best:
            return settled(False, _says(best_a, best_name, in_a), best_sheet)
        return ask(*carrying_open(job), says=f"At the far end of what the survey allows the tables stop ({ends}).")
    says = _says(worst_a, name, in_a)
    finding = weigh(best=best, worst=in_a <= worst_a + PAPER_A, says=says, sheet=sheet)
    if finding.verdict is not Verdict.NOT_YET_KNOWN:
        return finding
    unsettled = carrying_open(job)
    if not unsettled:
        return for_the_designer(f"{says} The table for its depth may allow it: see the book.", sheet)
    return replace(finding, needs=unsettled)


def _says(carries_a: float, name: str, in_a: float) -> str:
    return f"The weakest stretch ({name}) carries {down(carries_a, 1)} A; the device is rated {in_a:g} A."
