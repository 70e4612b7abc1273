"""What each stretch of the route carries where it lies: It x Ca x Cg x Ci x Cf x Cs x Cd."""

from __future__ import annotations

import math

from ampwright.facts import constant, look_up, look_up_at_least, rows
from ampwright.job.paths import loose, unseen
from ampwright.job.record import Job, Section
from ampwright.reading import End, Reading
from ampwright.rules.gb.parts.route import loaded_count, put_heading
from ampwright.rules.regulation import seen
from ampwright.working import Fact, Working

WHERE_LAID = ("charge_point.phases", "route[].cable.kind", "route[].cable.size_mm2", "route[].method")
TERMINALS = "circuit.terminals_c"
BURIED = ("D",)
RATED_IN_INSULATION = ("100", "101", "102", "103")
LAYERED = ("C", "E", "F")
COOLER_TABLE = {"armoured_90c": "armoured_70c", "singles_90c": "singles_70c"}


def carrying_gaps(job: Job) -> tuple[str, ...]:
    """What must be found out, beyond `WHERE_LAID`, before `weakest_section` can answer."""
    return tuple(gap for number in range(1, len(job.route) + 1) for gap in section_gaps(job, number))


def section_gaps(job: Job, number: int) -> tuple[str, ...]:
    """The same of one section, counted from 1, before `carries_a` can answer."""
    return unseen(job, _read(number - 1, job.route[number - 1]))


def carrying_open(job: Job) -> tuple[str, ...]:
    """The readings of those that are ranges, and the terminals where they decide and nobody looked."""
    wide = tuple(path for number, section in enumerate(job.route) for path in loose(job, _read(number, section)))
    hot = any(section.cable.kind in COOLER_TABLE for section in job.route)
    return (*wide, *(unseen(job, (TERMINALS,)) if hot else ()))


def weakest_section(job: Job, end: End, sheet: Working) -> tuple[float, str]:
    """Iz in ampere of the stretch that carries least, and its name. Raises NoRow beyond the tables."""
    found = [(carries_a(job, number, end, sheet), section.name) for number, section in enumerate(job.route, start=1)]
    sheet.heading("The whole route")
    parts = ", ".join(f"Iz_{number}" for number in range(1, len(found) + 1))
    least = min(found, key=lambda each: each[0])
    sheet.step(f"Iz = min({parts})" if len(found) > 1 else f"Iz = {parts}", least[0])
    return least


def carries_a(job: Job, number: int, end: End, sheet: Working) -> float:
    """Iz in ampere of one section. Raises NoRow for a size, method or condition that no table has."""
    section = job.route[number - 1]
    put_heading(sheet, number, section)
    table = rated_as(job, section, end)
    if table != section.cable.kind:
        known = job.circuit.terminals_c is not None
        terminals = "The terminals are for 70 °C" if known else "The terminals are not known to bear 90 °C"
        sheet.remark(f"{terminals}, so the cable is rated as a 70 °C one.")
    it_a = sheet.fact("It", tabulated(job, section, table))
    buried = section.method in BURIED
    insulation = "90c" if table.endswith("90c") else "70c"
    names, product = ["It"], it_a
    factors = _in_ground if buried else _in_air
    for name, ratio in factors(section, insulation, end, sheet):
        names.append(name)
        product *= ratio
    rewirable = "bs3036" if job.circuit.device.kind == "bs3036" else "other"
    laid = "ground" if buried else "air"
    product *= sheet.fact("Cf", look_up("gb/overload_factor", "cf_ratio", device=rewirable, laid=laid))
    return sheet.step(f"Iz_{number} = {' * '.join([*names, 'Cf'])}", product)


def rated_as(job: Job, section: Section, end: End) -> str:
    """The kind of cable under whose table a section is rated: 90 °C only with terminals that bear it.

    Terminals that nobody looked at count as 70 °C at the worst end and 90 °C at the best.
    """
    kind = seen(section.cable.kind)
    terminals_c = job.circuit.terminals_c
    hot = terminals_c == 90 or (terminals_c is None and not end.worst)
    return kind if hot else COOLER_TABLE.get(kind, kind)


def tabulated(job: Job, section: Section, table: str) -> Fact:
    """It: the two-core column on one phase, whatever the cores, and the three-core column on three."""
    return look_up("gb/cable_ratings", "it_a", cable=table, method=seen(section.method),
                   loaded_count=loaded_count(job), size_mm2=seen(section.cable.size_mm2))  # fmt: skip


def _read(number: int, section: Section) -> tuple[str, ...]:
    """The fields that decide on one section, by its place in the route from 0."""
    together = section.circuits_together_count
    grouped = together is not None and together.high > 1
    names = ["ambient_c", "circuits_together_count"]
    if section.method in BURIED:
        names += ["soil_k_m_per_w", "depth_m", *(["buried_spacing"] if grouped else [])]
    else:
        names += [] if section.method in RATED_IN_INSULATION else ["insulation_mm"]
        names += ["arrangement"] if grouped and section.method in LAYERED else []
    return tuple(f"route[{number}].{name}" for name in names)


