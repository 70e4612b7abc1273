"""The questions on the cap itself: what to set, and whether it stands."""

from __future__ import annotations

from dataclasses import replace

from ampwright.assess.load_cap.chain import CAP, chain_gaps, grid_sensors, in_words, line_loads_a, proof
from ampwright.assess.load_cap.reckoning import (
    LineCap,
    attack_gaps,
    largest_car_a,
    least_cap_a,
    longest_watchdog_s,
    prove,
    situated,
    supply_gaps,
    tightest,
    trusted_a,
    worst_line,
)
from ampwright.assess.load_cap.supply import LIMITS, limit, sustained_open, tails, weakest_fuse
from ampwright.facts import constant
from ampwright.job.paths import unseen
from ampwright.job.record import Job
from ampwright.physics.fuses import shortest_melting_s
from ampwright.physics.tails import steady_c
from ampwright.reading import BEST, WORST
from ampwright.rules.gb.parts.demand import as_known, where, within
from ampwright.rules.gb.parts.recorded import larger_demands
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
from ampwright.working import Verdict, Working, capital, down, up

SEALS = ("supplier_seals",)
OPEN_PARTS = ("supply.tails.size_mm2", "installation.main_switch_a", "installation.busbar_a",
              "generation.inverter_a", "storage.inverter_a")  # fmt: skip
SUSTAINED = "supply.cutout.sustained_a"


@regulation(asks="Can this load cap count: is it fitted, out of the customer's reach, its sensor round one conductor?")
def cap_can_count(job: Job) -> Finding:
    """What undoes a cap whatever its figure."""
    cap = job.charge_point.load_cap
    whole = [sensor.name for _, sensor in grid_sensors(job) if sensor.reach == "whole cable only"]
    wrong = [
        *(["the customer can change it"] if cap.locked_from_customer is False else []),
        *(f"the {name} would be round a whole cable, where it reads nothing" for name in whole),
    ]  # fmt: skip
    if wrong:
        says = "; ".join(wrong)
        return settled(False, f"{capital(says)}.", Working())
    gaps = unseen(job, (f"{CAP}.fitted", f"{CAP}.locked_from_customer"))
    if gaps:
        return ask(*gaps)
    if cap.fitted is False:
        return for_the_designer("No load cap is fitted: what follows is of one that would be.", Working())
    if job.supply.looped:
        return for_the_designer("The supply is looped: another house hangs on this cut-out's service, and the sensor "
                                "does not see it. Ask the operator.", Working())  # fmt: skip
    return settled(True, "It is fitted, and the customer cannot change it.", Working())


@regulation(asks="Does the house alone stay within what the supply may carry for hours?")
def house_alone(job: Job) -> Finding:
    """Demand after diversity, without the car, on the line with least to spare: no load cap can bring it down."""
    gaps = supply_gaps(job)
    if gaps:
        return ask(*gaps)
    sheet = Working()
    worst_a, house_a, line = _spare(job, worst=True, sheet=sheet)
    best_a, _, _ = _spare(job, worst=False, sheet=Working())
    may_a = house_a + worst_a
    finding = weigh(best=best_a >= -1e-9, worst=worst_a >= -1e-9, sheet=sheet, cautions=SEALS,
                    says=_alone_says(job, house_a, may_a, line))  # fmt: skip
    return as_sure(job, finding)


def _alone_says(job: Job, house_a: float, may_a: float, line: str) -> str:
    on = where(job, line)
    if not within(house_a, may_a):
        return (f"The house alone needs {up(house_a, 1)} A{on} and the supply may carry {down(may_a, 1)} A for hours:"
                " limiting the car cannot mend that. Ask the operator, or take load off.")  # fmt: skip
    set_a = job.charge_point.load_cap.limit_a
    stops = ("" if set_a is None or within(house_a, set_a) else
             f" That is more than the {set_a:g} A that is set: the car then gets nothing.")  # fmt: skip
    return f"The house alone needs {up(house_a, 1)} A{on}; the supply may carry {down(may_a, 1)} A for hours.{stops}"


def _spare(job: Job, *, worst: bool, sheet: Working) -> tuple[float, float, str]:
    """What the house leaves, what it needs, and the line, where least is left."""
    end = WORST if worst else BEST
    demands = larger_demands(job, end, sheet)
    spare = [(limit(job, each.line, end, sheet).true_a - each.house_a, each.house_a, each.line) for each in demands]
    return min(spare)


@regulation(asks="Which load cap keeps the true current within what the supply may carry?")
@in_words
def cap_by_its_errors(job: Job) -> Finding:
    """The largest whole ampere whose true current, by the whole chain of errors, is within every part's limit."""
    gaps = (*supply_gaps(job), *chain_gaps(job))
    if gaps:
        return ask(*gaps)
    (worst, worst_a), (best, best_a) = tightest(job, WORST), tightest(job, BEST)
    sheet = Working()
    limit(job, worst.line, WORST, sheet)
    if worst_a is None:
        says = f"No load cap can be set: {down(worst.true_a, 1)} A may flow, and the errors eat it up."
        return weigh(best=best_a is not None, worst=False, says=says, sheet=sheet)
    most_a = proof(job, worst.line, worst_a, worst.true_a, WORST, sheet)
    says = (f"{worst_a:g} A shown can be at most {up(most_a, 1)} A true{where(job, worst.line)};"
            f" {worst.set_by} allows {down(worst.true_a, 1)} A.")  # fmt: skip
    if worst_a != best_a and best_a is not None:
        says = f"{says} At its best the survey allows {best_a:g} A ({best.set_by}, {down(best.true_a, 1)} A)."
    return as_sure(job, _against_setting(job, worst_a, best_a, says, sheet))


