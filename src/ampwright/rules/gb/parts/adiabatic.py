"""What a fault to earth asks of the protective conductors: its current, its time, and what each one stands."""

from __future__ import annotations

from ampwright.facts import NoRow, constant, look_up, rows
from ampwright.job.record import Job, Section
from ampwright.physics.faults import adiabatic_mm2, fault_current_a, operating_time_s
from ampwright.reading import BEST, WORST, End
from ampwright.rules.gb.parts.loop import BREAKERS, circuit_rcd, device_row, device_words, earth_loop_ohm
from ampwright.rules.gb.parts.route import cpc_size_mm2
from ampwright.rules.regulation import seen
from ampwright.working import Working

Sizes = list[tuple[float, float]]


def insulation(section: Section) -> str:
    """The temperature class of the cable, as the tables of k name it."""
    return "90c" if seen(section.cable.kind).endswith("90c") else "70c"


def protective_mm2(section: Section, number: int, sheet: Working) -> float:
    """The cross-section that stands for the protective conductor: the copper if any, else the armour.

    Raises NoRow where the armour's area is not known.
    """
    cable = section.cable
    if cable.cpc == "armour":
        fact = look_up("gb/armoured_dimensions", "armour_mm2", cores_count=seen(cable.cores_count),
                       size_mm2=seen(cable.size_mm2))  # fmt: skip
        return sheet.fact(f"S_{number}", fact)
    if cable.cpc == "core and armour":
        sheet.remark("The core is judged as if it carried the whole fault; the armour beside it takes its share.")
    basis = "the job" if cable.cpc_mm2 is not None else "the standard size of this cable"
    return sheet.given(f"S_{number}", cpc_size_mm2(section), basis)


def protective_k(section: Section, sheet: Working, symbol: str = "k") -> float:
    """k of that conductor. Copper counts as lying in the cable, or bunched with it."""
    role, metal = ("armour", "steel") if section.cable.cpc == "armour" else ("cpc_in_cable", "copper")
    return sheet.fact(symbol, look_up("iec/k_factors", "k", role=role, material=metal, insulation=insulation(section)))


def fault_sizes(job: Job, end: End, sheet: Working) -> Sizes | None:
    """For each section the mm² that a fault at the charge point calls for, and the mm² that it has.

    None where nothing on the circuit clears that fault within what the equation serves. Raises NoRow
    as the tables end. Ask `loop_gaps`, `device_gaps` and `circuit_rcd_gaps` first.
    """
    loop_ohm = earth_loop_ohm(job, end, sheet)
    sheet.heading("A fault at the charge point")
    in_breaker = job.circuit.device.kind in BREAKERS
    found = (_breaker if in_breaker else _fuse)(job, loop_ohm, sheet)
    if found is None:
        return None
    symbol, current_a, time_s = found
    return [_section(section, number, symbol, current_a, time_s, sheet)
            for number, section in enumerate(job.route, start=1)]  # fmt: skip


def at_both_ends(job: Job) -> tuple[tuple[Sizes | None, Sizes | None], End]:
    """`fault_sizes` at the worst and the best end of the loop, and the end that asks for more: a
    circuit-breaker is given one time, so the shorter loop with its larger current may be the harder."""
    ends = fault_sizes(job, WORST, Working()), fault_sizes(job, BEST, Working())
    harder = BEST if ends[0] is None or (ends[1] is not None and share(ends[1]) > share(ends[0])) else WORST
    return ends, harder


def share(sizes: Sizes) -> float:
    """What the weakest section wants, over what it has."""
    need_mm2, has_mm2 = sizes[weakest(sizes)]
    return need_mm2 / has_mm2


def weakest(sizes: Sizes) -> int:
    """The position of the section with least in hand."""
    return max(range(len(sizes)), key=lambda each: sizes[each][0] / sizes[each][1])


