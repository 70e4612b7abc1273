"""BS 7671 311 and 722.311: can the supplier's cut-out carry the house and the car, and may a limit be counted."""

from __future__ import annotations

from dataclasses import replace

from ampwright.facts import rows
from ampwright.job.paths import unseen
from ampwright.job.record import HalfHourly, Job
from ampwright.physics.demand import half_hour_mean_a
from ampwright.reading import BEST, WORST, End
from ampwright.rules.gb.parts.demand import (
    CUTOUT,
    DEMAND,
    LineDemand,
    as_known,
    ask_for_the_limit,
    heaviest_house_a,
    largest_load_a,
    limit_counted_a,
    limit_open,
    line_demands,
    missing,
    where,
    with_car,
    within,
    worst_of,
)
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
from ampwright.working import Verdict, Working

Demands = tuple[LineDemand, ...]
SEALS = ("supplier_seals",)
READINGS = "installation.half_hourly"
_LIMIT = "charge_point.load_limit"
# Our own bar for a year of readings to stand for a year: no standard sets one.
_YEAR_DAYS = 350
_MONTHS = frozenset(range(1, 13))
_GAPS_RATIO = 0.02
_HALF_HOURS_COUNT = 48


@regulation(asks="Can the supplier's cut-out carry the house and the car?", needs=(*DEMAND, *CUTOUT))
def cutout_carries_demand(job: Job) -> Finding:
    """Add the car in full to the house after diversity, line by line; a load limit counts if it fails safe."""
    gaps = missing(job)
    if gaps:
        return ask(*gaps)
    sheet = Working()
    worst = line_demands(job, WORST, sheet)
    return _against_cutout(job, worst, line_demands(job, BEST, Working()), "House and car need", sheet)


@regulation(asks="Can the cut-out carry the car on top of what the house drew in the past year?")
def cutout_carries_recorded_demand(job: Job) -> Finding:
    """Mean current in the highest half hour, the largest known load whole for its peak, and the car."""
    half_hourly = job.installation.half_hourly
    if half_hourly.csv is None and half_hourly.highest_kwh is None:
        return does_not_apply("There are no half-hourly readings of this house.")
    gaps = (*unseen(job, (*DEMAND, *CUTOUT, "storage.fitted", *_of_the_year(half_hourly))), *missing(job))
    if gaps:
        return ask(*gaps)
    short = _not_a_year(half_hourly)
    if short:
        return ask(f"{READINGS}.csv", says=short)
    sheet = Working()
    worst, best = _recorded(job, WORST, sheet), _recorded(job, BEST, Working())
    if job.supply.phases == 3:
        cutout_a = seen(job.supply.cutout.rating_a).low
        return for_the_designer(
            f"The meter read the whole house and not each line: all on one line it would be {worst.house_a:.1f} A,"
            f" with the car {worst.held_a:.1f} A; the cut-out carries {cutout_a:g} A.", sheet, SEALS)  # fmt: skip
    finding = _against_cutout(job, (worst,), (best,), "By last year's readings house and car need", sheet)
    if job.storage.fitted and finding.verdict is Verdict.MET:
        says = f"{finding.says} But a battery may have hidden the highest demand from the meter."
        return replace(finding, verdict=Verdict.FOR_THE_DESIGNER, says=says)
    return finding


