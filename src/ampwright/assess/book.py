"""The GB book with one rule more: a load cap is counted only where it is borne out.

What bears it out (errors, times, the attack) is reckoned in this layer, so the rules below count a cap by what is
written of it alone. Here each rule that counts one is asked again without it where it is not borne out.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache, wraps

from ampwright.job.paths import replaced
from ampwright.job.record import Job
from ampwright.rules.gb.book import GB
from ampwright.rules.gb.parts.demand import limit_counted_a
from ampwright.rules.regulation import Finding, Regulation, ask, does_not_apply, for_the_designer, regulation
from ampwright.working import Verdict, Working

FITTED = "charge_point.load_cap.fitted"
AFTER = "load_cap_counts"
COUNTING = ("cutout_carries_demand", "cutout_carries_recorded_demand", "tails_carry_demand",
            "main_switch_carries_demand", "busbar_carries_demand", "network_notice")  # fmt: skip
READ = ("date", "supply", "installation", "generation", "storage", "charge_point", "circuit", "sensors",
        "vehicles", "tests")


@regulation(asks="Does the load cap stand as it is set, with its errors, its times and whatever the house does?")
def load_cap_stands(job: Job) -> Finding:
    """What `ampwright loadcap` asks, put to the setting; until it holds the cap is not counted."""
    if limit_counted_a(job) is None:
        return does_not_apply("No load cap is counted.")
    if type(job) is not Job:  # what a bench reads it must note
        return _borne_out(job)
    return _kept(Job(**{name: getattr(job, name) for name in READ}))


def _borne_out(job: Job) -> Finding:
    from ampwright.assess.load_cap.stands import bears_out  # numpy is only wanted where a cap counts

    return bears_out(job)


_kept = lru_cache(maxsize=512)(_borne_out)


def borne_out(rule: Regulation) -> Regulation:
    """The same rule, counting a load cap only where it stands."""

    @wraps(rule.judge)
    def judged(job: Job) -> Finding:
        with_it = rule(job)
        if limit_counted_a(job) is None or type(job) is not Job:  # a bench asks load_cap_stands beside it
            return with_it
        stands = load_cap_stands(job)
        if stands.verdict is Verdict.MET:
            return with_it
        without = rule(replaced(job, FITTED, False))
        if stands.verdict is Verdict.NOT_MET:
            return replace(without, says=f"{without.says} The load cap is not counted: as it is set it does not stand.")
        if without.verdict is with_it.verdict:
            return with_it
        if stands.verdict is Verdict.NOT_YET_KNOWN:
            says = f"{with_it.says} That counts a load cap of which it is not yet known whether it stands."
            return replace(ask(*stands.needs, says=says), working=with_it.working, cautions=with_it.cautions)
        says = f"{with_it.says} Whether its load cap may be counted is for you to judge."
        return replace(for_the_designer(says, Working(), with_it.cautions), working=with_it.working)

    return replace(rule, judge=judged)


def _whole() -> tuple[Regulation, ...]:
    rules = []
    for each in GB.regulations:
        rules.append(borne_out(each) if each.name in COUNTING else each)
        if each.name == AFTER:
            rules.append(load_cap_stands)
    return tuple(rules)


BOOK = replace(GB, regulations=_whole())