def _against_setting(job: Job, worst_a: float, best_a: float | None, says: str, sheet: Working) -> Finding:
    set_a, least_a = job.charge_point.load_cap.limit_a, least_cap_a(job)
    above = f"no more than {worst_a:g} A{'' if least_a <= 1 else f' and no less than {least_a} A'}"
    if set_a is None:
        return settled(True, f"Set {above}: {says}", sheet)
    if set_a < least_a:
        low = f"It is set to {set_a:g} A, where the sensor's class promises nothing; set {above}. {says}"
        return settled(False, low, sheet)
    if not within(set_a, worst_a):
        says = f"It is set to {set_a:g} A; set {above}. {says}"
    at_best = best_a is not None and within(set_a, best_a)
    return weigh(best=at_best, worst=within(set_a, worst_a), says=says, sheet=sheet)


@regulation(asks="Does the cut-out's fuse hold, whatever the house does within its maximum demand?")
@in_words
def fuse_under_attack(job: Job) -> Finding:
    """The cap is lowered until the weakest conforming fuse holds against every admissible house, loss and error."""
    gaps = attack_gaps(job)
    if gaps:
        return ask(*gaps)
    line, best = worst_line(job, True), worst_line(job, False)
    sheet = Working()
    _put_fuse(job, line, sheet)
    if line.stands_a is None:
        at_best = best.stands_a is not None
        return as_sure(job, weigh(best=at_best, worst=False, says=_none_says(job, line), sheet=sheet))
    proved, allowed = seen(line.proved), constant(LIMITS, "warmed_most")
    sheet.remark(f"Proved: no admissible opponent passes {up(proved.warmed_ratio)} of the way to melting;"
                 f" {allowed.value:g} is allowed (our own choice).")  # fmt: skip
    says = (f"At {line.stands_a:g} A nothing that the house, the errors and lost readings can do brings the weakest"
            f" fuse that conforms past {up(proved.warmed_ratio)} of the way to melting.")  # fmt: skip
    if line.by_errors_a != line.stands_a:
        why = "is more than radio is trusted with" if line.stands_a == trusted_a(job) else "does not stand"
        says = f"{line.by_errors_a:g} A, right by its errors, {why}: it was lowered. {says}"
    return as_sure(job, _against_setting(job, line.stands_a, best.stands_a, says, sheet))


def _put_fuse(job: Job, line: LineCap, sheet: Working) -> None:
    weakest_fuse(job, WORST, sheet)
    if line.situation is None:
        return
    sheet.heading(f"The peak{where(job, line.limit.line)}")
    peak_a = sheet.given("Ipeak", line.situation.peak_a, "house at its maximum demand, car at its full current")
    gates = (line.fuse.gate,)
    melting_s = shortest_melting_s(current_a=peak_a, nonfusing_a=line.fuse.nonfusing_a, gates=gates)
    if melting_s == float("inf"):
        sheet.remark("House and car together never reach the current that the fuse never melts at.")
    elif melting_s > 0:
        sheet.step("tmelt = tgate * (Igate / Ipeak) ** 2", melting_s)


def _none_says(job: Job, line: LineCap) -> str:
    if job.charge_point.load_cap.fails_safe is False:
        return "No load cap stands: it does not fall back when a part of it fails, and the car then goes on charging."
    if line.by_errors_a is None:
        return "No load cap can be set: the errors eat up all that may flow."
    if not within(line.demand.house_a, line.limit.true_a):
        return "No load cap stands: the house alone is more than the supply may carry."
    if trusted_a(job) < least_cap_a(job):
        return (f"No load cap stands: radio is trusted to about {trusted_a(job):g} A, and below {least_cap_a(job)} A"
                " the sensor's class promises nothing. Run a wire, or fit a sensor of a lower rating.")  # fmt: skip
    ways = _ways_out(line, min(line.by_errors_a, trusted_a(job)))
    would = (f" {min(line.by_errors_a, trusted_a(job)):g} A would stand {' or '.join(ways)}." if ways else
             " Neither a watchdog nor a smaller car mends it: the car must let go sooner.")  # fmt: skip
    return f"No load cap stands as this is set: fuse or tails can be harmed before the car lets go.{would}"


