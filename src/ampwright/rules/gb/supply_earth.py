"""BS 7671 313.1 and 544.1: the earth that the supply brings, and the bonding that belongs to it."""

from __future__ import annotations

from ampwright.facts import look_up, look_up_at_least
from ampwright.job.record import Job
from ampwright.rules.regulation import Finding, does_not_apply, for_the_designer, regulation, seen, weigh
from ampwright.working import Working


@regulation(
    asks="Is the supply's earth as good as its operator usually declares?", needs=("supply.earthing", "supply.ze_ohm")
)
def supply_earth_as_declared(job: Job) -> Finding:
    """Ze at its highest may not be above the usual declared figure; an RCD does not mend a failing supply earth."""
    if job.supply.earthing == "TT":
        return does_not_apply("The supply is TT: its own electrode is the operator's, and the RCD is judged instead.")
    sheet, ze = Working(), seen(job.supply.ze_ohm)
    declared_ohm = sheet.fact("Zedecl", look_up("gb/declared_ze", "ze_ohm", earthing=seen(job.supply.earthing)))
    worst_ohm = sheet.given("Ze", ze.high, ze.basis)
    return weigh(
        best=ze.low <= declared_ohm,
        worst=worst_ohm <= declared_ohm,
        says=f"Ze is {worst_ohm:g} Ω; the operator's usual figure for {job.supply.earthing} is {declared_ohm:g} Ω.",
        sheet=sheet,
        cautions=("supply_earth_fault",) if ze.low > declared_ohm else (),
    )


@regulation(
    asks="Is the main bonding large enough for the supply's earth?",
    needs=("supply.earthing", "supply.tails.size_mm2", "installation.main_bonding_mm2"),
)
def main_bonding_in_place(job: Job) -> Finding:
    """By the supply's neutral, taken as the size of the tails; TN-S counts as PME, and TT is for the designer."""
    sheet, bonding = Working(), seen(job.installation.main_bonding_mm2)
    has_mm2 = sheet.given("Sbond", bonding.low, bonding.basis)
    if job.supply.earthing == "TT":
        says = f"The main bonding is {has_mm2:g} mm²; on TT it goes by the earthing conductor, so see the book."
        return for_the_designer(says, sheet)
    tails = seen(job.supply.tails.size_mm2)
    sheet.remark("The supply's neutral is taken to be no larger than the tails; a larger one asks for more.")
    least = look_up_at_least("gb/main_bonding", "bonding_mm2", "neutral_to_mm2", tails.high)
    least_mm2 = sheet.fact("Sbondmin", least)
    return weigh(
        best=bonding.high >= look_up_at_least("gb/main_bonding", "bonding_mm2", "neutral_to_mm2", tails.low).value,
        worst=has_mm2 >= least_mm2,
        says=f"The main bonding is {has_mm2:g} mm²; the least is {least_mm2:g} mm² for {tails.high:g} mm² tails.",
        sheet=sheet,
    )
