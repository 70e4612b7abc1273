"""BS 7671 part 6: what was measured, against what it must be. Before the work there is nothing to judge."""

from __future__ import annotations

from ampwright.facts import constant, look_up, look_up_text, rows
from ampwright.job.paths import unseen
from ampwright.job.record import Job, PilotReading
from ampwright.rules.gb.parts.route import design_current_a, design_current_basis
from ampwright.rules.regulation import (
    Finding,
    ask,
    does_not_apply,
    for_the_designer,
    open_where_loose,
    regulation,
    seen,
    settled,
    weigh,
)
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


@regulation(asks="Does the charge point cut off in time at smooth direct current?")
def dc_detection_in_time(job: Job) -> Finding:
    """The reading at its longest, at the current at which the detection must act."""
    reading = job.tests.dc_s
    if reading is None:
        return does_not_apply(NOT_YET)
    sheet = Working()
    acts_ma = sheet.fact("Idc", constant("gb/protection_limits", "dc_detection"))
    limit_s = sheet.fact("tdcmax", look_up("iec/rdc_dd_times", "max_s", dc_ma=acts_ma))
    worst_s = sheet.given("tdc", reading.high, reading.basis)
    says = f"It took {worst_s:g} s to cut off at {acts_ma:g} mA of smooth direct current; the limit is {limit_s:g} s."
    finding = weigh(best=reading.low <= limit_s, worst=worst_s <= limit_s, says=says, sheet=sheet)
    return open_where_loose(finding, job, ("tests.dc_s",))


@regulation(asks="Is the charge point live only when a car asks for it, and at the right pilot voltages?")
def pilot_states_answered(job: Job) -> Finding:
    """Each simulated state against its row: output live or dead, and the positive half of the pilot."""
    read = [each for each in job.tests.pilot if each.output_live is not None or each.high_v is not None]
    if not read:
        return does_not_apply(NOT_YET)
    sheet = Working()
    wrong = [says for each in read for says in _pilot_faults(each, sheet)]
    if wrong:
        return settled(False, f"{' '.join(wrong)} Isolate it and do not leave it in use.", sheet, ("safe_isolation",))
    tried = [each.state for each in read if each.output_live is not None]
    untried = [row["state"] for row in rows("iec/pilot_states") if row["output"] != "either"
               and row["state"] not in tried]  # fmt: skip
    if untried:
        return ask("tests.pilot", says=f"Right so far; whether the output is live is still to be seen in state "
                   f"{', '.join(untried)}.")  # fmt: skip
    states = ", ".join(each.state for each in read)
    if any(each.state == "D" and each.output_live for each in read):
        return for_the_designer("It gives power in state D: only where its maker rates it for a car that needs "
                                "ventilation, and the place has it.", sheet)  # fmt: skip
    return settled(True, f"It answered as it should in states {states}.", sheet)


@regulation(asks="Does the pilot offer the car no more than the circuit was designed for?")
def pilot_offers_no_more(job: Job) -> Finding:
    """The duty cycle at its longest, turned into amperes, against the design current and the tolerance of the duty."""
    read = [each.duty_percent for each in job.tests.pilot if each.duty_percent is not None]
    if not read:
        return does_not_apply(NOT_YET)
    gaps = unseen(job, ("charge_point.rated_a",))
    if gaps:
        return ask(*gaps)
    sheet = Working()
    worst_percent = sheet.given("Dcp", max(each.high for each in read), "the longest duty cycle read")
    row = _duty_row(worst_percent)
    if row is None:
        says = f"A duty cycle of {worst_percent:g} % offers no current by itself; the pilot is faulty or carries data."
        return for_the_designer(says, sheet)
    ib_a = sheet.given("Ib", design_current_a(job), design_current_basis(job))
    slope, offset = (sheet.fact(name, look_up("iec/pilot_duty", column, from_percent=row["from_percent"]))
                     for name, column in (("acp", "a_per_percent"), ("bcp", "offset_a")))  # fmt: skip
    offered_a = sheet.step("Icp = acp * Dcp + bcp", slope * worst_percent + offset)
    tolerance = sheet.fact("dDcp", constant("iec/pilot_limits", "duty_tolerance"))
    most_a = sheet.step("Icpmax = Ib + acp * dDcp", ib_a + slope * tolerance)
    says = f"A duty cycle of {worst_percent:g} % offers {offered_a:.1f} A; the circuit was designed for {ib_a:g} A."
    return settled(offered_a <= most_a + 1e-9, says, sheet)


