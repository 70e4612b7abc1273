"""BS 7671 313.1 and 643.7: is the earth that the supply brings as good as its operator declares?"""

from __future__ import annotations

from ampwright.facts import look_up
from ampwright.job.record import Job
from ampwright.rules.regulation import Finding, does_not_apply, regulation, seen, weigh
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
        cautions=() if worst_ohm <= declared_ohm else ("supply_earth_fault",),
    )
