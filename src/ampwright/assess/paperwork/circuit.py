"""Boxes about the demand, the circuit and the charge point: what the rules of the book work out, in their words."""

from __future__ import annotations

from ampwright.assess.paperwork.desk import Desk, Fill, Filled, printed, told, under
from ampwright.assess.paperwork.survey import standard_of
from ampwright.assess.turning_words import with_unit
from ampwright.facts import NoRow
from ampwright.job.paths import unseen
from ampwright.job.record import Job, Section
from ampwright.reading import WORST
from ampwright.rules.gb.labels import labels_wanted
from ampwright.rules.gb.network import demand_basis
from ampwright.rules.gb.parts.demand import DEMAND, LineDemand, missing, worst_of
from ampwright.rules.gb.parts.recorded import larger_demands
from ampwright.rules.gb.parts.route import cpc_size_mm2
from ampwright.working import Verdict, Working, down, shown, up

OPEN = Verdict.NOT_YET_KNOWN
DRILL, LOOP, TT_LOOP = "drilling_hazards", "disconnection_in_time", "rcd_fault_protection_tt"


def sheet(desk: Desk, words: str) -> Filled:
    """`rule symbol unit`: a number on a rule's sheet."""
    rule, symbol, unit = words.split()
    value = desk.symbol(rule, symbol)
    return Filled(None if value is None else f"{shown(value)} {unit}")


def _worst(job: Job) -> LineDemand | None:
    if unseen(job, DEMAND) or missing(job):
        return None
    return worst_of(larger_demands(job, WORST, Working()))


def demand(desk: Desk, symbol: str) -> Filled:
    """The demand of the line with most to carry: the house alone, or with the car, with and without a load cap."""
    worst = _worst(desk.job)
    if worst is None:
        return Filled(None)
    if symbol == "Ihouse":
        return Filled(f"{up(worst.house_a, 1)} A")
    counts = worst.held_a < worst.plain_a and desk.check("load_cap_stands").verdict is Verdict.MET
    held = f" ({up(worst.held_a, 1)} A with the load cap)" if counts else ""
    return Filled(f"{up(worst.plain_a, 1)} A{held}")


def demand_kva(desk: Desk, symbol: str) -> Filled:
    """The same in kVA at the declared voltage, all phases at the load of the heaviest."""
    worst, supply = _worst(desk.job), desk.job.supply
    if worst is None or supply.phases is None:
        return Filled(None)
    amps = worst.house_a if symbol == "Ihouse" else worst.plain_a
    return Filled(f"{up(amps * supply.declared_v * supply.phases / 1000, 1)} kVA")


def demand_method(desk: Desk, _: str) -> Filled:
    """By diversity, or by a year of half-hourly readings where that is more."""
    return Filled(None if _worst(desk.job) is None else demand_basis(desk.job).strip() or "by diversity",
                  under(desk.job, "installation.loads[]; supply.phases; storage"))  # fmt: skip


def demand_of_charge_points(desk: Desk, _: str) -> Filled:
    """The new one and those that stand there, none reduced by diversity."""
    new_a, loads = desk.symbol("device_carries_design_current", "Ib"), desk.job.installation.loads
    if new_a is None or loads is None:
        return Filled(None)
    there = [each.current_a for each in loads if each.purpose == "ev_charge_point"]
    if any(each is None for each in there):
        return Filled(None)
    return Filled(f"{up(new_a + sum(each.high for each in there if each is not None), 1)} A")


def network_route(desk: Desk, _: str) -> Filled:
    """Notify after, or apply before, and why."""
    check = desk.check("network_notice")
    return Filled(None if check.verdict is OPEN else check.says)


def load_cap_words(desk: Desk, _: str) -> Filled:
    """Limit, what happens when the signal is lost, and who can change it."""
    cap = desk.job.charge_point.load_cap
    if cap.fitted is False:
        return Filled("no load cap")
    if cap.fitted is None or cap.limit_a is None or cap.fails_safe is None or cap.locked_from_customer is None:
        return Filled(None)
    lost = f"falls to {cap.fallback_a:g} A" if cap.fallback_a is not None else "falls to a safe current"
    falls = lost if cap.fails_safe else "does NOT fall back"
    may = "cannot" if cap.locked_from_customer else "CAN"
    words = f"holds the supply to {cap.limit_a:g} A; {falls} when its sensor is lost; the customer {may} change it"
    return Filled(words)


