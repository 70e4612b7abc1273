"""BS 7671 311 and 722.311: can the supplier's cut-out carry the house and the car, and may a limit be counted."""

from __future__ import annotations

from dataclasses import replace

from ampwright.facts import rows
from ampwright.job.paths import unseen
from ampwright.job.record import Job
from ampwright.reading import BEST, WORST
from ampwright.rules.gb.parts.demand import (
    CUTOUT,
    DEMAND,
    LineDemand,
    as_known,
    ask_for_the_limit,
    heaviest_house_a,
    limit_counted_a,
    limit_open,
    line_demands,
    missing,
    unwatched,
    watch_open,
    where,
    within,
    worst_of,
)
from ampwright.rules.gb.parts.recorded import OF_THE_YEAR, READINGS, not_a_year, recorded
from ampwright.rules.regulation import (
    Finding,
    ask,
    does_not_apply,
    for_the_designer,
    regulation,
    seen,
    settled,
    weigh,
)
from ampwright.working import Verdict, Working, up

Demands = tuple[LineDemand, ...]
SEALS = ("supplier_seals",)
_LIMIT = "charge_point.load_cap"


@regulation(asks="Can the supplier's cut-out carry the house and the car?")
def cutout_carries_demand(job: Job) -> Finding:
    """Add the car in full to the house after diversity, line by line; a load cap counts if it fails safe."""
    if job.supply.cutout.sound is False:
        return settled(False, "The cut-out is not sound: stop and report it to the operator.", Working(), SEALS)
    gaps = (*unseen(job, (*DEMAND, *CUTOUT)), *missing(job))
    if gaps:
        return ask(*gaps)
    sheet = Working()
    worst = line_demands(job, WORST, sheet)
    return _against_cutout(job, worst, line_demands(job, BEST, Working()), "House and car need", sheet)


@regulation(asks="Can the cut-out carry the car on top of what the house drew in a year of readings?")
def cutout_carries_recorded_demand(job: Job) -> Finding:
    """Mean current in the highest half hour, the largest known load whole for its peak, and the car."""
    half_hourly = job.installation.half_hourly
    if half_hourly.csv is None and half_hourly.highest_kwh is None:
        return does_not_apply("There are no half-hourly readings of this house.")
    gaps = (*unseen(job, (*DEMAND, *CUTOUT, *OF_THE_YEAR)), *missing(job))
    if gaps:
        return ask(*gaps)
    short = not_a_year(job)
    if short:
        return ask(f"{READINGS}.csv", says=short)
    sheet = Working()
    worst, best = recorded(job, WORST, sheet), recorded(job, BEST, Working())
    if job.supply.phases == 3:
        cutout_a = seen(job.supply.cutout.rating_a).low
        return for_the_designer(
            f"The meter read the whole house and not each line: all on one line it would be {up(worst.house_a, 1)} A,"
            f" with the car {up(worst.held_a, 1)} A; the cut-out carries {cutout_a:g} A.", sheet, SEALS)  # fmt: skip
    finding = _against_cutout(job, (worst,), (best,), "By the year of readings house and car need", sheet)
    if finding.verdict is not Verdict.MET or not (job.storage.fitted or job.generation.fitted):
        return finding
    hides = "a battery" if job.storage.fitted else "solar"
    says = f"{finding.says} But {hides} may have hidden the highest demand from the meter."
    return replace(finding, says=says, verdict=Verdict.FOR_THE_DESIGNER if job.storage.fitted else Verdict.MET)