def _in_air(section: Section, insulation: str, end: End, sheet: Working) -> list[tuple[str, float]]:
    """Ca and Cg, and Ci where the method's own table does not allow for insulation already.

    Cooler than the British table begins, its first row stands: nothing is credited beyond it.
    """
    around_c = _given("Tamb", section.ambient_c, end, sheet)
    ca = look_up_at_least("gb/ca_air", "ca_ratio", "ambient_c", around_c, insulation=insulation, source="bs7671")
    factors = [("Ca", sheet.fact("Ca", ca))]
    layered = section.method in LAYERED and section.arrangement is not None
    arrangement = seen(section.arrangement) if layered else "bunched"
    together = _together(section, end, sheet)
    cg = look_up_at_least("gb/grouping", "cg_ratio", "circuits_count", together, arrangement=arrangement)
    factors.append(("Cg", sheet.fact("Cg", cg)))
    if section.method in RATED_IN_INSULATION:
        sheet.remark(f"Method {section.method} allows for the insulation in its own rating: no Ci.")
        return factors
    return [*factors, ("Ci", sheet.fact("Ci", _insulation_factor(section, end, sheet)))]


def _insulation_factor(section: Section, end: End, sheet: Working) -> Fact:
    """By length in insulation; the last row beyond the table, and for a size that the table is not for."""
    within_mm = _given("lins", section.insulation_mm, end, sheet)
    last_mm = max(float(row["length_mm"]) for row in rows("gb/insulation_contact"))
    largest_mm2 = constant("gb/carrying_limits", "insulation_table_to").value
    if within_mm > 0 and seen(section.cable.size_mm2) > largest_mm2:
        sheet.remark(f"Above {largest_mm2:g} mm² the table gives no short lengths: taken as wholly surrounded.")
        within_mm = last_mm
    return look_up_at_least("gb/insulation_contact", "ci_ratio", "length_mm", min(within_mm, last_mm))


def _in_ground(section: Section, insulation: str, end: End, sheet: Working) -> list[tuple[str, float]]:
    """Ca, Cg, Cs and Cd. The survey does not say whether the cable lies in a duct of its own, so that the
    lower factor of the two ways is taken: for grouping that is always the cable straight in the ground."""
    ground_c = _given("Tamb", section.ambient_c, end, sheet)
    ca = sheet.fact("Ca", look_up_at_least("gb/ca_ground", "ca_ratio", "ground_c", ground_c, insulation=insulation))
    spacing = section.buried_spacing or "touching"
    together = _together(section, end, sheet)
    if spacing == "1.0_m":
        sheet.remark("The table for cables straight in the ground ends at 0.5 m between them: that row is taken.")
        spacing = "0.5_m"
    cg = look_up_at_least("gb/grouping_buried", "cg_ratio", "circuits_count", together, spacing=spacing)
    factors = [("Ca", ca), ("Cg", sheet.fact("Cg", cg))]
    soil = _given("rhosoil", section.soil_k_m_per_w, end, sheet)
    ways = [look_up_at_least("iec/soil_resistivity", "cs_ratio", "soil_k_m_per_w", soil, laid=laid)
            for laid in ("direct", "duct")]  # fmt: skip
    if ways[0].value != ways[1].value:
        sheet.remark("In a duct or straight in the ground: the lower soil factor of the two is taken.")
    factors.append(("Cs", sheet.fact("Cs", min(ways, key=lambda way: way.value))))
    return [*factors, ("Cd", _depth_ratio(section, end, sheet))]


def _depth_ratio(section: Section, end: End, sheet: Working) -> float:
    """1 to the depth that the table rests on. Deeper the table's rows are not held: at the worst end the
    law of heat in the ground sets a floor, at the best the factor is left at 1."""
    depth_m = _given("dl", section.depth_m, end, sheet)
    rest = look_up("gb/burial_depth", "depth_m", cd_ratio=1)
    if depth_m <= rest.value or not end.worst:
        return sheet.fact("Cd", look_up("gb/burial_depth", "cd_ratio", depth_m=rest.value))
    sheet.remark("Deeper than the table held here goes: no less than this, by the law of heat in the ground.")
    rest_m = sheet.fact("dlrest", rest)
    duct_mm = sheet.fact("Ddo", look_up("iec/duct_air", "outer_mm", duct="plastic_63_50"))
    return sheet.step(
        "Cd = sqrt(ln(4000 * dlrest / Ddo) / ln(4000 * dl / Ddo))",
        math.sqrt(math.log(4000 * rest_m / duct_mm) / math.log(4000 * depth_m / duct_mm)),
    )


def _given(symbol: str, reading: Reading | None, end: End, sheet: Working) -> float:
    known = seen(reading)
    return sheet.given(symbol, end.more_hurts(known), known.basis)


def _together(section: Section, end: End, sheet: Working) -> float:
    known = seen(section.circuits_together_count)
    return sheet.given("ngrp", math.ceil(end.more_hurts(known)), known.basis)
