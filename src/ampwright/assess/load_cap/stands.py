"""Whether the load cap that is set may be counted: the questions of `loadcap`, put to that one setting."""

from __future__ import annotations

from ampwright.assess.load_cap.chain import CAP, exact, in_words, proof
from ampwright.assess.load_cap.checks import as_sure, cap_can_count, house_alone
from ampwright.assess.load_cap.reckoning import (
    LineCap,
    at_cap,
    attack_gaps,
    bare_line,
    car_lines,
    least_cap_a,
    trusted_a,
)
from ampwright.assess.load_cap.signal import (
    fallback_current,
    readings_arrive,
    sensor_proved,
    time_to_restore,
    wants_wire,
)
from ampwright.assess.load_cap.supply import LIMITS
from ampwright.facts import constant
from ampwright.job.record import Job
from ampwright.reading import BEST, WORST, End
from ampwright.rules.gb.parts.demand import where, within
from ampwright.rules.gb.parts.recorded import larger_demands
from ampwright.rules.regulation import Finding, ask, regulation, seen, settled, weigh
from ampwright.working import Verdict, Working, down, up


def bears_out(job: Job) -> Finding:
    """All that a load cap must meet to be counted at its setting: the first thing that fails, else what is open.

    Readings of the sensor are judged where there are any; before the unit is fitted there can be none.
    """
    asked = (cap_can_count, house_alone, setting_stands, fallback_current, lets_go_in_time, time_to_restore,
             readings_arrive, *((sensor_proved,) if job.tests.sensing else ()))  # fmt: skip
    found = [each(job) for each in asked]
    working = found[2].working
    for verdict in (Verdict.NOT_MET, Verdict.NOT_YET_KNOWN, Verdict.FOR_THE_DESIGNER):
        alike = [each for each in found if each.verdict is verdict]
        if alike:
            needs = tuple(dict.fromkeys(path for each in alike for path in each.needs))
            says = " ".join(dict.fromkeys(each.says for each in alike))
            return Finding(verdict, says, needs, working, alike[0].cautions)
    to_do = "" if job.tests.sensing else " Its sensor is to be proved by readings once it is fitted."
    return Finding(Verdict.MET, f"{found[2].says}{to_do}", (), working)


@regulation(asks="Does the setting stand: within its errors, and whatever the house does?", needs=(f"{CAP}.limit_a",))
@in_words
def setting_stands(job: Job) -> Finding:
    """The proof of the cap as it is set, and the attack on it, on every line of the car."""
    gaps = attack_gaps(job)
    if gaps:
        return ask(*gaps)
    sheet = Working()
    worst, says = _as_set(job, WORST, sheet)
    best = worst or _as_set(job, BEST, Working())[0]
    return as_sure(job, weigh(best=best, worst=worst, says=says, sheet=sheet))


def _as_set(job: Job, end: End, sheet: Working) -> tuple[bool, str]:
    """Whether the setting stands at one end of what the survey allows, and the sentence on what decides."""
    set_a, least_a = exact(job, f"{CAP}.limit_a"), least_cap_a(job)
    if set_a < least_a:
        return False, f"Set to {set_a:g} A, below {least_a} A, it is where the sensor's class promises nothing."
    if not within(set_a, trusted_a(job)):
        return False, wants_wire(set_a)
    demands = {each.line: each for each in larger_demands(job, end, Working())}
    lines = [bare_line(job, demands[line], end) for line in car_lines(job)]
    over = [(proof(job, each.limit.line, set_a, each.limit.true_a, end, Working()) - each.limit.true_a, each)
            for each in lines]  # fmt: skip
    most_a, tightest = max(over, key=lambda pair: pair[0])
    shown_a = proof(job, tightest.limit.line, set_a, tightest.limit.true_a, end, sheet)
    says = (f"{set_a:g} A shown can be at most {up(shown_a, 1)} A true{where(job, tightest.limit.line)};"
            f" {tightest.limit.set_by} allows {down(tightest.limit.true_a, 1)} A.")  # fmt: skip
    if most_a > 1e-9:
        return False, says
    return _attacked(job, [at_cap(job, each, set_a, end) for each in lines], says)


def _attacked(job: Job, lines: list[LineCap], says: str) -> tuple[bool, str]:
    nearest = max(lines, key=lambda each: seen(each.proved).warmed_ratio)
    warmed = up(seen(nearest.proved).warmed_ratio)
    if all(seen(each.proved).stands for each in lines):
        return True, f"{says} Nothing admissible brings the weakest fuse past {warmed} of the way to melting."
    return False, (f"{says} But it does not stand with the unit's times: fuse or tails can be harmed before the car"
                   f" lets go ({warmed} of the way to melting). `ampwright loadcap` says what would.")  # fmt: skip


@regulation(asks="With the signal lost, does the car let go within the longest time allowed?",
            needs=(f"{CAP}.watchdog_s", f"{CAP}.response_s"))  # fmt: skip
def lets_go_in_time(job: Job) -> Finding:
    """Watchdog and response, against the longest time that a limit may be passed."""
    back_s = exact(job, f"{CAP}.watchdog_s") + exact(job, f"{CAP}.response_s")
    most = constant(LIMITS, "respond_most")
    says = f"With the signal lost the car lets go after {up(back_s, 0)} s; {most.value:g} s may be ({most.where})."
    return settled(within(back_s, most.value), says, Working())