def length(desk: Desk, _: str) -> Filled:
    """All stretches together."""
    lengths = [each.length_m for each in desk.job.route]
    known = [each for each in lengths if each is not None]
    low_m, high_m = sum(each.low for each in known), sum(each.high for each in known)
    words = f"{low_m:g} m" if low_m == high_m else f"{low_m:g} to {high_m:g} m"
    whole = bool(known) and len(known) == len(lengths)
    return Filled(words if whole else None, under(desk.job, "route[].length_m") or ("route",))


def route(desk: Desk, _: str) -> Filled:
    """The stretches by name, from the board outward."""
    words = "; ".join(each.name for each in desk.job.route)
    return Filled(words or None, under(desk.job, "route[].name") or ("route",))


def holes(desk: Desk, _: str) -> Filled:
    """What the stretches pass through; a route that passes through nothing has none."""
    words = "; ".join(hole for each in desk.job.route for hole in each.through)
    if not desk.job.route:
        return Filled(None, ("route",))
    return Filled(words or "none", under(desk.job, "route[].through"))


def cable(desk: Desk, what: str) -> Filled:
    """Kind, size or reference method of each stretch, what is alike told once."""
    sections = desk.job.route
    path = {"kind": "cable.kind", "size": "cable.size_mm2", "method": "method"}[what]
    found = [_of_cable(each, what) for each in sections]
    paths = under(desk.job, f"route[].{path}") or ("route",)
    return Filled(_alike(found), paths)


def _of_cable(section: Section, what: str) -> str | None:
    if what == "method":
        return section.method
    if what == "kind":
        return None if section.cable.kind is None else printed(section.cable.kind)
    return None if section.cable.size_mm2 is None else f"{section.cable.size_mm2:g} mm²"


def _alike(found: list[str | None]) -> str | None:
    known = [each for each in found if each is not None]
    return "; ".join(dict.fromkeys(known)) if known and len(known) == len(found) else None


def cpc(desk: Desk, _: str) -> Filled:
    """Size of the core, or that it is the armour."""
    paths = under(desk.job, "route[].cable.cpc; route[].cable.cpc_mm2; route[].cable.size_mm2; route[].cable.kind")
    return Filled(_alike([_cpc(number, each) for number, each in enumerate(desk.job.route)]), paths or ("route",))


def _cpc(number: int, section: Section) -> str | None:
    made = section.cable
    if made.cpc is None or made.size_mm2 is None or made.kind is None:
        return None
    if made.cpc == "armour":
        return f"the armour of the {made.size_mm2:g} mm² cable"
    if made.kind.startswith("singles") and made.cpc_mm2 is None:
        return None
    try:
        size = f"{cpc_size_mm2(section, number, Working()):g} mm²"
    except NoRow:
        return None
    return size if made.cpc == "core" else f"{size} and the armour"


def circuit_words(desk: Desk, _: str) -> Filled:
    """What the chart at the board says."""
    place = desk.job.charge_point.place
    return Filled(f"charge point, {place}" if place else None, ("charge_point.place",))


def device(desk: Desk, what: str) -> Filled:
    """Standard, or type: the curve of a circuit-breaker, the class of a fuse."""
    made = desk.job.circuit.device
    value = standard_of(made.kind, what)
    if what == "type" and made.kind in ("mcb", "rcbo"):
        return Filled(made.curve, ("circuit.device.kind", "circuit.device.curve"))
    return Filled(value or None, ("circuit.device.kind",))


def rcd(desk: Desk, what: str) -> Filled:
    """Of the RCD at the origin of the circuit, else of the charge point's own."""
    circuit, point = desk.job.circuit, desk.job.charge_point
    own = circuit.rcd.fitted is False and bool(point.rcd.fitted)
    group, found = ("charge_point.rcd", point.rcd) if own else ("circuit.rcd", circuit.rcd)
    one_piece = circuit.device.kind == "rcbo" and not own
    paths = ("circuit.rcd.fitted", "circuit.device.kind", *(("charge_point.rcd.fitted",) if own else ()))
    if not found.fitted:
        return Filled(None, paths)
    if what == "standard":
        return Filled("by the charge point's own standard" if own else
                      standard_of("rcbo" if one_piece else "rccb", what), paths)  # fmt: skip
    if what == "rated_a" and one_piece:
        rating_a = circuit.device.rating_a
        return Filled(None if rating_a is None else f"{rating_a:g} A", (*paths, "circuit.device.rating_a"))
    value = getattr(found, what)
    return Filled(None if value is None else told(what, value), (*paths, f"{group}.{what}"))


