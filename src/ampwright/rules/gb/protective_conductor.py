"""BS 7671 chapters 43 and 54: what a fault does to the protective conductors and to the device itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from ampwright.facts import NoRow, constant, look_up, look_up_at_least
from ampwright.job.paths import loose, unseen
from ampwright.job.record import Job, Section
from ampwright.physics.faults import three_phase_bound_a, withstand_a2s
from ampwright.rules.gb.parts.adiabatic import (
    Fault,
    Faults,
    at_once,
    faults,
    insulation,
    protective_k,
    protective_mm2,
    put_sizes,
    share,
    sizes,
    weakest,
)
from ampwright.rules.gb.parts.demand import SURE
from ampwright.rules.gb.parts.loop import (
    BREAKERS,
    LOOP,
    ask_for,
    circuit_rcd_gaps,
    cpc_gaps,
    device_gaps,
    device_words,
    loop_gaps,
)
from ampwright.rules.gb.parts.route import CPCS, put_heading
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
from ampwright.working import Verdict, Working, up

SECTIONS = ("route[].cable.kind", "route[].cable.size_mm2", *CPCS)
SLOW = "does not clear this fault soon enough to reckon"
BACKED = ("supply.pfc_ka", "supply.cutout.rating_a")
IN_CONDUIT_OR_TRUNKING = ("A", "B")


@regulation(asks="Is the protective conductor thick enough for a fault at the charge point?", needs=SECTIONS)
def protective_conductor_size(job: Job) -> Finding:
    """Hold every section to the adiabatic equation at both ends of the loop that the survey allows."""
    gaps = _fault_gaps(job)
    if gaps:
        return ask_for(gaps)
    sheet, words = Working(), device_words(job.circuit.device)
    thin = _separate_too_thin(job, sheet)
    if thin is not None:
        return thin
    allowed = faults(job, sheet)
    hardest = allowed.hardest
    if hardest is None or (not allowed.all_cleared and not loose(job, LOOP)):
        return for_the_designer(f"{words} {SLOW}: see to the loop first.", sheet)
    wanted = put_sizes(job, hardest, sheet)
    name, (need_mm2, has_mm2) = job.route[weakest(wanted)].name, wanted[weakest(wanted)]
    says = f"{name} is weakest: a fault calls for {up(need_mm2)} mm², and it has {has_mm2:g} mm²."
    if job.supply.earthing == "TT":
        says = (f"The electrode lets at most {up(hardest.current_a, 1)} A flow, which calls for {up(need_mm2)} mm²; "
                f"{name} has {has_mm2:g} mm². Here not the fault but the least sizes govern.")  # fmt: skip
    if not allowed.all_cleared:
        says = f"{says} At the other end of the survey {words} {SLOW}."

    def by_sum(fault: Fault) -> bool:
        return fault.time_s is not None and share(sizes(job, fault)) <= 1

    failing = [each for each in allowed.every if not by_sum(each)]
    covers = bool(failing) and _class_covers(job)

    def stands(fault: Fault) -> bool:
        return by_sum(fault) or (covers and at_once(job, fault))

    if failing and all(at_once(job, each) for each in failing):
        return _by_class(job, allowed, stands, says, sheet)
    return _weighed(job, allowed, stands, says, sheet)


def _by_class(job: Job, allowed: Faults, stands: Callable[[Fault], bool], says: str, sheet: Working) -> Finding:
    """0.1 s is too long for a breaker that trips at once: its energy class may show less, else its maker's curve."""
    if all(map(stands, allowed.every)):
        says = f"{says} The breaker is quicker than 0.1 s, and by its energy class lets less through than that."
        return settled(True, says, sheet)
    gaps = unseen(job, ("circuit.device.energy_class", "circuit.device.breaking_ka"))
    if gaps:
        return ask(*gaps, says=f"{says} Its energy class may show that less is let through.")
    finding = _weighed(job, allowed, stands, says, sheet)
    if finding.verdict is not Verdict.NOT_MET:
        return finding
    return for_the_designer(f"{says} The breaker is quicker than 0.1 s: its maker's I²t curve may show less.", sheet)


