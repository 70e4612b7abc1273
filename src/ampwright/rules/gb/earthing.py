"""BS 7671 section 722 and chapter 41: the earth of a charge point out of doors, and a broken neutral."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from ampwright.facts import constant
from ampwright.job.paths import unseen
from ampwright.job.record import Job
from ampwright.reading import BEST, WORST, End
from ampwright.rules.gb.parts.broken_pen import allowed_ohm, blind_spot_v, return_a, return_gaps, rods_wanted, touch_v
from ampwright.rules.gb.parts.demand import LOADS
from ampwright.rules.gb.parts.loop import EARTHED, ask_for, not_on_electrode
from ampwright.rules.iec.electrode import electrode_gaps, electrode_ohm, electrode_ranges
from ampwright.rules.regulation import (
    Finding,
    ask,
    does_not_apply,
    for_the_designer,
    open_where_loose,
    regulation,
    settled,
    weigh,
)
from ampwright.working import Verdict, Working, down, up

Terms = tuple[float, float, float]
OPEN_PEN = "charge_point.open_pen"


@regulation(asks="If the supplier's neutral-earth conductor breaks, is the car's metalwork safe?")
def open_pen_provision(job: Job) -> Finding:
    """A device must take the car off within seconds, or an electrode hold it below the touch limit."""
    other = _not_on_pme(job)
    on_pme = job.supply.earthing != "TT" and job.circuit.earthed_by != "own electrode"
    if on_pme and job.charge_point.outdoors is False and job.charge_point.open_pen in (None, "none"):
        says = "Without an open-PEN device the lead must not be able to reach a car outside. Say how it cannot."
        return for_the_designer(says, Working())
    if other is not None:
        return other
    if job.charge_point.open_pen is None:
        return ask(OPEN_PEN)
    return _tn_s_said(job, _PROVISIONS[job.charge_point.open_pen](job))


@regulation(asks="Would an earth rod at the house's earth terminal do instead of a device?")
def electrode_instead_of_open_pen(job: Job) -> Finding:
    """Hold the electrode, as it is, to what keeps the touch limit; where there is none, say what it would take."""
    other = _not_without_device(job)
    if other is not None:
        return other
    if job.electrode.fitted:
        return _by_electrode(job)
    gaps = return_gaps(job)
    if gaps:
        return ask_for(gaps)
    sheet = Working()
    current_a = return_a(job, WORST, sheet)
    need_ohm, _ = allowed_ohm(job, current_a, sheet)
    rods, most = rods_wanted(job, need_ohm, sheet)
    whose = "house and car" if job.installation.loads else "the car alone"
    says = f"With {current_a:.0f} A for {whose} the electrode would have to be {down(need_ohm)} ohm or less:"
    if rods is None:
        return for_the_designer(f"{says} more than {most} usual rods, which is not practicable at a house.", sheet)
    says = f"{says} {rods} usual rod{'s' if rods > 1 else ''} by calculation, and a test would have to bear it out."
    return for_the_designer(says, sheet, ("buried_services",))


@regulation(asks="What touch voltage would stand on the car with the neutral broken?")
def touch_voltage_open_pen(job: Job) -> Finding:
    """One line drawing through what earth there is (nodal model), held to the touch limit."""
    other = _not_without_device(job)
    if other is not None:
        return other
    if not job.electrode.fitted:
        return _full_voltage(job)
    gaps = (*return_gaps(job), *electrode_gaps(job))
    if gaps:
        return ask_for(gaps)
    sheet = Working()
    worst, best = _touch(job, WORST, sheet), _touch(job, BEST, Working())
    limit_v = _open_pen("touch_limit")
    says = f"{up(worst[0], 1)} V would stand on the car; {limit_v:g} V may."
    return _weighed(job, says, sheet, worst=(worst[0] <= limit_v, worst[1] <= limit_v),
                    best=(best[0] <= limit_v, best[1] <= limit_v))  # fmt: skip


@regulation(asks="Is the electrode low enough to stay as it is through drought and frost?")
def electrode_resistance_stable(job: Job) -> Finding:
    """At its highest below the figure to which an electrode counts as stable; above it a person decides."""
    other = not_on_electrode(job)
    if other is not None:
        return other
    if job.electrode.fitted is False:
        return does_not_apply("There is no electrode to judge.")
    gaps = (*unseen(job, ("electrode.fitted",)), *electrode_gaps(job))
    if gaps:
        return ask_for(gaps)
    sheet = Working()
    worst_ohm, best_ohm = electrode_ohm(job, WORST, sheet), electrode_ohm(job, BEST, Working())
    stable_ohm = sheet.fact("RAst", constant("gb/protection_limits", "electrode_stable_to"))
    says = f"The electrode is {up(worst_ohm, 0)} ohm; above {stable_ohm:g} ohm it may not be stable."
    if job.electrode.measured_ohm is None:
        says = f"{says} That is by calculation: a test decides."
    if best_ohm > stable_ohm:
        return for_the_designer(says, sheet, ("buried_services",))
    finding = weigh(best=True, worst=worst_ohm <= stable_ohm, says=says, sheet=sheet, cautions=("buried_services",))
    return open_where_loose(finding, job, electrode_ranges(job))


@regulation(asks="Can nobody touch the car and metal of another earth at once?")
def simultaneous_contact(job: Job) -> Finding:
    """Metal on the house's earth must stand further off than an arm reaches, at its nearest."""
    if job.circuit.earthed_by is None:
        return ask("circuit.earthed_by")
    if job.circuit.earthed_by == "supply":
        return does_not_apply("The charge point is on the same earth as the house.")
    distance = job.charge_point.other_earth_within_m
    if distance is None:
        return ask("charge_point.other_earth_within_m")
    sheet = Working()
    sheet.remark("Measured from the car as it may stand, not from the charge point alone.")
    near_m = sheet.given("dearth", distance.low, distance.basis)
    reach_m = sheet.fact("darm", constant("gb/earthing_limits", "arms_reach"))
    says = f"Metal of the house's earth is {down(near_m)} m off; an arm reaches {reach_m:g} m."
    finding = weigh(best=distance.high >= reach_m, worst=near_m >= reach_m, says=says, sheet=sheet)
    return open_where_loose(finding, job, ("charge_point.other_earth_within_m",))


