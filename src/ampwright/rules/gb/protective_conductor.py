"""BS 7671 chapters 43 and 54: what a fault does to the protective conductors and to the device itself."""

from __future__ import annotations

import math

from ampwright.facts import NoRow, constant, look_up, look_up_at_least
from ampwright.job.paths import unseen
from ampwright.job.record import Job, Section
from ampwright.physics.faults import withstand_a2s
from ampwright.rules.gb.parts.adiabatic import (
    at_both_ends,
    fault_sizes,
    insulation,
    protective_k,
    protective_mm2,
    share,
    weakest,
)
from ampwright.rules.gb.parts.loop import (
    BREAKERS,
    LOOP,
    ask_for,
    circuit_rcd_gaps,
    cpc_gaps,
    device_gaps,
    device_words,
    loop_gaps,
    open_where_loose,
    up,
)
from ampwright.rules.gb.parts.route import CPCS, put_heading
from ampwright.rules.regulation import (
    Finding,
    ask,
    does_not_apply,
    for_the_designer,
    regulation,
    seen,
    settled,
    weigh,
)
from ampwright.working import Verdict, Working

SECTIONS = ("route[].cable.kind", "route[].cable.size_mm2", *CPCS)
SLOW = "does not clear this fault soon enough to reckon"
BACKED = ("supply.pfc_ka", "supply.cutout.rating_a")


@regulation(asks="Is the protective conductor thick enough for a fault at the charge point?", needs=SECTIONS)
def protective_conductor_size(job: Job) -> Finding:
    """Hold every section to the adiabatic equation at both ends of the loop that the survey allows."""
    gaps = _fault_gaps(job)
    if gaps:
        return ask_for(gaps)
    sheet, words = Working(), device_words(job.circuit.device)
    ends, harder = at_both_ends(job)
    sizes = fault_sizes(job, harder, sheet)
    if sizes is None:
        return for_the_designer(f"{words} {SLOW}: see to the loop first.", sheet)
    passes = [each is not None and share(each) <= 1 for each in ends]
    number = weakest(sizes)
    need_mm2, has_mm2 = sizes[number]
    says = f"{job.route[number].name} is weakest: a fault calls for {up(need_mm2)} mm², and it has {has_mm2:g} mm²."
    if None in ends:
        says = f"{says} At the other end of the survey {words} {SLOW}."
    finding = weigh(best=any(passes), worst=all(passes), says=says, sheet=sheet)
    return open_where_loose(finding, job, LOOP)


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
    ends, harder = at_both_ends(job)
    by_table = {number: _by_table_mm2(job.route[number], number + 1, sheet) for number in numbers}
    by_sum = fault_sizes(job, harder, sheet)
    has = {number: protective_mm2(job.route[number], number + 1, Working()) for number in numbers}
    passes = [all(min(by_table[each], sizes[each][0] if sizes else math.inf) <= has[each] for each in numbers)
              for sizes in ends]  # fmt: skip
    number = max(numbers, key=lambda each: by_table[each] / has[each])
    sums = f"{up(by_sum[number][0], 1)} mm²" if by_sum else "no size can be shown"
    says = (f"{job.route[number].name}: by the table {up(by_table[number], 1)} mm² of steel is wanted, "
            f"by calculation {sums}, and the armour has {has[number]:g} mm².")  # fmt: skip
    return open_where_loose(weigh(best=any(passes), worst=all(passes), says=says, sheet=sheet), job, LOOP)


@regulation(
    asks="Can the device break the fault current at the board?",
    needs=("supply.pfc_ka", "circuit.device.breaking_ka"),
)
def device_breaking_capacity(job: Job) -> Finding:
    """Compare the highest fault current with the device alone, then with the board behind the cut-out."""
    sheet = Working()
    fault = seen(job.supply.pfc_ka)
    fault_ka = sheet.given("Ipf", fault.high, fault.basis)
    breaks_ka = sheet.given("Ibreak", seen(job.circuit.device.breaking_ka), "marked on the device")
    says = f"{up(fault_ka)} kA may flow at the board; the device breaks {breaks_ka:g} kA."
    cautions = ("supplier_seals", "live_test")
    if fault_ka <= breaks_ka:
        return settled(True, says, sheet, cautions)
    gaps = unseen(job, ("supply.cutout.kind", "supply.cutout.rating_a", "installation.board_withstand_ka"))
    if gaps:
        return Finding(Verdict.NOT_YET_KNOWN, f"{says} The cut-out may back it up.", gaps, sheet.steps, cautions)
    return open_where_loose(_behind_the_cutout(job, says, sheet, cautions), job, BACKED)


def _behind_the_cutout(job: Job, says: str, sheet: Working, cautions: tuple[str, ...]) -> Finding:
    """The board's conditional rating holds for its maker's own devices behind a fuse that is no larger than stated."""
    sheet.heading("Behind the cut-out")
    rating, fault = seen(job.supply.cutout.rating_a), seen(job.supply.pfc_ka)
    breaks_ka, board_ka = seen(job.circuit.device.breaking_ka), seen(job.installation.board_withstand_ka)
    most_a = sheet.fact("Imax", constant("gb/protection_limits", "conditional_cutout_to"))
    sheet.given("Icut", rating.high, rating.basis)
    sheet.given("Icond_1", board_ka, "marked on the board")
    known_ka = sheet.fact("Icond_2", constant("gb/fault_current", "consumer_unit_conditional"))
    holds_ka = sheet.step("Icond = min(Icond_1, Icond_2)", min(board_ka, known_ka))
    fused = job.supply.cutout.kind != "bs3036"
    worst = fused and rating.high <= most_a and fault.high <= holds_ka
    best = fault.low <= breaks_ka or (fused and rating.low <= most_a and fault.low <= holds_ka)
    says = (f"{says} Behind a cartridge fuse of {most_a:g} A or less, here {rating.high:g} A, the board with its "
            f"maker's own devices is good for {holds_ka:g} kA.")  # fmt: skip
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