def _ways_out(line: LineCap, cap_a: float) -> list[str]:
    """What would make this cap stand, each by itself, but a fallback of none goes before a shorter watchdog."""
    ways = []
    longest_s = longest_watchdog_s(line, cap_a)
    stopped = longest_watchdog_s(line, cap_a, fallback_a=0.0)
    if longest_s is not None:
        ways.append(f"with a watchdog of no more than {longest_s} s")
    elif stopped is not None:
        ways.append(f"with a fallback current of 0 A and a watchdog of no more than {stopped} s")
    largest_a = largest_car_a(line, cap_a)
    if largest_a is not None:
        ways.append(f"with the charge point set to no more than {largest_a} A, out of the customer's reach")
    return ways


@regulation(asks="Do the meter tails stay within what their insulation bears?")
@in_words
def tails_under_attack(job: Job) -> Finding:
    """The copper's temperature at the cap that stands, bounded over every admissible day."""
    gaps = attack_gaps(job)
    if gaps:
        return ask(*gaps)
    line = worst_line(job, True)
    sheet = Working()
    conductor = tails(job, line.limit.tails_a, WORST, sheet)
    if line.stands_a is None or line.proved is None or line.situation is None:
        return settled(False, "Without a load cap that stands this cannot be promised.", sheet)
    steady = min(line.situation.steady_a, line.situation.peak_a)
    steady_now_c = steady_c(current_a=steady, conductor=conductor)
    says = (f"At {line.stands_a:g} A the tails settle at {up(steady_now_c, 0)} °C and nothing admissible brings them"
            f" past {up(line.proved.hottest_c, 0)} °C; their insulation bears {conductor.rated_c:g} °C.")  # fmt: skip
    return settled(line.proved.hottest_c <= conductor.rated_c + 1e-9, says, sheet, SEALS)


@regulation(asks="Do tails and main switch carry the load cap and every other source, should they join before them?")
@in_words
def parts_with_sources(job: Job) -> Finding:
    """What the cap lets flow, with solar, battery and a car that feeds back on top: where they join is not known."""
    gaps = (*supply_gaps(job), *chain_gaps(job))
    if gaps:
        return ask(*gaps)
    allowed, cap_a = tightest(job, WORST)
    if allowed.sources_a == 0:
        return does_not_apply("There is no other source on the car's lines.")
    if cap_a is None:
        return ask(SUSTAINED, says="No load cap is known yet.")
    sheet = Working()
    limit(job, allowed.line, WORST, sheet)
    most_a = proof(job, allowed.line, cap_a, allowed.true_a, WORST, sheet)
    both_a = sheet.step("Iboth = Tmost + Igen + Isto + Iback", most_a + allowed.sources_a)
    carried_a = sheet.step("Icarry = min(Iz, Iswitch)", min(allowed.tails_a, allowed.switch_a))
    says = (f"With the load cap at {cap_a:g} A the supply and the other sources bring at most {up(both_a, 1)} A;"
            f" the weaker of tails and main switch carries {down(carried_a, 1)} A.")  # fmt: skip
    if within(both_a, carried_a):
        return settled(True, says, sheet)
    return for_the_designer(f"{says} See that the sources join behind them, at the board.", sheet)


@regulation(asks="Does the fuse still hold if every listed load comes on at once?")
@in_words
def fuse_with_every_load(job: Job) -> Finding:
    """Beyond the maximum demand: all loads, up to what the fuse itself may carry. Not a bar, but said plainly."""
    gaps = attack_gaps(job)
    if gaps:
        return ask(*gaps)
    line = worst_line(job, True)
    if line.stands_a is None:
        return does_not_apply("No load cap stands.")
    sheet = Working()
    _put_fuse(job, line, sheet)
    on = where(job, line.limit.line)
    all_a = sum(line_loads_a(job, line.limit.line, WORST))
    sheet.given("Iall", all_a, "the listed loads, with no diversity")
    free = situated(job, line.limit, line.limit.true_a, line.stands_a, WORST)
    proved = prove(free, line.fuse, line.tails)
    alone = "" if within(all_a, line.limit.true_a) else (
        f" All at once they come to {up(all_a, 1)} A{on}, more than the supply may carry, and no load cap mends that.")
    if proved.stands:
        return settled(True, f"It holds with the house at up to {down(line.limit.true_a, 1)} A: the weakest fuse stays"
                             f" at {up(proved.warmed_ratio)} of the way to melting.{alone}", sheet)  # fmt: skip
    longest_s = longest_watchdog_s(replace(line, situation=free), line.stands_a)
    mend = (f" A watchdog of no more than {longest_s} s would show it." if longest_s is not None else
            " No watchdog would show it; only quicker action or a smaller car.")  # fmt: skip
    return for_the_designer(
        f"With the house at {down(line.limit.true_a, 1)} A by itself the standard's gates alone do not show that it"
        f" holds ({up(proved.warmed_ratio)} of the way to melting). They are the least that a fuse must bear: ask the"
        f" operator for this fuse's own curve.{mend}{alone}", sheet)  # fmt: skip


def as_sure(job: Job, finding: Finding) -> Finding:
    """As sure as the cut-out's rating, with what the operator was not asked named where it decides."""
    if finding.verdict is Verdict.NOT_YET_KNOWN and not finding.needs and sustained_open(job):
        return replace(finding, needs=(SUSTAINED,))
    return as_known(job, finding, smaller_hurts=True, also=OPEN_PARTS)
