"""What may feed the supply's parts and what the tails carry: shared by the rules on demand and by the load cap."""

from __future__ import annotations

from ampwright.facts import look_up
from ampwright.job.paths import unseen
from ampwright.job.record import Generation, Job, Storage
from ampwright.reading import End
from ampwright.rules.gb.parts.demand import on_line
from ampwright.rules.regulation import seen
from ampwright.working import Working

SOURCES = ("generation.fitted", "storage.fitted", "charge_point.sends_power_back")
INVERTERS = ("generation.inverter_a", "storage.inverter_a")


def tails_carry_a(job: Job, end: End, sheet: Working) -> float:
    """What the tails carry, A. A rewirable fuse protects them only to a part of that."""
    size = seen(job.supply.tails.size_mm2)
    sheet.heading("The tails")
    sheet.remark("Insulated and sheathed single cores at 30 °C, not bunched with other circuits nor in insulation.")
    tabulated_a = sheet.fact("It", look_up(
        "gb/cable_ratings", "it_a", cable="singles_70c", method=seen(job.supply.tails.method),
        loaded_count=3 if job.supply.phases == 3 else 2, size_mm2=end.less_hurts(size)))  # fmt: skip
    if job.supply.cutout.kind != "bs3036":
        return sheet.step("Iz = It", tabulated_a)
    share = sheet.fact("Cf", look_up("gb/overload_factor", "cf_ratio", device="bs3036", laid="air"))
    return sheet.step("Iz = It * Cf", tabulated_a * share)


def inverter_gaps(job: Job) -> tuple[str, ...]:
    """Ratings still wanted of the inverters that are fitted."""
    wanted = [path for path, source in zip(INVERTERS, _inverters(job), strict=True) if source.fitted]
    return unseen(job, tuple(wanted))


def other_sources_a(job: Job, line: str, end: End, sheet: Working) -> float:
    """What sources other than the supply can bring into the busbar on this line, A."""
    total_a = 0.0
    for symbol, source in zip(("Igen", "Isto"), _inverters(job), strict=True):
        if source.fitted and source.inverter_a is not None and on_line(job, line, source.line):
            total_a += sheet.given(symbol, end.more_hurts(source.inverter_a), source.inverter_a.basis)
        else:
            sheet.given(symbol, 0.0, "none on this line" if source.fitted else "none fitted")
    charge_point = job.charge_point
    feeds = charge_point.sends_power_back and (charge_point.phases == 3 or on_line(job, line, charge_point.line))
    back_a = seen(charge_point.rated_a) if feeds else 0.0
    return total_a + sheet.given("Iback", back_a, "the charge point's rating" if feeds else "none on this line")


def _inverters(job: Job) -> tuple[Generation | Storage, Generation | Storage]:
    return job.generation, job.storage
