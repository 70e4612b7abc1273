"""BS 7671 sections 433, 521 and 524: the device carries the car, the cable the device, on conductors that are there."""

from __future__ import annotations

from dataclasses import replace

from ampwright.facts import NoRow
from ampwright.job.paths import loose, unseen
from ampwright.job.record import Cable, Generation, Job, Storage
from ampwright.reading import BEST, WORST, End
from ampwright.rules.gb.parts.carrying import (
    BURIED,
    WHERE_LAID,
    carries_a,
    carrying_gaps,
    carrying_open,
    section_gaps,
    weakest_section,
)
from ampwright.rules.gb.parts.demand import within
from ampwright.rules.gb.parts.loop import ARMOURED, ask_for
from ampwright.rules.gb.parts.route import design_current_a, design_current_basis, design_current_if_locked_a
from ampwright.rules.regulation import Finding, ask, for_the_designer, regulation, seen, settled, weigh
from ampwright.working import Verdict, Working, down

COUNTED = (*ARMOURED, "multicore_70c")
AS_CORE = ("core", "core and armour")
SINGLES = ("singles_70c", "singles_90c")
BARE_IN_GROUND = {"flat_twin_and_earth": "Flat twin and earth", "singles_70c": "Single cores",
                  "singles_90c": "Single cores"}  # fmt: skip
SOURCES = {"generation": "the solar", "storage": "the battery"}


@regulation(
    asks="Does the protective device carry the charging current?",
    needs=("charge_point.rated_a", "circuit.device.rating_a"),
)
def device_carries_design_current(job: Job) -> Finding:
    """Ib, the charge point's setting, may not be above In, the device's rating."""
    sheet = Working()
    ib_a = sheet.given("Ib", design_current_a(job), design_current_basis(job))
    in_a = sheet.given("In", seen(job.circuit.device.rating_a), "marked on the device")
    sheet.remark("A car draws this for hours: where devices stand side by side, follow their maker.")
    says = f"The car draws up to {ib_a:g} A; the device is rated {in_a:g} A."
    lower_a = design_current_if_locked_a(job)
    if job.charge_point.set_locked_from_customer is None and lower_a <= in_a < ib_a:
        says = f"{says} Set to {lower_a:g} A it would do, if the customer cannot raise the setting."
        return replace(ask("charge_point.set_locked_from_customer", says=says), working=sheet.steps)
    return settled(ib_a <= in_a, says, sheet)


@regulation(asks="Has the charge point a circuit of its own?")
def circuit_of_its_own(job: Job) -> Finding:
    """No solar and no battery may share it. Where one is fitted, nobody having looked where, it is asked."""
    sharing = [words for name, words in SOURCES.items() if _shares(job, name)]
    if sharing:
        says = f"The charge point needs a circuit of its own: {' and '.join(sharing)} on it must be moved to another."
        return settled(False, says, Working(), ("two_supplies",))
    gaps = _sharing_gaps(job)
    if gaps:
        return ask(*gaps)
    return settled(True, "No solar and no battery is on the charge point's circuit.", Working())


@regulation(
    asks="Has the cable a conductor for every line, the neutral and the earth?",
    needs=("charge_point.phases", "supply.phases", "route[].cable.kind"),
)
def conductors_enough(job: Job) -> Finding:
    """A core each for the lines, the neutral (always counted) and the earth, unless armour or a bare cpc is the earth.

    Single cores are as many as are drawn in, so that they do not limit. A core too few fails whatever is unknown.
    """
    sheet = Working()
    supply_count = sheet.given("nsup", seen(job.supply.phases))
    lines_count = sheet.given("nline", seen(job.charge_point.phases))
    if lines_count > supply_count:
        lines = f"The charge point is for {lines_count:g} lines"
        return settled(False, f"{lines}; the supply has {supply_count:g}.", sheet)
    sheet.step("nlive = nline + 1", lines_count + 1)
    counted = [each for number in range(len(job.route)) if (each := _cores(job, number, sheet)) is not None]
    spare_count, says = min(counted, default=(0, "Single cores are drawn in, as many as are needed."))
    gaps = tuple(gap for number, section in enumerate(job.route) for gap in _core_gaps(job, number, section.cable))
    if gaps and spare_count >= 0:
        return ask_for(gaps)
    return settled(spare_count >= 0, says, sheet)


def _core_gaps(job: Job, number: int, cable: Cable) -> tuple[str, ...]:
    """What must be found out of a cable whose cores count; armour only where there is some."""
    if cable.kind not in COUNTED:
        singles = cable.kind in SINGLES and (cable.cpc is None or cable.cpc != "core")
        return (f"route[{number}].cable.cpc",) if singles else ()
    here = f"route[{number}].cable"
    bare = cable.cpc is not None and cable.cpc != "core" and cable.kind not in ARMOURED
    return (*unseen(job, (f"{here}.cores_count", f"{here}.cpc")), *((f"{here}.cpc",) if bare else ()))


