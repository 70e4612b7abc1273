"""The network operators' common process: connect the charge point and tell them, or ask before fitting it."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from ampwright.facts import constant, look_up
from ampwright.job.choices import RatingKnownBy
from ampwright.job.paths import loose, unseen
from ampwright.job.record import Job
from ampwright.reading import BEST, WORST, End
from ampwright.rules.gb.parts.demand import (
    CUTOUT,
    DEMAND,
    LOADS,
    SURE,
    LineDemand,
    heaviest_house_a,
    limit_counted_a,
    limit_open,
    line_demands,
    missing,
    where,
    within,
    worst_of,
)
from ampwright.rules.gb.parts.recorded import larger_demands, recorded, year_stands
from ampwright.rules.regulation import Finding, for_the_designer, regulation, settled
from ampwright.working import Verdict, Working, up, written_day

ANSWERS = (
    *CUTOUT, "supply.cutout.sound", "supply.looped", "supply.metered", "supply.upgrade_known_needed",
    "charge_point.meets_standards", "charge_point.sends_power_back",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Service:
    """The operator's questions, answered: None is "not looked at" and is never itself a reason but for the rating."""

    cutout_a: float | None
    known_by: RatingKnownBy | None
    looped: bool | None
    sound: bool | None
    metered: bool | None
    upgrade_known_needed: bool | None
    meets_standards: bool | None
    sends_power_back: bool | None


def reasons_to_apply(service: Service, *, demand_a: float | None, threshold_a: float) -> tuple[str, ...]:
    """Every reason to ask the network operator before fitting; with none the job may be done and then notified.

    `demand_a` is the new maximum demand of the worst line with a load cap counted where it may be, None where it
    is not known. Source: the network operators' common process, in the facts `gb/network_notice`.
    """
    cutout_a = service.cutout_a
    unsure = service.known_by is not None and service.known_by not in SURE
    over_fuse = demand_a is not None and cutout_a is not None and not within(demand_a, cutout_a)
    tests = (
        (cutout_a is None, "the cut-out's rating is not known"),
        (cutout_a is not None and unsure, f"the cut-out's rating is not sure ({service.known_by})"),
        (service.looped is True, "the supply is looped"),
        (service.sound is False, "the cut-out is not sound"),
        (service.metered is False, "the supply is not metered"),
        (service.upgrade_known_needed is True, "the supply is known to need an upgrade"),
        (over_fuse, f"the demand of {up(demand_a or 0, 1)} A is above the cut-out's {cutout_a or 0:g} A"),
        (demand_a is not None and not within(demand_a, threshold_a),
         f"the demand of {up(demand_a or 0, 1)} A is above {threshold_a:g} A"),
        (service.meets_standards is False, "the charge point does not meet the standards asked for"),
        (service.sends_power_back is True,
         "the car can send power back, so the process for generation applies as well"),
    )  # fmt: skip
    return tuple(reason for applies, reason in tests if applies)


@regulation(asks="May the charge point be connected first and the operator told within 28 days?")
def network_notice(job: Job) -> Finding:
    """Any one reason calls for asking first, even while others are open; without one, every answer is wanted."""
    sheet = Working()
    sheet.heading("What the operator asks")
    threshold_a = sheet.fact("Ithr", constant("gb/network_notice", "threshold_a"))
    gaps = (*unseen(job, (*ANSWERS, *DEMAND)), *missing(job))
    counted = not unseen(job, DEMAND) and not missing(job)
    worst = worst_of(larger_demands(job, WORST, sheet)) if counted else None
    feared = reasons_to_apply(_service(job, WORST), demand_a=worst.held_a if worst else None, threshold_a=threshold_a)
    rating = job.supply.cutout.rating_a
    if rating is not None:
        sheet.given("Icut", rating.low, rating.basis)
    demand = _demand(job, worst, sheet)
    if _sure_reasons(job, threshold_a, counted):
        cautions = ("supplier_seals",) if job.supply.cutout.sound is False else ()
        says = f"Apply to the network operator before fitting, because: {'; '.join(feared)}{demand}."
        return for_the_designer(says, sheet, cautions)
    if worst is not None and not _fits(job, worst, threshold_a):
        gaps = (*gaps, *limit_open(job))
    if gaps:
        says = f"These answers are still wanted before the operator's process can be chosen{demand}."
        return Finding(Verdict.NOT_YET_KNOWN, says, gaps, sheet.steps)
    if feared:
        says = f"At the worst that the survey allows, apply before fitting, because: {'; '.join(feared)}{demand}."
        needs = loose(job, ("supply.cutout.rating_a", *LOADS))
        return Finding(Verdict.NOT_YET_KNOWN, says, needs, sheet.steps)
    return settled(True, f"Connect, then notify {_deadline(job)}{demand}.", sheet)


def _service(job: Job, end: End) -> Service:
    supply, charge_point = job.supply, job.charge_point
    rating = supply.cutout.rating_a
    return Service(
        cutout_a=None if rating is None else end.less_hurts(rating),
        known_by=supply.cutout.rating_known_by,
        looped=supply.looped,
        sound=supply.cutout.sound,
        metered=supply.metered,
        upgrade_known_needed=supply.upgrade_known_needed,
        meets_standards=charge_point.meets_standards,
        sends_power_back=charge_point.sends_power_back,
    )


def _sure_reasons(job: Job, threshold_a: float, counted: bool) -> tuple[str, ...]:
    """The reasons that no further look can take away: not a rating unseen, nor a demand that a limit may yet hold."""
    demand_a = None
    if counted:
        best = larger_demands(job, BEST, Working())
        demand_a = heaviest_house_a(best) if limit_open(job) else worst_of(best).held_a
    reasons = reasons_to_apply(_service(job, BEST), demand_a=demand_a, threshold_a=threshold_a)
    return reasons[1:] if job.supply.cutout.rating_a is None else reasons


def demand_basis(job: Job) -> str:
    """Which of the two the demand is, the larger, where both are known."""
    if job.supply.phases != 1 or not year_stands(job):
        return ""
    by_diversity_a = worst_of(line_demands(job, WORST, Working())).house_a
    return " by the year of readings" if recorded(job, WORST, Working()).house_a > by_diversity_a else " by diversity"


def _fits(job: Job, worst: LineDemand, threshold_a: float) -> bool:
    rating = job.supply.cutout.rating_a
    return within(worst.held_a, threshold_a) and (rating is None or within(worst.held_a, rating.low))


def _demand(job: Job, worst: LineDemand | None, sheet: Working) -> str:
    """The demand with and without the limiter, in words."""
    if worst is None:
        return ""
    if job.supply.phases == 3:
        sheet.remark("The threshold is taken for each line; ask the operator how it counts a supply of three phases.")
    on = where(job, worst.line)
    without = f"maximum demand{on} {up(worst.plain_a, 1)} A{demand_basis(job)} without a load cap"
    if limit_counted_a(job) is not None:
        return f" ({without}, {up(worst.held_a, 1)} A with it)"
    return f" ({without})" if limit_open(job) else f" ({without}, and none counts)"


def _deadline(job: Job) -> str:
    days = look_up("gb/clocks", "span", clock="network_notice").value
    day = job.dates.installed or job.tests.date or job.date
    if day is None:
        return f"within {days:g} days"
    last = day + datetime.timedelta(days=days)
    return f"within {days:g} days: if connected on {written_day(day)}, by {written_day(last)}"