@regulation(asks="Did the open-PEN protection cut off when it was tried?")
def open_pen_shown_working(job: Job) -> Finding:
    """As found by its maker's routine."""
    works = job.tests.open_pen_works
    if works is None:
        return does_not_apply(NOT_YET)
    says = "The open-PEN protection cut off and stayed off when its maker's routine was run."
    if works:
        return settled(True, says, Working())
    return settled(False, "The open-PEN protection did not cut off: isolate the charge point.", Working(),
                   ("safe_isolation",))  # fmt: skip


@regulation(asks="Does the car come down when the load cap loses its sensor?")
def load_cap_falls_back(job: Job) -> Finding:
    """The current left against the fall-back current set, and its time against the longest to restore a limit."""
    left, took = job.tests.lead_off_a, job.tests.lead_off_s
    if left is None and took is None:
        return does_not_apply(NOT_YET)
    gaps = unseen(job, ("tests.lead_off_a", "tests.lead_off_s", "charge_point.load_cap.fallback_a"))
    if gaps:
        return ask(*gaps)
    sheet = Working()
    set_a = sheet.given("Ifall", seen(job.charge_point.load_cap.fallback_a), "set in the charge point")
    limit_s = sheet.fact("tfall", constant("gb/load_cap_limits", "respond_most"))
    worst_a, worst_s = sheet.given("Ilost", seen(left).high), sheet.given("tlost", seen(took).high)
    says = (f"Without its sensor the car came down to {worst_a:g} A in {worst_s:g} s; it is set to fall back to "
            f"{set_a:g} A, and {limit_s:g} s is the longest allowed.")  # fmt: skip
    best = seen(left).low <= set_a and seen(took).low <= limit_s
    finding = weigh(best=best, worst=worst_a <= set_a and worst_s <= limit_s, says=says, sheet=sheet)
    return open_where_loose(finding, job, ("tests.lead_off_a", "tests.lead_off_s"))


def _pilot_faults(read: PilotReading, sheet: Working) -> list[str]:
    """What is wrong in one state, in words."""
    faults, wanted = [], look_up_text("iec/pilot_states", "output", state=read.state)
    if read.output_live is not None and wanted != "either" and read.output_live is not (wanted == "live"):
        faults.append(f"In state {read.state} the output was {'live' if read.output_live else 'dead'}.")
    if read.high_v is not None and look_up_text("iec/pilot_states", "least_v", state=read.state):
        least_v = sheet.fact("Vcpmin", look_up("iec/pilot_states", "least_v", state=read.state))
        most_v = sheet.fact("Vcpmax", look_up("iec/pilot_states", "most_v", state=read.state))
        sheet.given("Vcp", read.high_v.high, f"state {read.state}: {read.high_v.basis}")
        if not (least_v <= read.high_v.low and read.high_v.high <= most_v):
            faults.append(f"In state {read.state} the pilot stood at {read.high_v.high:g} V, not between "
                          f"{least_v:g} and {most_v:g} V.")  # fmt: skip
    return faults


def _duty_row(duty_percent: float) -> dict[str, str] | None:
    """The row of the duty table in which a duty cycle falls."""
    for row in rows("iec/pilot_duty"):
        if float(row["from_percent"]) <= duty_percent <= float(row["to_percent"]):
            return row
    return None
