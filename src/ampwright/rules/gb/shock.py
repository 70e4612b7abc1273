"""BS 7671 chapter 41: automatic disconnection, by the overcurrent device or by a residual current device."""

from __future__ import annotations

from ampwright.facts import NoRow, constant, look_up, rows
from ampwright.job.paths import unseen
from ampwright.job.record import Job
from ampwright.physics.faults import fault_current_a
from ampwright.reading import BEST, WORST
from ampwright.rules.gb.parts.loop import (
    EARTHED,
    LOOP,
    ask_for,
    circuit_rcd,
    circuit_rcd_gaps,
    device_gaps,
    device_row,
    device_words,
    earth_loop_ohm,
    loop_gaps,
    not_on_electrode,
    on_electrode,
)
from ampwright.rules.iec.electrode import electrode_gaps, electrode_ohm, electrode_ranges
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
from ampwright.working import Verdict, Working, down, up


@regulation(asks="Will a fault to earth at the charge point be cleared in time?")
def disconnection_in_time(job: Job) -> Finding:
    """Compare the longest, warmest loop with the tabulated one; where it is too long, see if an RCD clears it."""
    electrode = on_electrode(job)
    if electrode is None:
        return ask(*unseen(job, EARTHED))
    if electrode:
        return does_not_apply(_on_electrode_words(job))
    gaps = (*device_gaps(job), *loop_gaps(job), *_connector_gap(job))
    if gaps:
        return ask_for(gaps)
    sheet = Working()
    limit_ohm = _limit_ohm(job, sheet)
    worst_ohm = earth_loop_ohm(job, WORST, sheet)
    best_ohm = earth_loop_ohm(job, BEST, Working())
    says = (f"Zs at the charge point is {up(worst_ohm)} Ω; the maximum is {limit_ohm:g} Ω for "
            f"{device_words(job.circuit.device)} ({_time_words(job)}).")  # fmt: skip
    if worst_ohm <= limit_ohm:
        return settled(True, says, sheet)
    finding = _rcd_instead(job, "Zs", (best_ohm, worst_ohm), best_ohm <= limit_ohm, says, sheet)
    return open_where_loose(finding, job, LOOP)


def _on_electrode_words(job: Job) -> str:
    says = "The charge point has an electrode for its earth; there the RCD is judged instead."
    if job.supply.earthing == "TT":
        return says
    return (f"{says} Where the supply earths the cable's armour, a fault from line to armour is judged by no rule "
            "here: see that the device clears it in time.")  # fmt: skip


@regulation(asks="Is the measured Zs within its limit, and near the calculation?")
def measured_loop_in_limits(job: Job) -> Finding:
    """Compare the reading, taken cold, with its share of the tabulated loop and with the calculation."""
    reading = job.tests.zs_ohm
    if reading is None:
        return does_not_apply("No measured value yet: the tests come after the work.")
    electrode = on_electrode(job)
    if electrode is None:
        return ask(*unseen(job, EARTHED))
    if electrode:
        return does_not_apply("The charge point has an electrode for its earth; its resistance is judged instead.")
    gaps = (*device_gaps(job), *_connector_gap(job), *(() if reading.high > 0 else ("tests.zs_ohm",)))
    if gaps:
        return ask_for(gaps)
    sheet = Working()
    limit_ohm = _limit_ohm(job, sheet)
    share = sheet.fact("pm", constant("gb/protection_limits", "measured_share"))
    cold_ohm = sheet.step("Zcold = pm * Zmax", share * limit_ohm)
    sheet.given("Zmeas", reading.high, reading.basis)
    says = f"Zs was read as {up(reading.high)} Ω; the limit cold is {down(cold_ohm)} Ω, {share:g} of {limit_ohm:g} Ω."
    if reading.high > cold_ohm:
        finding = _rcd_instead(job, "Zmeas", (reading.low, reading.high), reading.low <= cold_ohm, says, sheet)
        if finding.verdict is not Verdict.MET:
            return open_where_loose(finding, job, ("tests.zs_ohm",))
        return _beside_the_calculation(job, finding.says, sheet, ("live_test", *finding.cautions))
    return _beside_the_calculation(job, says, sheet, ("live_test",))


