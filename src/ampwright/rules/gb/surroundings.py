"""What lies around the work: gas beside the cable, and what a drill, a spade or a rod may meet."""

from __future__ import annotations

from ampwright.facts import cited, constant, look_up, look_up_text, rows
from ampwright.job.drawn_gas import gas_beside, gas_drawn
from ampwright.job.paths import unseen
from ampwright.job.record import Job
from ampwright.reading import Reading
from ampwright.rules.gb.parts.carrying import BURIED
from ampwright.rules.regulation import (
    Finding,
    ask,
    does_not_apply,
    for_the_designer,
    open_where_loose,
    regulation,
    weigh,
)
from ampwright.working import Fact, Working, capital, down

_GAS = "gb/gas_separation"
_PIPE = "site.gas.pipe_to_cable_mm"
_METER = "site.gas.meter_to_equipment_mm"
_SWITCHING = ("meter_cutout_consumer_unit_isolator", "switch_or_socket")


@regulation(asks="Is everything far enough from the gas?", needs=("site.gas.fitted",))
def gas_separation(job: Job) -> Finding:
    """Nearest distances against the largest figure that any source gives; sources disagree on switches. Gas that the
    sketch draws is judged too."""
    gas, drawn = job.site.gas, gas_drawn(job.sketch)
    if not gas.fitted and not drawn:
        return does_not_apply("There is no gas on the premises.")
    sheet = Working()
    pipe = _against(sheet, ("dpipe", "dpipemin"), gas.pipe_to_cable_mm, ("cable",))
    meter = _against(sheet, ("dmeter", "dmetermin"), gas.meter_to_equipment_mm, _SWITCHING)
    gaps = unseen(job, (_PIPE, _METER))
    beside, near = _beside(job, sheet, meter[2])
    said = (_denied(gas.fitted, drawn), *beside, _says("The gas pipe", "the cable", gas.pipe_to_cable_mm, pipe[2]),
            _says("The gas meter", "the equipment", gas.meter_to_equipment_mm, meter[2]))  # fmt: skip
    says = " ".join(filter(None, said))
    if gaps and pipe[1] and meter[1] and not near:
        return ask(*gaps, says=says or "This was not looked at yet.")
    worst, best = pipe[0] and meter[0] and not near, pipe[1] and meter[1] and not near
    says = f"{says}{_large_pipe(gas.pipe_to_cable_mm)}"
    if not best:
        says = f"{says} Move them apart, or set an insulating barrier between."
    finding = weigh(best=best, worst=worst, says=says, sheet=sheet, cautions=("gas",))
    return open_where_loose(finding, job, (_PIPE, _METER))


@regulation(asks="What must be looked for before drilling or digging?", needs=("route",))
def drilling_hazards(job: Job) -> Finding:
    """Every hole, trench, rod and fixing of the job, and the cautions that go with it."""
    holes, below = _holes(job), _below_ground(job)
    if not holes and not below:
        return ask(*unseen(job, ("charge_point.mounting", "route[].method")),
                   says="Say how it is fixed and how the cable runs: no hole and no trench is named yet.")  # fmt: skip
    sheet = Working()
    for each in (*holes, *below):
        sheet.remark(each)
    cautions = _in_walls(job, sheet) if holes else ()
    if below or unseen(job, ("route[].method",)):
        cautions = (*cautions, "buried_services")
    count = len(holes) + len(below)
    says = f"{count} place{'s' if count > 1 else ''} to look at first: {'; '.join((*holes, *below))}."
    return for_the_designer(says, sheet, cautions)


def _beside(job: Job, sheet: Working, wanted_mm: float) -> tuple[tuple[str, ...], bool]:
    """What is said of gas that the sketch draws nearer to the board or the charge point than is wanted, and whether any
    is."""
    near = []
    for each in gas_beside(job.sketch):
        sheet.remark(f"by the sketch: {each.gas} to {each.equipment} {down(each.gap_mm, 0)} mm")
        if each.gap_mm < wanted_mm:
            near.append(f"{capital(each.gas)} is drawn {down(each.gap_mm, 0)} mm from the {each.equipment}; "
                        f"{wanted_mm:g} mm is wanted.")  # fmt: skip
    return tuple(near), bool(near)


def _denied(fitted: bool | None, drawn: tuple[str, ...]) -> str:
    """What is said where the record denies gas that the sketch draws."""
    if fitted or not drawn:
        return ""
    return f"The record says that there is no gas, but the sketch draws {' and '.join(drawn)}: correct one of them."


def _against(sheet: Working, symbols: tuple[str, str], distance_mm: Reading | None,
             equipment: tuple[str, ...]) -> tuple[bool, bool, float]:  # fmt: skip
    """Whether the nearest and the furthest end keep the distance, and the distance. Unread counts as kept."""
    said = [row for row in rows(_GAS) if row["equipment"] in equipment]
    for row in said:
        name = row["equipment"].replace("_", " ")
        sheet.remark(f"{name}: {row['distance_mm']} mm ({row['said_by'].replace('_', ' ')}, {cited(row)})")
    largest = max(said, key=lambda row: float(row["distance_mm"]))
    fact: Fact = look_up(_GAS, "distance_mm", equipment=largest["equipment"], said_by=largest["said_by"])
    wanted_mm = sheet.fact(symbols[1], fact)
    if distance_mm is None:
        return True, True, wanted_mm
    near_mm = sheet.given(symbols[0], distance_mm.low, distance_mm.basis)
    return near_mm >= wanted_mm, distance_mm.high >= wanted_mm, wanted_mm


def _says(what: str, other: str, distance_mm: Reading | None, wanted_mm: float) -> str:
    if distance_mm is None:
        return ""
    return f"{what} is {down(distance_mm.low, 0)} mm from {other}; {wanted_mm:g} mm is wanted."


def _large_pipe(distance_mm: Reading | None) -> str:
    large_mm = look_up(_GAS, "distance_mm", equipment="cable_beside_pipe_over_35_mm", said_by="quote_of_2005").value
    if distance_mm is None or distance_mm.low >= large_mm:
        return ""
    return f" For a pipe over 35 mm it is {large_mm:g} mm."


def _holes(job: Job) -> tuple[str, ...]:
    found = [f"the hole for {section.name} ({'; '.join(section.through)})" for section in job.route if section.through]
    if job.charge_point.mounting == "wall":
        found.append("fixings of the charge point in the wall")
    return tuple(found)


def _below_ground(job: Job) -> tuple[str, ...]:
    found = [f"the trench for {section.name}" for section in job.route if section.method in BURIED]
    if job.charge_point.mounting == "post":
        found.append("the foot of the post")
    if job.circuit.earthed_by == "own electrode" or job.electrode.fitted:
        found.append("the earth electrode")
    elif job.charge_point.open_pen == "measuring electrode":
        found.append("the measuring electrode")
    return tuple(found)


def _in_walls(job: Job, sheet: Working) -> tuple[str, ...]:
    built = job.site.built_year
    free_from = constant("gb/site_limits", "asbestos_free_from").value
    gas = ("gas",) if job.site.gas.fitted is not False or gas_drawn(job.sketch) else ()
    if built is not None and built.low >= free_from:
        return ("drilling", "dust", *gas)
    when = "nobody knows when" if built is None else built.basis if not built.exact else f"{built.low:g}"
    note = look_up_text("gb/site_limits", "note", name="asbestos_free_from")
    sheet.remark(f"Built: {when}. {capital(note)}.")
    return ("drilling", "dust", "asbestos", *gas)
