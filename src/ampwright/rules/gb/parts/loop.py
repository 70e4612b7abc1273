"""The earth fault loop from the supply to the charge point, and who clears a fault in it."""

from __future__ import annotations

from ampwright.facts import look_up
from ampwright.job.paths import at, unseen
from ampwright.job.record import Device, Job, Rcd, Section
from ampwright.physics.conductors import parallel_ohm
from ampwright.physics.faults import loop_ohm
from ampwright.reading import End
from ampwright.rules.gb.parts.route import CABLES, CPCS, cpc_ohm, cpc_size_mm2, line_ohm, put_heading
from ampwright.rules.regulation import Finding, ask, does_not_apply, seen
from ampwright.working import Working

EARTHED = ("supply.earthing", "circuit.earthed_by")
DEVICE = ("circuit.device.kind", "circuit.device.rating_a")
LOOP = ("supply.ze_ohm", *CABLES, *CPCS)
BREAKERS = ("mcb", "rcbo")
ARMOURED = ("armoured_70c", "armoured_90c")


def on_electrode(job: Job) -> bool | None:
    """Whether the charge point's earth is the house's own electrode; None while nobody has looked."""
    if job.supply.earthing == "TT" or job.circuit.earthed_by == "own electrode":
        return True
    return None if unseen(job, EARTHED) else False


def not_on_electrode(job: Job) -> Finding | None:
    """Why a question about an electrode does not arise, or what must be known first; None where it does arise."""
    electrode = on_electrode(job)
    if electrode is None:
        return ask(*unseen(job, EARTHED))
    return None if electrode else does_not_apply("The charge point is earthed by the supply, not by an electrode.")


def device_gaps(job: Job) -> tuple[str, ...]:
    """What must be found out of the overcurrent device; the curve only of a circuit-breaker."""
    gaps = unseen(job, DEVICE)
    curve = unseen(job, ("circuit.device.curve",)) if job.circuit.device.kind in BREAKERS else ()
    return (*gaps, *curve)


def device_row(job: Job) -> tuple[str, str]:
    """The device and curve under which the tables have it: an RCBO stands with the circuit-breakers."""
    device = job.circuit.device
    if device.kind in BREAKERS:
        return "mcb", seen(device.curve)
    return seen(device.kind), "-"


def device_words(device: Device) -> str:
    """ "32 A type B" or "32 A BS 88-3 fuse"."""
    if device.kind in BREAKERS:
        return f"{device.rating_a:g} A type {device.curve}"
    return f"{device.rating_a:g} A {seen(device.kind).upper().replace('_', '-').replace('BS', 'BS ')} fuse"


def cpc_gaps(job: Job) -> tuple[str, ...]:
    """What must be found out of the protective conductors: armour wants its cores and a cable that has it,
    a separate conductor its size. A stretch of no length has no resistance, and so nothing to ask."""
    gaps = []
    for number, section in enumerate(job.route):
        cable = section.cable
        if cable.cpc in ("armour", "core and armour"):
            if cable.kind is not None and cable.kind not in ARMOURED:
                gaps.append(f"route[{number}].cable.cpc")
            elif cable.cores_count is None:
                gaps.append(f"route[{number}].cable.cores_count")
        if cable.kind is not None and cable.kind.startswith("singles") and cable.cpc_mm2 is None:
            gaps.append(f"route[{number}].cable.cpc_mm2")
    return tuple(gaps)


def loop_gaps(job: Job) -> tuple[str, ...]:
    """What must be found out before `earth_loop_ohm` can answer. A loop of nothing wants reading again."""
    nothing = ("supply.ze_ohm",) if job.supply.ze_ohm is not None and job.supply.ze_ohm.low <= 0 else ()
    return (*unseen(job, LOOP), *cpc_gaps(job), *nothing)


def earth_loop_ohm(job: Job, end: End, sheet: Working) -> float:
    """Zs in ohm at the charge point at one end of what the survey allows; conductors warm.

    Ask `loop_gaps` first. Raises NoRow for a size that the tables do not have.
    """
    r1_ohm, r2_ohm, parts = 0.0, 0.0, []
    for number, section in enumerate(job.route, start=1):
        put_heading(sheet, number, section)
        r1_ohm += line_ohm(section, number, end, sheet)
        r2_ohm += cpc_ohm(section, number, end, sheet)
        parts.append(f"R1_{number} + R2_{number}")
    sheet.heading("The earth fault loop")
    ze = seen(job.supply.ze_ohm)
    ze_ohm = sheet.given("Ze", end.more_hurts(ze), ze.basis)
    sheet.step(f"R1R2 = {' + '.join(parts)}", r1_ohm + r2_ohm)
    return sheet.step("Zs = Ze + R1R2", loop_ohm(ze_ohm=ze_ohm, r1_ohm=r1_ohm, r2_ohm=r2_ohm))