@regulation(asks="May the load limit be counted in the maximum demand?", needs=(f"{_LIMIT}.fitted",))
def load_limit_counts(job: Job) -> Finding:
    """It may if it is set no higher than the cut-out, falls to the limit or below on any fault, and is sealed."""
    limit = job.charge_point.load_limit
    if not limit.fitted:
        return does_not_apply("No load limit is fitted; the car counts in full.")
    sheet = Working()
    sheet.remark("BS 7671 lets a reduction of the car's current be counted, but sets no level of integrity for it.")
    if limit.fails_safe is False:
        return settled(False, "The load limit does not count: it does not fall back when a part of it fails.", sheet)
    if limit.locked_from_customer is False:
        return settled(False, "The load limit does not count: the customer can change its setting.", sheet)
    gaps = unseen(job, (f"{_LIMIT}.limit_a", f"{_LIMIT}.fails_safe", f"{_LIMIT}.locked_from_customer", *CUTOUT))
    if gaps:
        return ask(*gaps)
    rating = seen(job.supply.cutout.rating_a)
    limit_a = sheet.given("Ilim", seen(limit.limit_a), "the load limit's setting")
    sheet.given("Icut", rating.low, rating.basis)
    finding = weigh(
        best=within(limit_a, rating.high),
        worst=within(limit_a, rating.low),
        says=f"The load limit is set to {limit_a:g} A, fails safe and is sealed; the cut-out carries {rating.low:g} A.",
        sheet=sheet,
    )
    return as_known(job, finding, smaller_hurts=True)


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
        return f"The house alone needs {worst.house_a:.1f} A{on} and {carries}; limiting the car cannot mend that."
    needs = f"{opening} {worst.plain_a:.1f} A{on}, the house alone {worst.house_a:.1f} A"
    limit_a = limit_counted_a(job)
    if limit_a is not None:
        return f"{needs}; the load limit of {limit_a:g} A holds them to {worst.held_a:.1f} A and {carries}."
    if job.charge_point.load_limit.fitted and not limit_open(job):
        return f"{needs}; the load limit does not count and {carries}."
    return f"{needs}; {carries}."


def _of_the_year(half_hourly: HalfHourly) -> tuple[str, ...]:
    return tuple(f"{READINGS}.{name}" for name in ("highest_kwh", "days_count", "missing_count", "months"))


def _not_a_year(half_hourly: HalfHourly) -> str:
    """Why the readings do not stand for a year; nothing if they do."""
    days_count, missing_count = seen(half_hourly.days_count), seen(half_hourly.missing_count)
    if days_count < _YEAR_DAYS:
        return f"The readings cover {days_count:g} days; they must cover at least {_YEAR_DAYS}."
    absent = sorted(_MONTHS - set(half_hourly.months))
    if absent:
        return f"The readings have nothing from {len(absent)} of the 12 months; the highest may lie there."
    allowed_count = _GAPS_RATIO * days_count * _HALF_HOURS_COUNT
    if missing_count > allowed_count:
        return f"{missing_count:g} half hours are missing; no more than {allowed_count:.0f} may be."
    return ""


def _recorded(job: Job, end: End, sheet: Working) -> LineDemand:
    half_hourly = job.installation.half_hourly
    sheet.heading("The largest known load")
    largest_a = largest_load_a(job, end, sheet)
    sheet.heading("The highest half hour")
    sheet.remark("Read as if the whole house were on one line, at unity power factor.")
    kwh = sheet.given("Ehh", seen(half_hourly.highest_kwh), f"half-hourly readings, {half_hourly.highest_at or ''}")
    u0_v = sheet.given("U0", job.supply.declared_v, "declared by the supplier")
    mean_a = half_hour_mean_a(energy_kwh=kwh, voltage_v=u0_v)
    sheet.given("thh", 0.5, "half an hour")
    sheet.step("Ihh = 1000 * Ehh / thh / U0", mean_a)
    sheet.remark(
        "The current inside the half hour has been higher than its mean. The largest known load is added whole:"
        " that is our allowance, not a bound. Loads added since the readings are not in them."
    )
    tag, line = ("", "L1") if job.supply.phases != 3 else (f"_{_car_line(job)[1]}", _car_line(job))
    house_a = sheet.step(f"Ihouse{tag} = Ihh + Ibig", mean_a + largest_a)
    return with_car(job, line, house_a, sheet)


def _car_line(job: Job) -> str:
    """A line that the car is on: the worst case has the whole house there too."""
    charge_point = job.charge_point
    return "L1" if charge_point.phases == 3 or charge_point.line == "all" else charge_point.line
