"""What one line of the supply may carry for hours, its weakest conforming fuse, and its tails as a body of copper."""

from __future__ import annotations

from dataclasses import dataclass

from ampwright.assess.load_cap.attack import Fuse
from ampwright.assess.load_cap.chain import NotHeld
from ampwright.facts import constant, look_up, look_up_at_least, rows
from ampwright.job.record import Job
from ampwright.physics.fuses import Gate
from ampwright.physics.tails import Conductor, time_constant_s
from ampwright.reading import End
from ampwright.rules.gb.parts.demand import where
from ampwright.rules.gb.parts.sources import other_sources_a, tails_carry_a
from ampwright.rules.regulation import seen
from ampwright.working import Fact, Working

LIMITS = "gb/load_cap_limits"
GATED = ("bs88_2", "bs88_3")
NOTED_A = 100.0


@dataclass(frozen=True, slots=True)
class Limit:
    """The current that may truly flow on a line for hours, and what sets it, in words."""

    line: str
    true_a: float
    set_by: str
    tails_a: float
    switch_a: float
    sources_a: float


def limit(job: Job, line: str, end: End, sheet: Working) -> Limit:
    """The least of cut-out, operator's word, tails, main switch, and the busbar less every other source."""
    sheet.heading(f"What may flow for hours{where(job, line)}")
    cutout = seen(job.supply.cutout.rating_a)
    cutout_a = sheet.given("Icut", end.less_hurts(cutout), cutout.basis)
    sustained_a = _sustained_a(job, cutout_a, end, sheet)
    tails_a = tails_carry_a(job, end, sheet)
    sheet.heading(f"Main switch, busbar and other sources{where(job, line)}")
    switch, bar = seen(job.installation.main_switch_a), seen(job.installation.busbar_a)
    switch_a = sheet.given("Iswitch", end.less_hurts(switch), switch.basis)
    bar_a = sheet.given("Ibusbar", end.less_hurts(bar), bar.basis)
    sources_a = other_sources_a(job, line, end, sheet)
    parts = {"the cut-out": cutout_a, "the operator's word on the cut-out": sustained_a, "the tails": tails_a,
             "the main switch": switch_a, "the busbar": bar_a - sources_a}  # fmt: skip
    true_a = max(0.0, min(parts.values()))
    sheet.step("Itrue = max(0, min(Icut, Isus, Iz, Iswitch, Ibusbar - (Igen + Isto + Iback)))", true_a)
    set_by = min(parts, key=lambda part: parts[part])
    return Limit(line, true_a, set_by, tails_a, switch_a, sources_a)


def sustained_open(job: Job) -> bool:
    """Whether the operator may count this cut-out as less than its rating, and nobody asked."""
    rating = job.supply.cutout.rating_a
    return job.supply.cutout.sustained_a is None and rating is not None and rating.low <= NOTED_A <= rating.high


def _sustained_a(job: Job, cutout_a: float, end: End, sheet: Working) -> float:
    told_a = job.supply.cutout.sustained_a
    if told_a is not None:
        return sheet.given("Isus", told_a, "the operator")
    if end.worst and cutout_a == NOTED_A:
        sheet.remark("Nobody asked the operator: one of them counts a 100 A cut-out as this where load is sustained.")
        return sheet.fact("Isus", constant(LIMITS, "cutout_100_sustained"))
    return sheet.given("Isus", cutout_a, "its rating")


def weakest_fuse(job: Job, end: End, sheet: Working) -> Fuse:
    """The conventional non-fusing current and the 10 s gate of the listed rating at or below this one.

    Raises NoRow for a kind of fuse whose gates are not held here.
    """
    kind, rating = job.supply.cutout.kind, seen(job.supply.cutout.rating_a)
    if kind not in GATED:
        raise NotHeld(f"No standard gates are held here for this kind of fuse ({kind}); the operator has its curve.")
    sheet.heading("The weakest fuse that conforms")
    sheet.remark("The gates are those of gG fuses; a smaller listed rating stands for one that is not listed.")
    rating_a = sheet.given("Icut", end.less_hurts(rating), rating.basis)
    never = look_up_at_least("iec/fuse_conventional", "nonfusing_ratio", "rating_to_a", rating_a)
    ratio = sheet.fact("knf", never)
    never_a = sheet.step("Inf = knf * Icut", ratio * rating_a)
    gate_a = sheet.fact("Igate", _gate(rating_a))
    gate_s = sheet.given("tgate", 10.0, "that gate's time")
    return Fuse(never_a, Gate(gate_a, gate_s))


def _gate(rating_a: float) -> Fact:
    listed = [float(row["rating_a"]) for row in rows("iec/fuse_gates")
              if row["gate"] == "not_below_10s" and float(row["rating_a"]) <= rating_a]  # fmt: skip
    if not listed:
        raise NotHeld(f"No standard gates are held here for a fuse of {rating_a:g} A.")
    return look_up("iec/fuse_gates", "current_a", rating_a=max(listed), gate="not_below_10s")


def tails(job: Job, tails_a: float, end: End, sheet: Working) -> Conductor:
    """The tails with the copper's own heat alone. Raises NoRow for a size whose resistance is not held."""
    sheet.heading("The tails, warmed and cooled")
    size = seen(job.supply.tails.size_mm2)
    size_mm2 = sheet.given("Stails", end.less_hurts(size), size.basis)
    r20 = sheet.fact("r20", look_up("iec/copper_resistance", "r20_ohm_per_km", size_mm2=size_mm2))
    alpha = sheet.fact("alpha", constant("iec/conductor_constants", "copper_alpha20"))
    heat = sheet.fact("cheat", constant(LIMITS, "copper_heat"))
    hot_c = sheet.fact("Thot", constant(LIMITS, "tails_hottest"))
    around_c = sheet.fact("Tamb", constant(LIMITS, "tails_around"))
    sheet.given("Iz", tails_a, "the tails, above")
    constant_s = time_constant_s(size_mm2=size_mm2, r20_ohm_per_km=r20, alpha20_per_k=alpha, heat_j_per_k_mm3=heat,
                                 rated_a=tails_a, rated_c=hot_c, around_c=around_c)  # fmt: skip
    sheet.remark("The heat that the insulation takes up is left out: the tails follow a peak sooner than they will.")
    sheet.step("ttau = 1000000 * cheat * Stails * (Thot - Tamb) / (Iz ** 2 * (r20 * (1 + alpha * (Thot - 20))))",
               constant_s)  # fmt: skip
    zero_c = constant("iec/conductor_constants", "copper_zero_c").value
    return Conductor(rated_a=tails_a, rated_c=hot_c, around_c=around_c, zero_c=zero_c, constant_s=constant_s)
