"""BS 7671 section 525: enough voltage at the charge point, and enough for a unit that watches it."""

from __future__ import annotations

from ampwright.facts import constant, look_up
from ampwright.job.record import Job
from ampwright.reading import BEST, WORST, End
from ampwright.rules.gb.parts.route import (
    CABLES,
    design_current_a,
    design_current_basis,
    drop_v,
    loaded_count,
    put_heading,
)
from ampwright.rules.regulation import (
    Finding,
    does_not_apply,
    for_the_designer,
    regulation,
    settled,
    weigh,
)
from ampwright.working import Fact, Working, down, up

NEEDS = ("charge_point.rated_a", "charge_point.phases", *CABLES)


@regulation(asks="Does enough voltage reach the charge point?", needs=NEEDS)
def voltage_drop(job: Job) -> Finding:
    """Add the drop of every section at its longest; the limit is that for uses other than lighting."""
    sheet = Working()
    limit_v = _limit_v(job, sheet)
    worst_v = _route_drop_v(job, WORST, sheet)
    best_v = _route_drop_v(job, BEST, Working())
    dropped, limit = _told(worst_v, limit_v)
    return weigh(
        best=best_v <= limit_v,
        worst=worst_v <= limit_v,
        says=f"{dropped} V dropped; limit {limit} V ({_percent_allowed().value:g} %).",
        sheet=sheet,
    )


@regulation(
    asks="Will voltage drop trip the charge point's open-PEN detection?",
    needs=("charge_point.open_pen", *NEEDS),
)
def open_pen_voltage_window(job: Job) -> Finding:
    """A unit that watches line to neutral sees the supply less the circuit's own drop."""
    if job.charge_point.open_pen != "voltage window":
        return does_not_apply("The charge point does not judge the supply by the voltage that reaches it.")
    sheet = Working()
    lowest_v = sheet.fact("Ulow", constant("gb/supply_limits", "low", "value_v"))
    window_v = sheet.fact("Uwin", constant("gb/open_pen", "window_low"))
    room_v = sheet.step("Vroom = Ulow - Uwin", lowest_v - window_v)
    worst_v = _to_neutral_v(job, _route_drop_v(job, WORST, sheet), sheet)
    best = Working()
    best_v = _to_neutral_v(job, _route_drop_v(job, BEST, best), best)
    drops, room = _told(worst_v, room_v)
    says = (f"At {lowest_v:.1f} V supply {room} V may be dropped before its {window_v:.0f} V threshold; "
            f"this circuit drops {drops} V.")  # fmt: skip
    if best_v > room_v:
        return for_the_designer(f"{says} It may stop charging with nothing wrong.", sheet)
    if worst_v <= room_v:
        return settled(True, says, sheet)
    return weigh(best=True, worst=False, says=says, sheet=sheet)


def _told(drop_v: float, limit_v: float) -> tuple[str, str]:
    """A drop and its limit in words, each to its safe side, with the decimals that it takes to say which is more."""
    for decimals_count in range(1, 7):
        drop, limit = up(drop_v, decimals_count), down(limit_v, decimals_count)
        if (float(drop) <= float(limit)) == (drop_v <= limit_v):
            return drop, limit
    return down(limit_v), down(limit_v)


def _percent_allowed() -> Fact:
    return look_up("gb/volt_drop_limit", "limit_percent", use="other")


def _limit_v(job: Job, sheet: Working) -> float:
    percent = sheet.fact("p", _percent_allowed())
    u0_v = sheet.given("U0", job.supply.declared_v, "declared by the supplier")
    if loaded_count(job) == 2:
        return sheet.step("Vmax = p / 100 * U0", percent / 100 * u0_v)
    u_v = sheet.step("U = sqrt(3) * U0", 3**0.5 * u0_v)
    return sheet.step("Vmax = p / 100 * U", percent / 100 * u_v)


def _route_drop_v(job: Job, end: End, sheet: Working) -> float:
    """Volts over the whole route, line to neutral on one phase and line to line on three."""
    ib_a = sheet.given("Ib", design_current_a(job), design_current_basis(job))
    lost_v = []
    for number, section in enumerate(job.route, start=1):
        put_heading(sheet, number, section)
        lost_v.append(drop_v(section, number, loaded_count(job), ib_a, end, sheet))
    sheet.heading("The whole route")
    total = " + ".join(f"Vd_{number}" for number in range(1, len(lost_v) + 1))
    return sheet.step(f"Vd = {total}", sum(lost_v))


def _to_neutral_v(job: Job, drop_v: float, sheet: Working) -> float:
    if loaded_count(job) == 2:
        return drop_v
    return sheet.step("Vdn = Vd / sqrt(3)", drop_v / 3**0.5)