def _class_covers(job: Job) -> bool:
    """Whether every section stands all that the breaker's energy class lets through, whatever the fault."""
    finding = let_through_energy(job)
    return finding.verdict is Verdict.MET


def _weighed(job: Job, allowed: Faults, stands: Callable[[Fault], bool], says: str, sheet: Working) -> Finding:
    """As the ends weigh, but past the end of a fuse's curve a failure only says that its maker must be asked."""
    if not all(map(stands, allowed.every)) and all(each.past_curve or stands(each) for each in allowed.every):
        says = f"{says} No quicker time is known of this fuse at so large a current: use its maker's I²t curve."
        return for_the_designer(says, sheet)
    best, worst = allowed.weighed(lambda each: each.past_curve or stands(each))
    return open_where_loose(weigh(best=best, worst=worst, says=says, sheet=sheet), job, LOOP)


def _separate_too_thin(job: Job, sheet: Working) -> Finding | None:
    """A conductor that is no part of a cable has a least size, larger where nothing guards it from knocks."""
    for number, section in enumerate(job.route, start=1):
        if not seen(section.cable.kind).startswith("singles") or section.cable.cpc != "core":
            continue
        put_heading(sheet, number, section)
        has_mm2 = protective_mm2(section, number, sheet)
        guarded_mm2 = look_up("gb/min_separate_cpc", "size_mm2", protected="yes")
        bare_mm2 = look_up("gb/min_separate_cpc", "size_mm2", protected="no")
        if section.method is None and guarded_mm2.value <= has_mm2 < bare_mm2.value:
            return ask(f"route[{number - 1}].method")
        guarded = section.method in IN_CONDUIT_OR_TRUNKING
        least_mm2 = sheet.fact(f"Ssep_{number}", guarded_mm2 if guarded else bare_mm2)
        if has_mm2 < least_mm2:
            where = "in conduit or trunking" if guarded else "with nothing round it against damage"
            says = (f"{section.name}: a separate protective conductor {where} wants {least_mm2:g} mm², "
                    f"and it has {has_mm2:g} mm².")  # fmt: skip
            return settled(False, says, sheet)
    return None


@regulation(asks="Does the protective conductor stand what the device lets through at its worst?", needs=SECTIONS)
def let_through_energy(job: Job) -> Finding:
    """Compare each section's k²S² with the energy class of the circuit-breaker at its full breaking capacity."""
    gaps = (*device_gaps(job), *cpc_gaps(job))
    if gaps:
        return ask_for(gaps)
    device = job.circuit.device
    if device.kind not in BREAKERS:
        says = f"The energy that a {device_words(device)} lets through is for the maker to say."
        return for_the_designer(says, Working())
    gaps = unseen(job, ("circuit.device.energy_class", "circuit.device.breaking_ka"))
    if gaps:
        return ask(*gaps)
    sheet = Working()
    keys: dict[str, str | float] = {"class": seen(device.energy_class), "curve": seen(device.curve),
                                    "breaking_ka": seen(device.breaking_ka)}  # fmt: skip
    try:
        limit = look_up_at_least("gb/mcb_let_through", "i2t_a2s", "rating_to_a", seen(device.rating_a), **keys)
    except NoRow:
        says = (f"The standard sets no energy class for {device_words(device)} at {device.breaking_ka:g} kA: "
                "use the maker's I²t curve.")  # fmt: skip
        return for_the_designer(says, sheet)
    let_a2s = sheet.fact("I2t", limit)
    stands = [_stands_a2s(section, number, sheet) for number, section in enumerate(job.route, start=1)]
    least = stands.index(min(stands))
    says = (f"{device_words(device)}, class {device.energy_class}, may let {let_a2s:.0f} A²s through at "
            f"{device.breaking_ka:g} kA; {job.route[least].name} stands {stands[least]:.0f} A²s.")  # fmt: skip
    if stands[least] >= let_a2s:
        return settled(True, says, sheet)
    return for_the_designer(f"{says} The maker's curve at the true fault current may show less.", sheet)