def tested_route_ohm(job: Job, end: End, tested_c: float, sheet: Working) -> float:
    """R1 + R2 in ohm of the whole route with every conductor at `tested_c`, as a dead test finds it.

    What `unseen(job, (*CABLES, *CPCS))` and `cpc_gaps` name must be known. Raises NoRow for a size not in the tables.
    """
    total_ohm, parts = 0.0, []
    for number, section in enumerate(job.route, start=1):
        put_heading(sheet, number, section)
        total_ohm += line_ohm(section, number, end, sheet, tested_c) + cpc_ohm(section, number, end, sheet, tested_c)
        parts.append(f"R1_{number} + R2_{number}")
    return sheet.step(f"R1R2 = {' + '.join(parts)}", total_ohm)


def cold_loop_ohm(job: Job, end: End, sheet: Working) -> float:
    """The same loop in ohm with every conductor at 20 °C, as before the first charge: the larger current flows in it.

    Ask `loop_gaps` first. Raises NoRow for a size that the tables do not have.
    """
    route_ohm = 0.0
    for number, section in enumerate(job.route, start=1):
        sheet.heading(f"Section {number}, {section.name}, cold at 20 °C")
        route_ohm += _cold_ohm(section, number, end, sheet)
    sheet.heading("The earth fault loop, cold")
    ze = seen(job.supply.ze_ohm)
    ze_ohm = sheet.given("Ze", end.more_hurts(ze), ze.basis)
    parts = " + ".join(f"Rcold_{number}" for number in range(1, len(job.route) + 1))
    return sheet.step(f"Zscold = Ze + {parts}", loop_ohm(ze_ohm=ze_ohm, r1_ohm=route_ohm, r2_ohm=0))


def _cold_ohm(section: Section, number: int, end: End, sheet: Working) -> float:
    """Line and protective conductor of a section together: `r20_1` the line, `r20_2` the core, `r20_3` the armour."""
    cable, copper = section.cable, "iec/copper_resistance"
    line = sheet.fact("r20_1", look_up(copper, "r20_ohm_per_km", size_mm2=seen(cable.size_mm2)))
    back, symbols = [], []
    if cable.cpc != "armour":
        size_mm2 = cpc_size_mm2(section, number, sheet)
        back.append(sheet.fact("r20_2", look_up(copper, "r20_ohm_per_km", size_mm2=size_mm2)))
        symbols.append("r20_2")
    if cable.cpc != "core":
        armour = look_up("gb/armour_resistance", "r20_ohm_per_km", cores_count=seen(cable.cores_count),
                         size_mm2=seen(cable.size_mm2))  # fmt: skip
        back.append(sheet.fact("r20_3", armour))
        symbols.append("r20_3")
    length = seen(section.length_m)
    length_m = sheet.given("L", end.more_hurts(length), length.basis)
    there = symbols[0] if len(back) == 1 else "1 / (1 / r20_2 + 1 / r20_3)"
    back_ohm_per_km = back[0] if len(back) == 1 else parallel_ohm(*back)
    return sheet.step(f"Rcold_{number} = (r20_1 + {there}) / 1000 * L", (line + back_ohm_per_km) / 1000 * length_m)


def circuit_rcd(job: Job) -> tuple[str, Rcd | None]:
    """The RCD that sees a fault anywhere on the circuit's cable, and its path: the circuit's own, else one
    further up. One inside the charge point sees only what lies beyond it. None while none is known."""
    for path in ("circuit.rcd", "installation.upstream_rcd"):
        rcd: Rcd = at(job, path)
        if rcd.fitted:
            return path, rcd
    return "circuit.rcd", None


def circuit_rcd_gaps(job: Job) -> tuple[str, ...]:
    """What must be found out of that RCD; only whether there is one, where none is known."""
    path, rcd = circuit_rcd(job)
    if rcd is None:
        return unseen(job, ("circuit.rcd.fitted", "installation.upstream_rcd.fitted"))
    return unseen(job, (f"{path}.idn_ma", f"{path}.delayed"))


def ask_for(gaps: tuple[str, ...]) -> Finding:
    """Ask for what is missing, once each, and say so where a protective conductor cannot be."""
    paths = tuple(dict.fromkeys(gaps))
    if any(path.endswith(".cpc") for path in paths):
        return ask(*paths, says="Say what the protective conductor is: armour only of an armoured cable.")
    return ask(*paths)