def _not_on_pme(job: Job) -> Finding | None:
    """Why the question of a broken PEN does not arise, or what must be known first; None where it does arise."""
    if job.supply.earthing == "TT":
        return does_not_apply("The supply is TT: it brings no earth that a broken neutral could make live.")
    if job.circuit.earthed_by == "own electrode":
        return does_not_apply("The charge point has an electrode of its own and takes no earth from the supply.")
    if job.charge_point.outdoors is False:
        return does_not_apply("Charge point and car are indoors. See that the lead cannot reach a car outside.")
    gaps = unseen(job, (*EARTHED, "charge_point.outdoors"))
    if gaps:
        return ask(*gaps)
    low_v, high_v = _open_pen("window_low"), _open_pen("window_high")
    if not low_v <= job.supply.declared_v <= high_v:
        return ask("supply.declared_v", says="The declared voltage is that from line to neutral: 230 V as a rule.")
    return None


def _not_without_device(job: Job) -> Finding | None:
    """The same for the two questions that arise only where no device watches."""
    other = _not_on_pme(job)
    if other is not None:
        return other
    gaps = unseen(job, (OPEN_PEN,))
    if not gaps and job.charge_point.open_pen != "none":
        return does_not_apply("A device takes the car off the supply if the neutral breaks.")
    gaps = gaps or unseen(job, ("electrode.fitted",))
    return ask(*gaps) if gaps else None


def _none(job: Job) -> Finding:
    if job.electrode.fitted is None:
        says = "No device watches for a broken neutral; only an electrode low enough could stand in for one."
        return ask("electrode.fitted", says=says)
    return _by_electrode(job) if job.electrode.fitted else _full_voltage(job)


def _full_voltage(job: Job) -> Finding:
    sheet = Working()
    u0_v = sheet.given("U0", job.supply.declared_v, "declared by the supplier")
    limit_v = sheet.fact("Umax", constant("gb/open_pen", "touch_limit"))
    sheet.remark("One line drawing and no earth but the broken one: all of the voltage stands on the metalwork.")
    sheet.step("Utouch = U0", u0_v)
    says = f"No open-PEN device and no electrode: up to {u0_v:g} V on the car's metalwork; the limit is {limit_v:g} V."
    return settled(False, says, sheet)


def _voltage_window(job: Job) -> Finding:
    if job.supply.phases is None:
        return ask("supply.phases")
    sheet = Working()
    low_v = sheet.fact("Uwin", constant("gb/open_pen", "window_low"))
    high_v = sheet.fact("Uwinh", constant("gb/open_pen", "window_high"))
    window = f"It acts below {low_v:g} V and above {high_v:g} V, within {_put_times(sheet)[0]:g} s."
    _verify(sheet)
    if job.supply.phases == 1:
        return settled(True, f"The charge point watches line to neutral. {window}", sheet)
    sheet.heading("On three phases")
    blind_v = blind_spot_v(job, sheet)
    limit_v = sheet.fact("Umax", constant("gb/open_pen", "touch_limit"))
    says = f"{window} On three phases {blind_v:.0f} V may stand on the car unseen; {limit_v:g} V may."
    return for_the_designer(f"{says} An earlier text bars it there; a later one is said to drop the bar.", sheet)