def _cores(job: Job, number: int, sheet: Working) -> tuple[int, str] | None:
    """Cores to spare and the sentence on one section; None of single cores or where nobody counted.

    A protective conductor that nobody looked at takes no core: what fails then fails in any case.
    """
    section = job.route[number]
    cable, flat = section.cable, section.cable.kind == "flat_twin_and_earth"
    cores_count = 2 if flat else cable.cores_count
    if cores_count is None or not (flat or cable.kind in COUNTED):
        return None
    sheet.heading(f"Section {number + 1}, {section.name}")
    earth_count = 1 if cable.cpc in AS_CORE and not flat else 0
    earth = f"the earth is the {cable.cpc}" if cable.cpc else "nobody looked what the earth is"
    sheet.given("ncpc", earth_count, "its bare cpc is no core" if flat else earth)
    wanted_count = 1 + seen(job.charge_point.phases) + earth_count
    sheet.step(f"nwant_{number + 1} = nlive + ncpc", wanted_count)
    sheet.given(f"nhas_{number + 1}", cores_count, "flat twin and earth" if flat else "counted")
    lines = "a line" if job.charge_point.phases == 1 else f"{job.charge_point.phases} lines"
    wants = f"{lines}, the neutral and the earth" if earth_count else f"{lines} and the neutral"
    besides = " and its bare cpc" if flat else ""
    return cores_count - wanted_count, (f"The cable of one stretch ({section.name}) has {cores_count} cores{besides}; "
                                        f"{wanted_count} are needed, for {wants}.")  # fmt: skip


@regulation(
    asks="Can every stretch of cable carry what the device lets through?",
    needs=("circuit.device.kind", "circuit.device.rating_a", *WHERE_LAID),
)
def cable_carries_device_rating(job: Job) -> Finding:
    """In may not be above Iz of the weakest section, each with the factors for where it lies.

    A source on the circuit feeds the cable as well: its inverter's current is added to In.
    """
    bare = [section for section in job.route if section.cable.kind in BARE_IN_GROUND and section.method in BURIED]
    if bare:
        what = f"{BARE_IN_GROUND[seen(bare[0].cable.kind)]} ({bare[0].name})"
        return settled(False, f"{what} must not be buried: use armoured cable.", Working(), ("buried_services",))
    gaps = (*carrying_gaps(job), *_sharing_gaps(job), *_inverter_gaps(job))
    if gaps:
        return _too_small_whatever_the_rest(job) or ask(*gaps)
    sheet, best_sheet = Working(), Working()
    fed_a, best_fed_a = _fed_a(job, WORST, sheet), _fed_a(job, BEST, best_sheet)
    best_a, best_name = weakest_section(job, BEST, best_sheet)
    best = within(best_fed_a, best_a)
    try:
        worst_a, name = weakest_section(job, WORST, sheet)
    except NoRow as ends:
        if not best:
            return settled(False, _says(job, best_a, best_name, best_fed_a), best_sheet)
        sheet.remark(str(ends))
        says = "At the far end of what the survey allows the tables stop."
        return replace(ask(*carrying_open(job), *_inverters_open(job), says=says), working=sheet.steps)
    says = _says(job, worst_a, name, fed_a)
    finding = weigh(best=best, worst=within(fed_a, worst_a), says=says, sheet=sheet)
    if finding.verdict is not Verdict.NOT_YET_KNOWN:
        return finding
    unsettled = (*carrying_open(job), *_inverters_open(job))
    if not unsettled:
        return for_the_designer(f"{says} The table for its depth may allow it: see the book.", sheet)
    return replace(finding, needs=unsettled)


def _too_small_whatever_the_rest(job: Job) -> Finding | None:
    """Not met, where one stretch that was looked at fails at its best, whatever is unknown elsewhere; else None."""
    for number in range(1, len(job.route) + 1):
        if section_gaps(job, number):
            continue
        sheet = Working()
        fed_a = _fed_a(job, BEST, sheet)
        try:
            carried_a = carries_a(job, number, BEST, sheet)
        except NoRow:
            continue
        if not within(fed_a, carried_a):
            name = job.route[number - 1].name
            return settled(False, f"{_says(job, carried_a, name, fed_a)} That is at its best.", sheet)
    return None


def _says(job: Job, carried_a: float, name: str, fed_a: float) -> str:
    which = "The weakest stretch" if not carrying_gaps(job) else "One stretch"
    carries = f"{which} ({name}) carries {down(carried_a, 1)} A"
    in_a = seen(job.circuit.device.rating_a)
    if not any(_shares(job, source) for source in SOURCES):
        return f"{carries}; the device is rated {in_a:g} A."
    return f"{carries}; the {in_a:g} A device and the inverter on the circuit can feed it {fed_a:g} A."


def _source(job: Job, name: str) -> Generation | Storage:
    return job.generation if name == "generation" else job.storage


def _shares(job: Job, name: str) -> bool:
    source = _source(job, name)
    return source.on_charge_point_circuit is True and source.fitted is not False


def _sharing_gaps(job: Job) -> tuple[str, ...]:
    """What must be found out before it is known whether a source is on the charge point's circuit."""
    gaps = []
    for name in SOURCES:
        source = _source(job, name)
        if source.fitted is not False and source.on_charge_point_circuit is None:
            gaps.append(f"{name}.fitted" if source.fitted is None else f"{name}.on_charge_point_circuit")
    return tuple(gaps)


def _inverter_gaps(job: Job) -> tuple[str, ...]:
    return unseen(job, tuple(f"{name}.inverter_a" for name in SOURCES if _shares(job, name)))


def _inverters_open(job: Job) -> tuple[str, ...]:
    return loose(job, tuple(f"{name}.inverter_a" for name in SOURCES if _shares(job, name)))


def _fed_a(job: Job, end: End, sheet: Working) -> float:
    """What the device and the sources on the circuit can feed into its cable, A, as far as anybody looked."""
    fed_a, terms = sheet.given("In", seen(job.circuit.device.rating_a), "marked on the device"), ["In"]
    for symbol, name in zip(("Igen", "Isto"), SOURCES, strict=True):
        known = _source(job, name).inverter_a
        if known is not None and _shares(job, name):
            fed_a += sheet.given(symbol, end.more_hurts(known), known.basis)
            terms.append(symbol)
    return fed_a if len(terms) == 1 else sheet.step(f"Ifed = {' + '.join(terms)}", fed_a)