def factors(desk: Desk, _: str) -> Filled:
    """Every factor on the sheet of the weakest stretch."""
    check = desk.check("cable_carries_device_rating")
    found = {step.symbol: step.value for step in check.working
             if step.unit == "ratio" and step.symbol.startswith("C") and step.value is not None}  # fmt: skip
    words = ", ".join(f"{name} {value:g}" for name, value in found.items())
    return Filled(words or None if check.verdict is not OPEN else None)


def greatest_loop(desk: Desk, _: str) -> Filled:
    """The greatest Zs for the device, or with an RCD on a TT system the greatest that it allows."""
    for rule, symbol in ((LOOP, "Zmax"), (TT_LOOP, "Zmax"), (TT_LOOP, "RAmax")):
        value = desk.symbol(rule, symbol)
        if value is not None:
            return Filled(f"{down(value)} Ω")
    return Filled(None)


def disconnection_time(desk: Desk, _: str) -> Filled:
    """The longest that the supply's earthing allows."""
    value = desk.symbol(LOOP, "tmax") or desk.symbol(TT_LOOP, "tmax")
    return Filled(None if value is None else f"{value:g} s")


def volt_drop(desk: Desk, _: str) -> Filled:
    """In volts and per cent of the declared voltage."""
    drop_v, supply_v = desk.symbol("voltage_drop", "Vd"), desk.symbol("voltage_drop", "U0")
    if drop_v is None or supply_v is None:
        return Filled(None)
    return Filled(f"{up(drop_v)} V, {up(100 * drop_v / supply_v)} %")


def adiabatic(desk: Desk, _: str) -> Filled:
    """The rule's answer on the protective conductor."""
    check = desk.check("protective_conductor_size")
    return Filled(None if check.verdict is OPEN else f"{check.verdict.value}: {check.says}")


def charge_point_kw(desk: Desk, _: str) -> Filled:
    """By its rated current, its phases and the declared voltage."""
    point, paths = desk.job.charge_point, ("charge_point.rated_a", "charge_point.phases", "supply.declared_v")
    power_kw = rated_kw(desk.job)
    return Filled(None if power_kw is None or point.phases is None else f"{power_kw:.2f} kW", paths)


def rated_kw(job: Job) -> float | None:
    """What the charge point can give at the declared voltage."""
    point = job.charge_point
    if point.rated_a is None or point.phases is None:
        return None
    return point.rated_a * point.phases * job.supply.declared_v / 1000


def set_current(desk: Desk, _: str) -> Filled:
    """What it is set to; where nothing lower is set, its rating."""
    point = desk.job.charge_point
    path = "charge_point.rated_a" if point.set_a is None else "charge_point.set_a"
    value = point.rated_a if point.set_a is None else point.set_a
    return Filled(None if value is None else with_unit("a", f"{value:g}"), (path,))


def hazards(desk: Desk, _: str) -> Filled:
    """What was seen on site, then what to mind by the cautions of drilling, digging and gas."""
    seen_there = desk.job.site.hazards
    cautions = [each.split(". ")[0].rstrip(".") for rule in (DRILL, "gas_separation")
                for each in desk.check(rule).cautions]  # fmt: skip
    words = ". ".join((seen_there, *dict.fromkeys(cautions))) if seen_there is not None else None
    return Filled(words, ("site.hazards",))


def labels(desk: Desk, _: str) -> Filled:
    """Where each goes and what it says."""
    if desk.check("labels_to_fix").verdict is OPEN:
        return Filled(None, desk.check("labels_to_fix").needs)
    return Filled("; ".join(f"{place}: {wording}" for place, wording in labels_wanted(desk.job)))


CIRCUIT: dict[str, Fill] = {each.__name__: each for each in (
    sheet, demand, demand_kva, demand_method, demand_of_charge_points, network_route, load_cap_words, length, route,
    holes, cable, cpc, circuit_words, device, rcd, factors, greatest_loop, disconnection_time, volt_drop, adiabatic,
    charge_point_kw, set_current, hazards, labels,
)}  # fmt: skip