@regulation(asks="May the load cap be counted in the maximum demand?", needs=(f"{_LIMIT}.fitted",))
def load_cap_counts(job: Job) -> Finding:
    """It may if it is set no higher than the cut-out, falls to the limit or below on any fault, and is sealed."""
    limit = job.charge_point.load_cap
    if not limit.fitted:
        return does_not_apply("No load cap is fitted; the car counts in full.")
    sheet = Working()
    sheet.remark("BS 7671 lets a reduction of the car's current be counted, but sets no level of integrity for it.")
    if limit.fails_safe is False:
        return settled(False, "The load cap does not count: it does not fall back when a part of it fails.", sheet)
    if limit.locked_from_customer is False:
        return settled(False, "The load cap does not count: the customer can change its setting.", sheet)
    blind = unwatched(job)
    if blind:
        says = f"The load cap does not count: no sensor watches the supply on {' and '.join(blind)}."
        return settled(False, says, sheet)
    wanted = (f"{_LIMIT}.limit_a", f"{_LIMIT}.fails_safe", f"{_LIMIT}.locked_from_customer", *CUTOUT)
    gaps = (*watch_open(job), *unseen(job, wanted))
    if gaps:
        return ask(*gaps)
    rating = seen(job.supply.cutout.rating_a)
    limit_a = sheet.given("Ilim", seen(limit.limit_a), "the load cap's setting")
    sheet.given("Icut", rating.low, rating.basis)
    finding = weigh(
        best=within(limit_a, rating.high),
        worst=within(limit_a, rating.low),
        says=_cap_says(job, limit_a, rating.low),
        sheet=sheet,
    )
    return as_known(job, finding, smaller_hurts=True)


def _cap_says(job: Job, limit_a: float, cutout_a: float) -> str:
    if not within(limit_a, cutout_a):
        return f"Set to {limit_a:g} A, above the {cutout_a:g} A cut-out."
    says = f"Set to {limit_a:g} A, fails safe and is sealed; the cut-out carries {cutout_a:g} A."
    if unseen(job, DEMAND) or missing(job):
        return says
    house_a = heaviest_house_a(line_demands(job, WORST, Working()))
    if within(house_a, limit_a):
        return says
    return f"{says} The house alone needs {up(house_a, 1)} A; the {limit_a:g} A cap only stops the car."


def _against_cutout(job: Job, worsts: Demands, bests: Demands, opening: str, sheet: Working) -> Finding:
    """Compare the worst line with the cut-out at its smallest, and ask for the limit where only that is open."""
    worst, best = worst_of(worsts), worst_of(bests)
    rating = seen(job.supply.cutout.rating_a)
    sheet.heading("The cut-out")
    sheet.given("Icut", rating.low, rating.basis)
    for row in rows("gb/cutout_ratings"):
        if row["note"] and float(row["rating_a"]) == rating.low:
            sheet.remark(f"Known of {rating.low:g} A: {row['note'].partition(' (')[0]}.")
    finding = weigh(
        best=within(best.held_a, rating.high),
        worst=within(worst.held_a, rating.low),
        says=_says(job, worst, rating.low, opening),
        sheet=sheet,
        cautions=SEALS,
    )
    finding = as_known(job, finding, smaller_hurts=True)
    mendable = within(heaviest_house_a(bests), rating.high) and finding.verdict is not Verdict.MET
    if mendable and limit_open(job) and not within(worst.held_a, rating.low):
        return ask_for_the_limit(job, finding)
    return finding


def _says(job: Job, worst: LineDemand, cutout_a: float, opening: str) -> str:
    on = where(job, worst.line)
    carries = f"the cut-out carries {cutout_a:g} A"
    if not within(worst.house_a, cutout_a):
        return f"The house alone needs {up(worst.house_a, 1)} A{on} and {carries}; limiting the car cannot mend that."
    needs = f"{opening} {up(worst.plain_a, 1)} A{on}, the house alone {up(worst.house_a, 1)} A"
    limit_a = limit_counted_a(job)
    if limit_a is not None:
        return f"{needs}; the load cap of {limit_a:g} A holds them to {up(worst.held_a, 1)} A and {carries}."
    if job.charge_point.load_cap.fitted and not limit_open(job):
        return f"{needs}; the load cap does not count and {carries}."
    return f"{needs}; {carries}."