@regulation(asks="Will the armour do as the protective conductor?", needs=SECTIONS)
def armour_as_protective_conductor(job: Job) -> Finding:
    """Either the table (k1/k2 of the line) or the adiabatic equation may show it; both are shown."""
    numbers = [number for number, section in enumerate(job.route) if section.cable.cpc == "armour"]
    if not numbers:
        return does_not_apply("No section relies on its armour alone as the protective conductor.")
    gaps = _fault_gaps(job)
    if gaps:
        return ask_for(gaps)
    sheet = Working()
    by_table = {number: _by_table_mm2(job.route[number], number + 1, sheet) for number in numbers}
    allowed = faults(job, sheet)
    by_sum = put_sizes(job, allowed.hardest, sheet) if allowed.hardest and allowed.all_cleared else None
    has = {number: protective_mm2(job.route[number], number + 1, Working()) for number in numbers}

    def stands(fault: Fault) -> bool:
        wanted = sizes(job, fault) if fault.time_s is not None else None
        return all(by_table[each] <= has[each] or (wanted is not None and wanted[each][0] <= has[each])
                   for each in numbers)  # fmt: skip

    number = max(numbers, key=lambda each: by_table[each] / has[each])
    sums = f"{up(by_sum[number][0], 1)} mm²" if by_sum else "no size can be shown"
    says = (f"{job.route[number].name}: by the table {up(by_table[number], 1)} mm² of steel is wanted, "
            f"by calculation {sums}, and the armour has {has[number]:g} mm².")  # fmt: skip
    return _weighed(job, allowed, stands, says, sheet)


@regulation(
    asks="Can the device break the fault current at the board?",
    needs=("supply.phases", "supply.pfc_ka", "circuit.device.breaking_ka"),
)
def device_breaking_capacity(job: Job) -> Finding:
    """Compare the highest fault current with the device alone, then with the board behind the cut-out.

    On three phases the reading may have been taken to neutral: double is the worst, as read the best.
    """
    sheet = Working()
    fault = seen(job.supply.pfc_ka)
    if fault.high <= 0:
        return ask("supply.pfc_ka")
    fault_ka = _highest_ka(job, sheet)
    breaks_ka = sheet.given("Ibreak", seen(job.circuit.device.breaking_ka), "marked on the device")
    says = f"{up(fault_ka)} kA may flow at the board; the device breaks {breaks_ka:g} kA."
    if job.supply.phases == 3:
        says = (f"{up(fault.high)} kA was read, {up(fault_ka)} kA across three lines if that was to neutral; "
                f"the device breaks {breaks_ka:g} kA.")  # fmt: skip
    cautions = ("supplier_seals", "live_test")
    if fault_ka <= breaks_ka:
        return settled(True, says, sheet, cautions)
    wanted = ("supply.cutout.kind", "supply.cutout.rating_a", "supply.cutout.rating_known_by")
    gaps = unseen(job, (*wanted, "installation.board_withstand_ka"))
    if gaps:
        return Finding(Verdict.NOT_YET_KNOWN, f"{says} The cut-out may back it up.", gaps, sheet.steps, cautions)
    finding = _behind_the_cutout(job, fault_ka, says, sheet, cautions)
    open_to = loose(job, BACKED) if _sure(job) else (*loose(job, BACKED), "supply.cutout.rating_known_by")
    if finding.verdict is not Verdict.NOT_YET_KNOWN:
        return finding
    if not open_to:
        return for_the_designer(f"{finding.says} Say whether it was read between lines.", sheet, cautions)
    return replace(finding, needs=open_to)