def _measuring_electrode(job: Job) -> Finding:
    sheet, says = _touch_device()
    sheet.remark("The measuring electrode stands clear of all metal on the house's earth, else it measures nothing.")
    return settled(True, f"The charge point measures against an electrode of its own. {says}", sheet,
                   ("buried_services",))  # fmt: skip


def _star_point(job: Job) -> Finding:
    if job.supply.phases is None:
        return ask("supply.phases")
    sheet, says = _touch_device()
    if job.supply.phases == 1:
        return settled(False, "A star point is made of three lines, and the supply has one.", sheet)
    if job.charge_point.phases is None:
        return ask("charge_point.phases")
    if job.charge_point.phases == 1:
        says = "A star point is made of three lines, and one is brought to the charge point."
        return for_the_designer(f"{says} See where its maker makes it.", sheet)
    return settled(True, f"The charge point measures against a star point of the three lines. {says}", sheet)


def _separate_device(job: Job) -> Finding:
    sheet, says = _touch_device()
    sheet.remark("No other earth reaches the charge point past the device, by armour, pipe or data cable.")
    return settled(True, f"A separate device watches the circuit. {says}", sheet)


_PROVISIONS: dict[str, Callable[[Job], Finding]] = {
    "none": _none,
    "voltage window": _voltage_window,
    "measuring electrode": _measuring_electrode,
    "star point": _star_point,
    "separate device": _separate_device,
}


def _touch_device() -> tuple[Working, str]:
    sheet = Working()
    limit_v = sheet.fact("Umax", constant("gb/open_pen", "touch_limit"))
    act_s, pass_s = _put_times(sheet)
    _verify(sheet)
    return sheet, f"Above {limit_v:g} V it must act within {act_s:g} s; it need not under {pass_s:g} s."


def _put_times(sheet: Working) -> tuple[float, float]:
    act_s = sheet.fact("tmax", constant("gb/open_pen", "act_within"))
    return act_s, sheet.fact("tpass", constant("gb/open_pen", "need_not_act_under"))


def _verify(sheet: Working) -> None:
    sheet.heading("To verify in the maker's papers")
    sheet.remark("It breaks every line, the neutral and the protective conductor, and gives isolation.")
    sheet.remark("It cannot be closed again while the fault stands.")
    sheet.remark("It was tested against a standard for such devices, and is fitted as its maker says.")


def _tn_s_said(job: Job, finding: Finding) -> Finding:
    if job.supply.earthing != "TN-S":
        return finding
    says = f"{finding.says} TN-S counts as PME unless the operator confirms that no combined conductor feeds it."
    if finding.verdict is Verdict.NOT_MET:
        return replace(finding, verdict=Verdict.FOR_THE_DESIGNER, says=says)
    return replace(finding, says=says)


def _by_electrode(job: Job) -> Finding:
    """Whether the electrode that there is holds the house's earth to the touch limit."""
    gaps = (*return_gaps(job), *electrode_gaps(job))
    if gaps:
        return ask_for(gaps)
    sheet = Working()
    worst, best = _electrode(job, WORST, sheet), _electrode(job, BEST, Working())
    says = f"The electrode is {up(worst[0])} ohm; {down(worst[1])} ohm may be to hold a broken neutral down."
    return _weighed(job, says, sheet, worst=(worst[0] <= worst[1], worst[0] <= worst[2]),
                    best=(best[0] <= best[1], best[0] <= best[2]))  # fmt: skip


def _electrode(job: Job, end: End, sheet: Working) -> Terms:
    current_a = return_a(job, end, sheet)
    plain_ohm, high_ohm = allowed_ohm(job, current_a, sheet)
    return electrode_ohm(job, end, sheet), plain_ohm, high_ohm


def _touch(job: Job, end: End, sheet: Working) -> tuple[float, float]:
    current_a = return_a(job, end, sheet)
    return touch_v(job, current_a, electrode_ohm(job, end, sheet), sheet)


def _weighed(job: Job, says: str, sheet: Working, *, worst: tuple[bool, bool], best: tuple[bool, bool]) -> Finding:
    """Each pair is the answer at the declared and at the highest supply. Between the two a person decides."""
    if not best[0]:
        return settled(False, says, sheet)
    if not job.installation.loads:
        return replace(ask("installation.loads", says=f"{says} That is with the car alone."), working=sheet.steps)
    if worst[1] or best[1]:
        return open_where_loose(weigh(best=best[1], worst=worst[1], says=says, sheet=sheet), job,
                                (*electrode_ranges(job), *LOADS))  # fmt: skip
    says = f"{says} It holds at best at the declared voltage, and not at the highest lawful one."
    return for_the_designer(says, sheet)


def _open_pen(name: str) -> float:
    return constant("gb/open_pen", name).value
