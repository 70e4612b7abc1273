"""BS 7671 433, 536 and 551: what the tails, the main switch and the busbar carry, with every source counted."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from ampwright.facts import NoRow
from ampwright.job.record import Job
from ampwright.reading import BEST, WORST, End
from ampwright.rules.gb.parts.demand import (
    CUTOUT,
    DEMAND,
    LineDemand,
    as_known,
    ask_for_the_limit,
    limit_counted_a,
    limit_open,
    line_demands,
    lines,
    missing,
    where,
    within,
    worst_of,
)
from ampwright.rules.gb.parts.sources import INVERTERS, SOURCES, inverter_gaps, other_sources_a, tails_carry_a
from ampwright.rules.regulation import Finding, ask, for_the_designer, regulation, seen, weigh
from ampwright.working import Verdict, Working, up

SEALS = ("supplier_seals",)
SUPPLY = (*DEMAND, *CUTOUT)
TAILS = ("supply.cutout.kind", "supply.tails.size_mm2", "supply.tails.method")
Carrier = Callable[[End, Working], float]


@regulation(asks="Do the meter tails carry the house and the car, and does the cut-out protect them?",
            needs=(*SUPPLY, *TAILS))  # fmt: skip
def tails_carry_demand(job: Job) -> Finding:
    """The larger of the demand and the cut-out's rating must not exceed what the tails carry."""
    size, method = seen(job.supply.tails.size_mm2), job.supply.tails.method
    sheet = Working()
    try:
        return _judge(job, "the tails carry", partial(tails_carry_a, job), ("supply.tails.size_mm2",), sheet)
    except NoRow:
        says = f"The table gives no value for tails of {size.low:g} mm² by method {method}, see the book."
        return for_the_designer(says, sheet, SEALS)


@regulation(asks="Does the main switch carry the house and the car, and does the cut-out protect it?",
            needs=(*SUPPLY, "installation.main_switch_a"))  # fmt: skip
def main_switch_carries_demand(job: Job) -> Finding:
    """The larger of the demand and the cut-out's rating must not exceed the switch: it has no overload release."""
    rating = seen(job.installation.main_switch_a)

    def switch_a(end: End, sheet: Working) -> float:
        return sheet.given("Iswitch", end.less_hurts(rating), rating.basis)

    return _judge(job, "the main switch carries", switch_a, ("installation.main_switch_a",), Working())


@regulation(asks="Does the board's busbar carry the supply and every other source together?",
            needs=(*SUPPLY, *SOURCES, "installation.busbar_a"))  # fmt: skip
def busbar_carries_demand(job: Job) -> Finding:
    """The cut-out's rating and what generation, storage and a car that feeds back can add, on the worst line.

    Where only the demand and the sources fit, and not the cut-out's rating with them, a designer decides.
    """
    gaps = (*missing(job), *inverter_gaps(job))
    if gaps:
        return ask(*gaps)
    sheet = Working()
    worst_a, by_demand_a, line, bar_a = _busbar(job, WORST, sheet)
    best_a, _, _, best_bar_a = _busbar(job, BEST, Working())
    says = (f"The cut-out and the other sources can bring {up(worst_a, 1)} A{where(job, line)} into the busbar;"
            f" it carries {bar_a:g} A.")  # fmt: skip
    finding = weigh(best=within(best_a, best_bar_a), worst=within(worst_a, bar_a), says=says, sheet=sheet)
    finding = as_known(job, finding, smaller_hurts=False, also=(*INVERTERS, "installation.busbar_a"))
    if finding.verdict is not Verdict.NOT_MET or not within(by_demand_a, bar_a):
        return finding
    held = "the demand that the load cap leaves" if limit_counted_a(job) is not None else "the demand"
    says = f"{says} Counted by {held} it is {up(by_demand_a, 1)} A, but that is no overload protection."
    return for_the_designer(says, sheet)


def _judge(job: Job, carries: str, carrier: Carrier, also: tuple[str, ...], sheet: Working) -> Finding:
    """Compare what may flow from the supply with what a part carries."""
    gaps = missing(job)
    if gaps:
        return ask(*gaps)
    worst, worst_a = _flows_a(job, WORST, sheet)
    best, best_a = _flows_a(job, BEST, Working())
    carried_a, best_carried_a = carrier(WORST, sheet), carrier(BEST, Working())
    cutout_a = seen(job.supply.cutout.rating_a).high
    finding = weigh(
        best=within(best_a, best_carried_a),
        worst=within(worst_a, carried_a),
        says=_says(job, worst, worst_a, cutout_a, f"{carries} {carried_a:g} A"),
        sheet=sheet,
        cautions=SEALS,
    )
    finding = as_known(job, finding, smaller_hurts=False, also=also)
    without_car_a = max(best.house_a, seen(job.supply.cutout.rating_a).low)
    if limit_open(job) and finding.verdict is Verdict.NOT_MET and within(without_car_a, best_carried_a):
        return ask_for_the_limit(job, finding)
    return finding


def _says(job: Job, worst: LineDemand, worst_a: float, cutout_a: float, carries: str) -> str:
    on = where(job, worst.line)
    if within(worst.held_a, cutout_a):
        need = f"house and car need {up(worst.held_a, 1)} A{on}"
        return f"The cut-out lets {worst_a:g} A flow and governs ({need}); {carries}."
    return f"House and car need {up(worst_a, 1)} A{on} and govern (the cut-out is {cutout_a:g} A); {carries}."


def _flows_a(job: Job, end: End, sheet: Working) -> tuple[LineDemand, float]:
    """The larger of the worst line's demand and the cut-out's rating, A."""
    worst = worst_of(line_demands(job, end, sheet))
    sheet.heading("What may flow from the supply")
    cutout_a = _cutout_a(job, end, sheet)
    symbol = "Inew" if limit_counted_a(job) is None else "Iheld"
    tag = f"_{worst.line[1]}" if job.supply.phases == 3 else ""
    return worst, sheet.step(f"Imax = max({symbol}{tag}, Icut)", max(worst.held_a, cutout_a))


def _busbar(job: Job, end: End, sheet: Working) -> tuple[float, float, str, float]:
    """All sources with the cut-out's rating, A; with the demand instead, A; the worst line; the bar's rating, A."""
    demands = {each.line: each for each in line_demands(job, end, sheet)}
    cutout_a = _cutout_a(job, end, sheet)
    totals = []
    for line in lines(job):
        sheet.heading(f"Into the busbar{where(job, line)}")
        others_a = other_sources_a(job, line, end, sheet)
        total_a = sheet.step("Ibar = Icut + Igen + Isto + Iback", cutout_a + others_a)
        symbol = "Inew" if limit_counted_a(job) is None else "Iheld"
        tag = f"_{line[1]}" if job.supply.phases == 3 else ""
        by_demand_a = demands[line].held_a + others_a
        sheet.step(f"Iother = {symbol}{tag} + Igen + Isto + Iback", by_demand_a)
        totals.append((total_a, by_demand_a, line))
    bar = seen(job.installation.busbar_a)
    sheet.heading("The busbar")
    bar_a = sheet.given("Ibusbar", end.less_hurts(bar), bar.basis)
    total_a, _, line = max(totals, key=lambda each: each[0])
    return total_a, max(each[1] for each in totals), line, bar_a


def _cutout_a(job: Job, end: End, sheet: Working) -> float:
    rating = seen(job.supply.cutout.rating_a)
    return sheet.given("Icut", end.more_hurts(rating), rating.basis)