def _highest_ka(job: Job, sheet: Working) -> float:
    fault = seen(job.supply.pfc_ka)
    fault_ka = sheet.given("Ipf", fault.high, fault.basis)
    if job.supply.phases == 1:
        return fault_ka
    sheet.remark("Common practice: a reading from line to neutral is doubled for a fault across three lines.")
    return sheet.step("Ipf3 = 2 * Ipf", three_phase_bound_a(phase_neutral_a=1000 * fault_ka) / 1000)


def _sure(job: Job) -> bool:
    """Whether the fuse in the cut-out is known, and not only its carrier or its look."""
    return job.supply.cutout.rating_known_by in SURE


def _behind_the_cutout(job: Job, fault_ka: float, says: str, sheet: Working, cautions: tuple[str, ...]) -> Finding:
    """The board's conditional rating holds for its maker's own devices behind a fuse that is no larger than stated."""
    sheet.heading("Behind the cut-out")
    rating, least_ka = seen(job.supply.cutout.rating_a), seen(job.supply.pfc_ka).low
    breaks_ka, board_ka = seen(job.circuit.device.breaking_ka), seen(job.installation.board_withstand_ka)
    most_a = sheet.fact("Imax", constant("gb/protection_limits", "conditional_cutout_to"))
    sheet.given("Icut", rating.high, rating.basis)
    sheet.given("Icond_1", board_ka, "marked on the board")
    known_ka = sheet.fact("Icond_2", constant("gb/fault_current", "consumer_unit_conditional"))
    holds_ka = sheet.step("Icond = min(Icond_1, Icond_2)", min(board_ka, known_ka))
    fused = job.supply.cutout.kind != "bs3036"
    worst = _sure(job) and fused and rating.high <= most_a and fault_ka <= holds_ka
    may_back = not _sure(job) or (fused and rating.low <= most_a)
    best = least_ka <= breaks_ka or (may_back and least_ka <= holds_ka)
    says = (f"{says} Behind a cartridge fuse of {most_a:g} A or less, here {rating.high:g} A, the board with its "
            f"maker's own devices is good for {holds_ka:g} kA.")  # fmt: skip
    if not _sure(job):
        says = f"{says} But the cut-out's rating is not sure ({job.supply.cutout.rating_known_by})."
    return weigh(best=best, worst=worst, says=says, sheet=sheet, cautions=cautions)


def _fault_gaps(job: Job) -> tuple[str, ...]:
    """A small fault may be left to an RCD, so what is known of that one counts too."""
    return (*device_gaps(job), *loop_gaps(job), *circuit_rcd_gaps(job))


def _stands_a2s(section: Section, number: int, sheet: Working) -> float:
    put_heading(sheet, number, section)
    size_mm2 = protective_mm2(section, number, sheet)
    k = protective_k(section, sheet)
    return sheet.step(f"k2S2_{number} = k ** 2 * S_{number} ** 2", withstand_a2s(k=k, size_mm2=size_mm2))


def _by_table_mm2(section: Section, number: int, sheet: Working) -> float:
    """The armour that the table calls for: that of copper, times k1/k2."""
    put_heading(sheet, number, section)
    line_mm2 = sheet.given("Sline", seen(section.cable.size_mm2))
    k1 = sheet.fact("k1", look_up("iec/k_factors", "k", role="live", material="copper", insulation=insulation(section)))
    k2 = protective_k(section, sheet, "k2")
    protective_mm2(section, number, sheet)
    part = sheet.fact("p547", look_up_at_least("gb/min_cpc", "share_ratio", "line_to_mm2", line_mm2))
    least_mm2 = sheet.fact("Sleast", look_up_at_least("gb/min_cpc", "least_mm2", "line_to_mm2", line_mm2))
    alike_mm2 = sheet.step("S547 = p547 * Sline + Sleast", part * line_mm2 + least_mm2)
    return sheet.step(f"S54_{number} = k1 / k2 * S547", k1 / k2 * alike_mm2)
