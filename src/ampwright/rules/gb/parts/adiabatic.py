"""What a fault to earth asks of the protective conductors: its current, its time, and what each one stands."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from ampwright.facts import NoRow, constant, look_up, rows
from ampwright.job.record import Job, Section
from ampwright.physics.faults import Curve, adiabatic_mm2, fault_current_a, operating_time_s
from ampwright.reading import BEST, WORST, End
from ampwright.rules.gb.parts.loop import (
    BREAKERS,
    circuit_rcd,
    cold_loop_ohm,
    device_row,
    device_words,
    earth_loop_ohm,
)
from ampwright.rules.gb.parts.route import cpc_size_mm2
from ampwright.rules.regulation import seen
from ampwright.working import Fact, Working

ENDS = ("Ifmin", "Ifmax")
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
    return cpc_size_mm2(section, number, sheet)


def protective_k(section: Section, sheet: Working, symbol: str = "k") -> float:
    """k of that conductor. Copper counts as lying in the cable, or bunched with it."""
    role, metal = ("armour", "steel") if section.cable.cpc == "armour" else ("cpc_in_cable", "copper")
    return sheet.fact(symbol, look_up("iec/k_factors", "k", role=role, material=metal, insulation=insulation(section)))


@dataclass(frozen=True, slots=True)
class Fault:
    """A fault current, by its symbol on the sheet, and the time that stands for it: None where nothing acts soon.

    `past_curve` where the fuse acts sooner than the last point known of it, whose time stands.
    """

    symbol: str
    current_a: float
    time_s: float | None
    by_rcd: bool = False
    past_curve: bool = False

    @property
    def heat(self) -> float:
        """I²t in A²s; infinite where nothing acts soon."""
        return math.inf if self.time_s is None else self.current_a**2 * self.time_s


@dataclass(frozen=True, slots=True)
class Faults:
    """Every fault current at the charge point that the survey allows, by its ends and its turning points.

    `far` and `near` are the same for the longest loop and for the shortest: with exact readings all are alike,
    and still a range, for conductors are cold or warm and the voltage is low or high.
    """

    every: tuple[Fault, ...]
    far: tuple[Fault, ...]
    near: tuple[Fault, ...]

    @property
    def hardest(self) -> Fault | None:
        """The one with most heat of those that are cleared; None if none is."""
        return max((each for each in self.every if each.time_s is not None), key=lambda each: each.heat, default=None)

    @property
    def all_cleared(self) -> bool:
        return all(each.time_s is not None for each in self.every)

    def weighed(self, stands: Callable[[Fault], bool]) -> tuple[bool, bool]:
        """Best and worst. Between turning points the heat only rises or only falls, so these points settle it.

        A best between the two loops lies at a point of a fuse's curve, or at a step in time that the least
        current of the shortest loop gets over.
        """
        worst = all(map(stands, self.every))
        if self.far == self.near:
            return worst, worst
        turns = [each for each in self.every if each.symbol not in ENDS
                 and (each.symbol == "Islow" or each.current_a <= self.near[0].current_a)]  # fmt: skip
        return all(map(stands, self.far)) or all(map(stands, self.near)) or any(map(stands, turns)), worst


def at_once(job: Job, fault: Fault) -> bool:
    """Whether a circuit-breaker trips at once on this fault, so that its energy class bounds the heat."""
    return in_breaker(job) and fault.time_s is not None and not fault.by_rcd


def faults(job: Job, sheet: Working) -> Faults:
    """The faults at the charge point: least current warm at Cmin, greatest cold at Cmax, and what lies between.

    Raises NoRow as the tables end. Ask `loop_gaps`, `device_gaps` and `circuit_rcd_gaps` first.
    """
    return Faults(_between(job, WORST, BEST, sheet), _between(job, WORST, WORST, Working()),
                  _between(job, BEST, BEST, Working()))  # fmt: skip


def sizes(job: Job, fault: Fault) -> Sizes:
    """For each section the mm² that a fault which is cleared calls for, and the mm² that it has."""
    return [(_need_mm2(fault, protective_k(section, Working())), protective_mm2(section, number, Working()))
            for number, section in enumerate(job.route, start=1)]  # fmt: skip


def put_sizes(job: Job, fault: Fault, sheet: Working) -> Sizes:
    """The same, written on the sheet that `faults` was written on."""
    _put_time(job, fault, sheet)
    for number, section in enumerate(job.route, start=1):
        sheet.heading(f"Section {number}, {section.name}")
        protective_mm2(section, number, sheet)
        k = protective_k(section, sheet)
        sheet.step(f"Smin_{number} = sqrt({fault.symbol} ** 2 * t) / k", _need_mm2(fault, k))
    return sizes(job, fault)


def share(sizes: Sizes) -> float:
    """What the weakest section wants, over what it has."""
    need_mm2, has_mm2 = sizes[weakest(sizes)]
    return need_mm2 / has_mm2


def weakest(sizes: Sizes) -> int:
    """The position of the section with least in hand."""
    return max(range(len(sizes)), key=lambda each: sizes[each][0] / sizes[each][1])


def _need_mm2(fault: Fault, k: float) -> float:
    return adiabatic_mm2(current_a=fault.current_a, time_s=seen(fault.time_s), k=k)


def _between(job: Job, longest: End, shortest: End, sheet: Working) -> tuple[Fault, ...]:
    """The least and the greatest current, and the points between them at which the time turns."""
    warm_ohm, cold_ohm = earth_loop_ohm(job, longest, sheet), cold_loop_ohm(job, shortest, sheet)
    sheet.heading("A fault at the charge point")
    u0_v = sheet.given("U0", job.supply.declared_v, "declared by the supplier")
    cmin = sheet.fact("Cmin", constant("gb/voltage_factor", "cmin", "c_ratio"))
    least_a = fault_current_a(voltage_v=u0_v, loop_ohm=warm_ohm, factor_ratio=cmin)
    sheet.step("Ifmin = Cmin * U0 / Zs", least_a)
    cmax = sheet.fact("Cmax", constant("gb/voltage_factor", "cmax", "c_ratio"))
    most_a = fault_current_a(voltage_v=u0_v, loop_ohm=cold_ohm, factor_ratio=cmax)
    sheet.step("Ifmax = Cmax * U0 / Zscold", most_a)
    if in_breaker(job):
        sheet.fact("Ia", _acts_at(job))
    symbol = "Ia" if in_breaker(job) else "Islow"
    points = _points(job)
    found = [_fault(job, "Ifmin", least_a), _fault(job, "Ifmax", most_a)]
    found += [_fault(job, symbol, point_a) for point_a, _ in points if least_a < point_a <= most_a]
    if least_a < points[0][0] <= most_a:
        found.append(_by_rcd(job, symbol, points[0][0]))
    _, rcd = circuit_rcd(job)
    if rcd is not None and least_a < seen(rcd.idn_ma) / 1000 <= most_a:
        found.append(_fault(job, "Idn", seen(rcd.idn_ma) / 1000))
    return tuple(found)


def in_breaker(job: Job) -> bool:
    """Whether the device is a circuit-breaker, which has one short time in its magnetic range; else a fuse."""
    return job.circuit.device.kind in BREAKERS


def _fault(job: Job, symbol: str, current_a: float) -> Fault:
    """The overcurrent device's time at this current; below its range only an RCD acts soon."""
    points = _points(job)
    if current_a < points[0][0]:
        return _by_rcd(job, symbol, current_a)
    past = not in_breaker(job) and current_a > points[-1][0]
    one = len(points) == 1
    time_s = points[0][1] if one else operating_time_s(current_a=current_a, points=points)
    return Fault(symbol, current_a, time_s, past_curve=past)