@regulation(asks="Is the electrode low enough for the RCD to clear an earth fault in time?")
def rcd_fault_protection_tt(job: Job) -> Finding:
    """Hold the electrode at its highest to 50 V over the rated residual current, and the RCD to the time allowed."""
    other = not_on_electrode(job)
    if other is not None:
        return other
    if job.electrode.fitted is False:
        return settled(False, "The charge point is to be earthed by an electrode, and there is none.", Working())
    gaps = (*unseen(job, ("electrode.fitted", "circuit.device.rating_a")), *electrode_gaps(job),
            *circuit_rcd_gaps(job), *_connector_gap(job))  # fmt: skip
    if gaps:
        return ask_for(gaps)
    path, rcd = circuit_rcd(job)
    if rcd is None:
        says = "No RCD sees the whole circuit; one inside the charge point does not see a fault in the cable to it."
        return settled(False, says, Working())
    if seen(rcd.idn_ma) <= 0:
        return ask(f"{path}.idn_ma")
    return open_where_loose(_by_electrode(job, seen(rcd.idn_ma)), job, electrode_ranges(job))


def _by_electrode(job: Job, idn_ma: float) -> Finding:
    sheet = Working()
    worst_ohm, worst = _touch_in_limits(job, True, idn_ma, sheet)
    _, best = _touch_in_limits(job, False, idn_ma, Working())
    limit_v = constant("gb/protection_limits", "touch_voltage").value
    stable_ohm = sheet.fact("RAst", constant("gb/protection_limits", "electrode_stable_to"))
    says = (f"RA is {up(worst_ohm, 0)} Ω; the most allowed is {limit_v / idn_ma * 1000:.0f} Ω"
            f" ({limit_v:g} V / {idn_ma:g} mA).")  # fmt: skip
    cautions = ("buried_services", "rcd_alone")
    if worst and worst_ohm > stable_ohm:
        says = f"{says} Above {stable_ohm:g} ohm it may not stay so as the ground dries or freezes."
        return for_the_designer(says, sheet, cautions)
    return weigh(best=best, worst=worst, says=says, sheet=sheet, cautions=cautions)


def _touch_in_limits(job: Job, at_worst: bool, idn_ma: float, sheet: Working) -> tuple[float, bool]:
    ohm = electrode_ohm(job, WORST if at_worst else BEST, sheet)
    sheet.heading("The voltage on it")
    limit_v = sheet.fact("Umax", constant("gb/protection_limits", "touch_voltage"))
    sheet.given("Idn", idn_ma)
    sheet.step("RAmax = Umax / (Idn / 1000)", limit_v / (idn_ma / 1000))
    touch_v = sheet.step("Utouch = RA * Idn / 1000", ohm * idn_ma / 1000)
    sheet.heading("The time")
    limit_s = _limit_s(job, "TT", sheet)
    return ohm, touch_v <= limit_v and _rcd_within(job, "RA", ohm, limit_s, sheet)


def _rcd_instead(job: Job, symbol: str, loop_ohm: tuple[float, float], best: bool, says: str,
                 sheet: Working) -> Finding:  # fmt: skip
    """The loop is too long for the overcurrent device at its worst, perhaps not at its `best`: does an RCD clear
    the fault (411.4.5), at the shortest loop and at the longest?"""
    gaps = circuit_rcd_gaps(job)
    if gaps:
        return Finding(Verdict.NOT_YET_KNOWN, f"{says} An RCD could clear it.", gaps, sheet.steps)
    _, rcd = circuit_rcd(job)
    if rcd is None or seen(rcd.idn_ma) <= 0:
        return weigh(best=best, worst=False, says=says, sheet=sheet)
    sheet.heading("The RCD instead")
    limit_s = _limit_s(job, "TN", sheet)
    if _rcd_within(job, symbol, loop_ohm[1], limit_s, sheet):
        says = f"{says} The {rcd.idn_ma:g} mA RCD clears a fault to earth instead, and nothing else does in time."
        return settled(True, says, sheet, ("rcd_alone",))
    shortest = Working()
    shortest.given(symbol, loop_ohm[0])
    best = best or _rcd_within(job, symbol, loop_ohm[0], limit_s, shortest)
    return weigh(best=best, worst=False, says=says, sheet=sheet)


