"""The circuit from the board to the charge point, section by section: what several rules compute alike."""

from __future__ import annotations

from ampwright.facts import constant, look_up
from ampwright.job.record import Job, Section
from ampwright.physics.conductors import parallel_ohm, resistance_ohm
from ampwright.reading import End
from ampwright.rules.regulation import seen
from ampwright.working import Working

RATED_C = {
    "flat_twin_and_earth": 70.0, "armoured_70c": 70.0, "multicore_70c": 70.0, "singles_70c": 70.0,
    "armoured_90c": 90.0, "singles_90c": 90.0,
}  # fmt: skip
ARMOUR_COOLER_C = 10.0
CABLES = ("route[].cable.kind", "route[].cable.size_mm2", "route[].length_m")
CPCS = ("route[].cable.cpc",)


def design_current_a(job: Job) -> float:
    """Ib: the charge point's rating, or a lower setting that the customer cannot raise."""
    return design_current_if_locked_a(job) if _set_counts(job) else seen(job.charge_point.rated_a)


def design_current_basis(job: Job) -> str:
    """Where Ib comes from, for the sheet."""
    if _set_counts(job):
        return "the charge point's setting, which the customer cannot raise"
    if design_current_if_locked_a(job) >= seen(job.charge_point.rated_a):
        return "the charge point's rating"
    if job.charge_point.set_locked_from_customer is None:
        return "the charge point's rating; it is set lower, but the customer is not known to be kept from raising it"
    return "the charge point's rating; a lower setting that can be raised does not count"


def design_current_if_locked_a(job: Job) -> float:
    """What Ib is, or would be if the customer could not raise the setting."""
    rated_a, set_a = seen(job.charge_point.rated_a), job.charge_point.set_a
    return rated_a if set_a is None else min(rated_a, set_a)


def _set_counts(job: Job) -> bool:
    return job.charge_point.set_a is not None and job.charge_point.set_locked_from_customer is True


def loaded_count(job: Job) -> int:
    """How many conductors of the cable carry the charging current: 2 on one phase, 3 on three."""
    return 2 if job.charge_point.phases == 1 else 3


def put_heading(sheet: Working, number: int, section: Section) -> None:
    """Start a section's lines on the sheet."""
    cable = section.cable
    words = seen(cable.kind).replace("_", " ").replace("70c", "70 °C").replace("90c", "90 °C")
    sheet.heading(f"Section {number}, {section.name}: {words}, {cable.size_mm2:g} mm²")


def drop_v(section: Section, number: int, loaded: int, ib_a: float, end: End, sheet: Working) -> float:
    """Volts lost over one section at `ib_a`, by the table: to neutral with 2 loaded, between lines with 3."""
    cable, length = section.cable, seen(section.length_m)
    mv = sheet.fact("mVAm", look_up("gb/volt_drop", "mv_per_a_m", cable=seen(cable.kind), loaded_count=loaded,
                                    size_mm2=seen(cable.size_mm2)))  # fmt: skip
    length_m = sheet.given("L", end.more_hurts(length), length.basis)
    return sheet.step(f"Vd_{number} = mVAm / 1000 * L * Ib", mv / 1000 * length_m * ib_a)


def line_ohm(section: Section, number: int, end: End, sheet: Working, tested_c: float | None = None) -> float:
    """One line conductor of a section at its rated temperature, warm as it runs at full load, or as it is tested."""
    cable = section.cable
    r20 = sheet.fact("r20", look_up("iec/copper_resistance", "r20_ohm_per_km", size_mm2=seen(cable.size_mm2)))
    return _warm_ohm(section, f"R1_{number}", r20, _at_c(section, tested_c), "copper", end, sheet)


def cpc_ohm(section: Section, number: int, end: End, sheet: Working, tested_c: float | None = None) -> float:
    """The protective conductor of a section: the cpc, the armour, or both in parallel, warm, or as it is tested.

    Armour is taken 10 K cooler than the conductors (the initial temperatures of BS 7671 Table 54.4).
    """
    cable = section.cable
    paths = []
    if cable.cpc in ("core", "core and armour"):
        size_mm2 = cpc_size_mm2(section, number, sheet)
        r20 = sheet.fact("r20", look_up("iec/copper_resistance", "r20_ohm_per_km", size_mm2=size_mm2))
        paths.append(_warm_ohm(section, f"R2c_{number}", r20, _at_c(section, tested_c), "copper", end, sheet))
    if cable.cpc in ("armour", "core and armour"):
        fact = look_up("gb/armour_resistance", "r20_ohm_per_km", cores_count=seen(cable.cores_count),
                       size_mm2=seen(cable.size_mm2))  # fmt: skip
        at_c = _at_c(section, tested_c) - (ARMOUR_COOLER_C if tested_c is None else 0)
        paths.append(_warm_ohm(section, f"R2a_{number}", sheet.fact("r20", fact), at_c, "steel", end, sheet))
    if len(paths) == 1:
        which = "R2c" if cable.cpc == "core" else "R2a"
        return sheet.step(f"R2_{number} = {which}_{number}", paths[0])
    if 0 in paths:
        return sheet.given(f"R2_{number}", 0.0, "a section of no length")
    both = f"1 / (1 / R2c_{number} + 1 / R2a_{number})"
    return sheet.step(f"R2_{number} = {both}", parallel_ohm(*paths))


def cpc_size_mm2(section: Section, number: int, sheet: Working) -> float:
    """The copper protective conductor: as stated, else that of the standard flat cable, else equal to the line."""
    cable = section.cable
    if cable.cpc_mm2 is not None:
        return sheet.given(f"S_{number}", cable.cpc_mm2)
    if cable.kind == "flat_twin_and_earth":
        fact = look_up("gb/flat_cable_dimensions", "cpc_mm2", size_mm2=seen(cable.size_mm2))
        return sheet.fact(f"S_{number}", fact)
    return sheet.given(f"S_{number}", seen(cable.size_mm2), "a core as thick as the line")


def _at_c(section: Section, tested_c: float | None) -> float:
    return RATED_C[seen(section.cable.kind)] if tested_c is None else tested_c


def _warm_ohm(
    section: Section, symbol: str, r20_ohm_per_km: float, at_c: float, metal: str, end: End, sheet: Working
) -> float:
    length = seen(section.length_m)
    length_m = sheet.given("L", end.more_hurts(length), length.basis)
    warm = at_c in (RATED_C[seen(section.cable.kind)], RATED_C[seen(section.cable.kind)] - ARMOUR_COOLER_C)
    sheet.given("T", at_c, "running warm at its rated temperature" if warm else "as it is when tested")
    alpha = sheet.fact("alpha", constant("iec/conductor_constants", f"{metal}_alpha20"))
    return sheet.step(
        f"{symbol} = r20 / 1000 * L * (1 + alpha * (T - 20))",
        resistance_ohm(r20_ohm_per_km=r20_ohm_per_km, length_m=length_m, at_c=at_c, alpha20_per_k=alpha),
    )