def _by_rcd(job: Job, symbol: str, current_a: float) -> Fault:
    _, rcd = circuit_rcd(job)
    if rcd is None or seen(rcd.idn_ma) / 1000 > current_a:
        return Fault(symbol, current_a, None)
    return Fault(symbol, current_a, _rcd_time(job).value / 1000, by_rcd=True)


def _rcd_time(job: Job) -> Fact:
    kind = "delay_s" if seen(circuit_rcd(job)[1]).delayed else "general"
    return look_up("gb/rcd_times", "max_ms", kind=kind, multiple_ratio=1)


def _acts_at(job: Job) -> Fact:
    device, curve = device_row(job)
    short_s = min(float(row["time_s"]) for row in rows("gb/max_zs") if row["device"] == device)
    rating_a = seen(job.circuit.device.rating_a)
    return look_up("gb/max_zs", "ia_a", device=device, curve=curve, rating_a=rating_a, time_s=short_s)


def _put_time(job: Job, fault: Fault, sheet: Working) -> None:
    """The time of a fault that is cleared, and the lines that show where it comes from."""
    if fault.by_rcd:
        just = "Just below this the" if fault.symbol not in ENDS else "The"
        if fault.symbol == "Islow":
            _put_point(job, _points(job)[0][1], "slow", sheet)
        sheet.remark(f"{just} current is too small for the device to act at once: the RCD clears it.")
        sheet.fact("trcd", _rcd_time(job))
        sheet.step("t = trcd / 1000", seen(fault.time_s))
        return
    if in_breaker(job):
        sheet.fact("t", constant("gb/protection_limits", "instantaneous_time"))
        return
    points = _points(job)
    slow_a, _ = _put_point(job, [each for each in points if each[0] <= fault.current_a][-1][1], "slow", sheet)
    above = [each for each in points if each[0] > fault.current_a]
    if not above or slow_a == fault.current_a:
        sheet.step("t = tslow", seen(fault.time_s))
        return
    _put_point(job, above[0][1], "quick", sheet)
    line = f"t = tslow * (tquick / tslow) ** (ln({fault.symbol} / Islow) / ln(Iquick / Islow))"
    sheet.step(line, seen(fault.time_s))


def _points(job: Job) -> Curve:
    if in_breaker(job):
        return ((_acts_at(job).value, constant("gb/protection_limits", "instantaneous_time").value),)
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
