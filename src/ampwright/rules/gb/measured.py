"""BS 7671 part 6: what was measured, against what it must be. Before the work there is nothing to judge."""

from __future__ import annotations

from ampwright.facts import constant, look_up
from ampwright.job.record import Job
from ampwright.rules.regulation import Finding, ask, does_not_apply, open_where_loose, regulation, settled, weigh
from ampwright.working import Working

NOT_YET = "No measured value yet: the tests come after the work."


@regulation(asks="Is the polarity right?")
def polarity_is_right(job: Job) -> Finding:
    """As found at the charge point; a wrong one means that nothing is to be energised."""
    found = job.tests.polarity_right
    if found is None:
        return does_not_apply(NOT_YET)
    if found:
        return settled(True, "Polarity was found right.", Working())
    says = "Polarity was found wrong: isolate, put it right and test again."
    return settled(False, says, Working(), ("safe_isolation",))


@regulation(asks="Is the insulation resistance high enough?")
def insulation_is_sound(job: Job) -> Finding:
    """The reading at its lowest may not be under the least value for a circuit to 500 V."""
    reading = job.tests.insulation_megohm
    if reading is None:
        return does_not_apply(NOT_YET)
    sheet = Working()
    least = sheet.fact("Rinsmin", constant("gb/protection_limits", "insulation_least"))
    worst = sheet.given("Rins", reading.low, reading.basis)
    says = f"{worst:g} MΩ was read; the least is {least:g} MΩ."
    finding = weigh(best=reading.high >= least, worst=worst >= least, says=says, sheet=sheet)
    return open_where_loose(finding, job, ("tests.insulation_megohm",))


@regulation(asks="Does the RCD trip in time?")
def rcd_trips_in_time(job: Job) -> Finding:
    """One test at the rated residual current, against the time for a device with or without delay."""
    reading = job.tests.rcd_ms
    if reading is None:
        return does_not_apply(NOT_YET)
    if job.circuit.rcd.fitted and job.circuit.rcd.delayed is None:
        return ask("circuit.rcd.delayed")
    sheet = Working()
    kind = "delay_s" if job.circuit.rcd.fitted and job.circuit.rcd.delayed else "general"
    limit_ms = sheet.fact("trcd", look_up("gb/rcd_times", "max_ms", kind=kind, multiple_ratio=1))
    worst_ms = sheet.given("tmeas", reading.high, reading.basis)
    says = f"The RCD took {worst_ms:g} ms at its rated residual current; the limit is {limit_ms:g} ms."
    finding = weigh(best=reading.low <= limit_ms, worst=worst_ms <= limit_ms, says=says, sheet=sheet)
    return open_where_loose(finding, job, ("tests.rcd_ms",))