def _rcd_within(job: Job, symbol: str, loop_ohm: float, limit_s: float, sheet: Working) -> bool:
    """Whether the RCD on the circuit acts within `limit_s` at the least current that the loop lets flow."""
    _, rcd = circuit_rcd(job)
    idn_ma = sheet.given("Idn", seen(seen(rcd).idn_ma))
    cmin = sheet.fact("Cmin", constant("gb/voltage_factor", "cmin", "c_ratio"))
    u0_v = sheet.given("U0", job.supply.declared_v, "declared by the supplier")
    least_a = fault_current_a(voltage_v=u0_v, loop_ohm=loop_ohm, factor_ratio=cmin)
    sheet.step(f"Ifmin = Cmin * U0 / {symbol}", least_a)
    multiple = sheet.step("nIdn = Ifmin / (Idn / 1000)", least_a / (idn_ma / 1000))
    kind = "delay_s" if seen(rcd).delayed else "general"
    tested = [row["multiple_ratio"] for row in rows("gb/rcd_times")
              if row["kind"] == kind and row["max_ms"] and float(row["multiple_ratio"]) <= multiple]  # fmt: skip
    if not tested:
        sheet.remark("The fault current is below the RCD's rated residual current: it need not act.")
        return False
    quickest = max(tested, key=float)
    took_ms = sheet.fact("trcd", look_up("gb/rcd_times", "max_ms", kind=kind, multiple_ratio=quickest))
    return took_ms / 1000 <= limit_s


def _beside_the_calculation(job: Job, says: str, sheet: Working, cautions: tuple[str, ...]) -> Finding:
    """A reading within the limit but above the warmest loop reckoned has something to tell."""
    sheet.heading("Beside the calculation")
    if loop_gaps(job):
        sheet.remark("The loop was not calculated, so the reading is not compared with it.")
        return settled(True, says, sheet, cautions)
    try:
        reckoned_ohm = earth_loop_ohm(job, WORST, sheet)
    except NoRow as missing:
        sheet.remark(f"Not compared with a calculation: {missing}.")
        return settled(True, says, sheet, cautions)
    says = f"{says} By calculation it is at most {up(reckoned_ohm)} Ω, warm."
    if seen(job.tests.zs_ohm).low > reckoned_ohm:
        says = f"{says} Look for a loose joint, a longer run than entered, or a wrong Ze."
        return for_the_designer(says, sheet, cautions)
    ze = seen(job.supply.ze_ohm)
    if seen(job.tests.zs_ohm).high < ze.low:
        says = f"{says} It is below Ze, {ze.low:g} Ω, which cannot be: leads not nulled, a parallel path or a wrong Ze."
        return for_the_designer(says, sheet, cautions)
    return settled(True, says, sheet, cautions)


def _limit_ohm(job: Job, sheet: Working) -> float:
    device, curve = device_row(job)
    time_s = _limit_s(job, "TN", sheet)
    rating_a = sheet.given("In", seen(job.circuit.device.rating_a), device_words(job.circuit.device))
    keys: dict[str, str | float] = {"device": device, "curve": curve, "rating_a": rating_a, "time_s": time_s}
    sheet.fact("Ia", look_up("gb/max_zs", "ia_a", **keys))
    return sheet.fact("Zmax", look_up("gb/max_zs", "zs_ohm", **keys))


def _limit_s(job: Job, earthing: str, sheet: Working) -> float:
    """The time allowed: the short one for a final circuit up to a rating, larger with socket-outlets."""
    name = "final_sockets_to" if job.charge_point.connector == "socket" else "final_fixed_to"
    to_a = sheet.fact("Ifinal", constant("gb/protection_limits", name))
    circuit = "final_to_32a" if seen(job.circuit.device.rating_a) <= to_a else "other"
    return sheet.fact("tmax", look_up("gb/disconnection_time", "time_s", earthing=earthing, circuit=circuit))


def _time_words(job: Job) -> str:
    return f"{_limit_s(job, 'TN', Working()):g} s"


def _connector_gap(job: Job) -> tuple[str, ...]:
    """Whether there is a socket-outlet matters only for a rating between the two limits."""
    rating_a = job.circuit.device.rating_a
    fixed_a = constant("gb/protection_limits", "final_fixed_to").value
    sockets_a = constant("gb/protection_limits", "final_sockets_to").value
    if rating_a is None or not fixed_a < rating_a <= sockets_a:
        return ()
    return unseen(job, ("charge_point.connector",))
