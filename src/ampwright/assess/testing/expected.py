"""What each test should read, from the record, before it is done."""

from __future__ import annotations

from dataclasses import dataclass

from ampwright.facts import NoRow, constant, look_up, rows
from ampwright.job.paths import replaced, unseen
from ampwright.job.record import Job
from ampwright.physics.faults import fault_current_a, loop_ohm
from ampwright.reading import BEST, WORST, Reading
from ampwright.rules.gb.parts.loop import cpc_gaps, tested_route_ohm
from ampwright.rules.gb.parts.route import CABLES, CPCS, design_current_a, design_current_basis
from ampwright.rules.iec.electrode import electrode_gaps, electrode_ohm
from ampwright.rules.regulation import seen
from ampwright.working import Step, Working

PRACTICE = "gb/test_practice"


@dataclass(frozen=True, slots=True)
class Expected:
    """What a test should read, with the working, or the `needs` without which it cannot be said."""

    low: float | None = None
    high: float | None = None
    basis: str = ""
    needs: tuple[str, ...] = ()
    working: tuple[Step, ...] = ()

    @property
    def known(self) -> bool:
        """Whether there is a number."""
        return self.low is not None


def practice(name: str) -> float:
    """One of our own allowances for judging a reading."""
    return constant(PRACTICE, name).value


def conductors(job: Job) -> Reading:
    """The temperature of the conductors during the dead tests: as read, else an allowance that says so."""
    if job.tests.conductors_c is not None:
        return job.tests.conductors_c
    return Reading(practice("conductors_least"), practice("conductors_most"), "temperature not read: an allowance")


def route_gaps(job: Job) -> tuple[str, ...]:
    """What must be known before R1 + R2 can be computed."""
    return tuple(dict.fromkeys((*unseen(job, (*CABLES, *CPCS)), *cpc_gaps(job))))


def r1r2(job: Job) -> Expected:
    """R1 + R2 in ohm from the route, at the temperature of the conductors."""
    gaps = route_gaps(job)
    if gaps:
        return Expected(needs=gaps)
    sheet, warm = Working(), conductors(job)
    try:
        high_ohm = tested_route_ohm(job, WORST, warm.high, sheet)
        low_ohm = tested_route_ohm(job, BEST, warm.low, Working())
    except NoRow as missing:
        return Expected(basis=str(missing))
    at = f"{warm.low:g} °C" if warm.exact else f"{warm.low:g} to {warm.high:g} °C ({warm.because})"
    return Expected(low_ohm, high_ohm, f"from the route at {at}", (), sheet.steps)


def zs(job: Job) -> Expected:
    """Zs in ohm: Ze and the R1 + R2 that was read, else that of the route; as it is when tested, not warm."""
    ze, read = job.supply.ze_ohm, job.tests.r1r2_ohm
    route = r1r2(job)
    if ze is None or ze.low <= 0:
        return Expected(needs=("supply.ze_ohm", *(route.needs if read is None else ())))
    if read is None and not route.known:
        return route
    low_ohm, high_ohm = (read.low, read.high) if read is not None else (seen(route.low), seen(route.high))
    sheet = Working()
    sheet.given("Ze", ze.high, ze.basis)
    sheet.given("R1R2", high_ohm, "as read" if read is not None else route.basis)
    total_ohm = loop_ohm(ze_ohm=ze.high, r1_ohm=high_ohm, r2_ohm=0)
    sheet.step("Zs = Ze + R1R2", total_ohm)
    basis = "Ze plus R1 + R2 as read" if read is not None else f"Ze plus R1 + R2 {route.basis}"
    least_ohm = loop_ohm(ze_ohm=ze.low, r1_ohm=low_ohm, r2_ohm=0)
    return Expected(least_ohm, total_ohm, basis, (), (*(() if read is not None else route.working), *sheet.steps))


def electrode(job: Job) -> Expected:
    """RA in ohm from the rods and the soil, whatever was measured."""
    unmeasured = replaced(job, "electrode.measured_ohm", None)
    gaps = tuple(gap for gap in electrode_gaps(unmeasured) if gap != "electrode.measured_ohm")
    if gaps:
        return Expected(needs=gaps)
    sheet = Working()
    high_ohm = electrode_ohm(unmeasured, WORST, sheet)
    return Expected(electrode_ohm(unmeasured, BEST, Working()), high_ohm, "from rods and soil", (), sheet.steps)


def pfc(job: Job) -> Expected:
    """Fault current in kA as an instrument gives it from Ze; on TN-C-S alone, where line to neutral is that loop."""
    ze = job.supply.ze_ohm
    gaps = unseen(job, ("supply.earthing", "supply.ze_ohm"))
    if gaps:
        return Expected(needs=gaps)
    least_ohm = practice("instrument_least")
    if job.supply.earthing != "TN-C-S" or seen(ze).low <= least_ohm:
        return Expected()
    ends_ka = [fault_current_a(voltage_v=job.supply.declared_v, loop_ohm=ohm, factor_ratio=1) / 1000
               for ohm in (seen(ze).high, seen(ze).low)]  # fmt: skip
    return Expected(ends_ka[0], ends_ka[1], f"{job.supply.declared_v:g} V over Ze")


def duty(job: Job) -> Expected:
    """The duty cycle in per cent that offers the car the design current (IEC 61851-1)."""
    gaps = unseen(job, ("charge_point.rated_a",))
    if gaps:
        return Expected(needs=gaps)
    sheet = Working()
    ib_a = sheet.given("Ib", design_current_a(job), design_current_basis(job))
    for row in rows("iec/pilot_duty"):
        slope, offset = (look_up("iec/pilot_duty", column, from_percent=row["from_percent"])
                         for column in ("a_per_percent", "offset_a"))  # fmt: skip
        duty_percent = (ib_a - offset.value) / slope.value
        if float(row["from_percent"]) <= duty_percent <= float(row["to_percent"]):
            sheet.fact("acp", slope)
            sheet.fact("bcp", offset)
            sheet.step("Dcp = (Ib - bcp) / acp", duty_percent)
            return Expected(duty_percent, duty_percent, f"which offers {ib_a:g} A", (), sheet.steps)
    return Expected(basis=f"no duty cycle offers {ib_a:g} A")