def _section(section: Section, number: int, symbol: str, current_a: float, time_s: float,
             sheet: Working) -> tuple[float, float]:  # fmt: skip
    sheet.heading(f"Section {number}, {section.name}")
    has_mm2 = protective_mm2(section, number, sheet)
    k = protective_k(section, sheet)
    need_mm2 = adiabatic_mm2(current_a=current_a, time_s=time_s, k=k)
    return sheet.step(f"Smin_{number} = sqrt({symbol} ** 2 * t) / k", need_mm2), has_mm2


def _breaker(job: Job, loop_ohm: float, sheet: Working) -> tuple[str, float, float] | None:
    """In its magnetic range a circuit-breaker is given one short time; below it, only an RCD acts soon."""
    u0_v = sheet.given("U0", job.supply.declared_v, "declared by the supplier")
    current_a = sheet.step("If = U0 / Zs", fault_current_a(voltage_v=u0_v, loop_ohm=loop_ohm, factor_ratio=1))
    device, curve = device_row(job)
    rating_a = seen(job.circuit.device.rating_a)
    short_s = min(float(row["time_s"]) for row in rows("gb/max_zs") if row["device"] == device)
    ia_a = sheet.fact("Ia", look_up("gb/max_zs", "ia_a", device=device, curve=curve, rating_a=rating_a, time_s=short_s))
    if current_a >= ia_a:
        return "If", current_a, sheet.fact("t", constant("gb/protection_limits", "instantaneous_time"))
    _, rcd = circuit_rcd(job)
    if rcd is None or seen(rcd.idn_ma) / 1000 > current_a:
        sheet.remark("The current is too small for the device to act at once, and no RCD on the circuit would.")
        return None
    kind = "delay_s" if rcd.delayed else "general"
    sheet.remark("The current is too small for the device to act at once: the RCD clears it.")
    took_ms = sheet.fact("trcd", look_up("gb/rcd_times", "max_ms", kind=kind, multiple_ratio=1))
    return "If", current_a, sheet.step("t = trcd / 1000", took_ms / 1000)


def _fuse(job: Job, loop_ohm: float, sheet: Working) -> tuple[str, float, float] | None:
    """A fuse lets most through at the least current, so that is the one to take."""
    cmin = sheet.fact("Cmin", constant("gb/voltage_factor", "cmin", "c_ratio"))
    u0_v = sheet.given("U0", job.supply.declared_v, "declared by the supplier")
    least_a = fault_current_a(voltage_v=u0_v, loop_ohm=loop_ohm, factor_ratio=cmin)
    sheet.step("Ifmin = Cmin * U0 / Zs", least_a)
    points = _points(job)
    if least_a < points[0][0]:
        sheet.remark(f"At {least_a:.0f} A the fuse takes longer than the {points[0][1]:g} s known of it.")
        return None
    below = [each for each in points if each[0] <= least_a]
    above = [each for each in points if each[0] > least_a]
    slow = _put_point(job, below[-1][1], "slow", sheet)
    if not above:
        return "Ifmin", least_a, sheet.step("t = tslow", slow[1])
    quick = _put_point(job, above[0][1], "quick", sheet)
    time_s = operating_time_s(current_a=least_a, points=(slow, quick))
    line = "t = tslow * (tquick / tslow) ** (ln(Ifmin / Islow) / ln(Iquick / Islow))"
    return "Ifmin", least_a, sheet.step(line, time_s)


def _points(job: Job) -> list[tuple[float, float]]:
    device, rating_a = seen(job.circuit.device.kind), seen(job.circuit.device.rating_a)
    points = sorted((float(row["current_a"]), float(row["time_s"])) for row in rows("gb/fuse_points")
                    if row["device"] == device and float(row["rating_a"]) == rating_a)  # fmt: skip
    if not points:
        raise NoRow(f"gb/fuse_points has no point for a {device_words(job.circuit.device)}")
    return points


def _put_point(job: Job, time_s: float, which: str, sheet: Working) -> tuple[float, float]:
    device, rating_a = seen(job.circuit.device.kind), seen(job.circuit.device.rating_a)
    current = look_up("gb/fuse_points", "current_a", device=device, rating_a=rating_a, time_s=time_s)
    at_s = sheet.given(f"t{which}", time_s, "the fuse's curve")
    return sheet.fact(f"I{which}", current), at_s
