"""A second look at the rating tables: what the cable would carry by how its heat gets away."""

from __future__ import annotations

from dataclasses import dataclass

from ampwright.facts import NoRow, constant, look_up
from ampwright.job.paths import unseen
from ampwright.job.record import Job, Section
from ampwright.physics.ampacity import AirCooling, Conductor, Duct, rating_in_air_a, rating_in_duct_a
from ampwright.physics.heatpath import HeatPath, flat_path, round_path
from ampwright.reading import WORST
from ampwright.rules.gb.parts.carrying import BURIED, WHERE_LAID, rated_as, tabulated
from ampwright.rules.gb.parts.route import RATED_C, loaded_count, put_heading
from ampwright.rules.regulation import (
    Finding,
    ask,
    does_not_apply,
    for_the_designer,
    regulation,
    seen,
    settled,
)
from ampwright.working import Working, capital

INSULATION = {"armoured_70c": "pvc_thermal", "armoured_90c": "xlpe_thermal"}
FLAT = "flat_twin_and_earth"
UNHELD = {
    "singles_70c": "no dimensions of single cores and of what they are drawn into are held",
    "singles_90c": "no dimensions of single cores and of what they are drawn into are held",
    "multicore_70c": "no dimensions of multicore cable without armour are held",
}
FIXED = {"C": "single_clipped", "E": "single_clear"}
DUCT = "plastic_63_50"


@dataclass(frozen=True, slots=True)
class Reckoned:
    """One section's rating twice over: by the table and by its heat, at the table's own conditions."""

    name: str
    tabulated_a: float
    calculated_a: float
    above_percent: float


@regulation(asks="Does the physics of heat agree with the tabulated rating?", needs=WHERE_LAID)
def tabulated_rating_cross_check(job: Job) -> Finding:
    """A reckoning well below the table is a danger; one well above leaves the table on the safe side, and is said.

    Of flat cable it is up to 6 % too hopeful at 10 and 16 mm² (`flat_path`).
    """
    armoured = [number for number, section in enumerate(job.route) if section.cable.kind in INSULATION]
    gaps = unseen(job, tuple(f"route[{number}].cable.cores_count" for number in armoured))
    if gaps:
        return ask(*gaps)
    sheet = Working()
    allowed_percent = sheet.fact("pbelow", constant("gb/carrying_limits", "heat_check_within"))
    unchecked = {number: why for number in range(len(job.route)) if (why := _why_unchecked(job, number, sheet))}
    for number, why in unchecked.items():
        sheet.remark(f"{job.route[number].name} was not checked: {why}.")
    reckoned = [_reckoned(job, number, sheet) for number in range(len(job.route)) if number not in unchecked]
    if not reckoned:
        whys = "; ".join(f"{job.route[number].name}: {why}" for number, why in unchecked.items())
        return does_not_apply(f"No stretch could be checked by its heat. {capital(whys)}.")
    return _compared(reckoned, len(job.route), allowed_percent, sheet)


def _compared(reckoned: list[Reckoned], sections_count: int, allowed_percent: float, sheet: Working) -> Finding:
    """The verdict on the stretches that were checked, and how many those are."""
    least = min(reckoned, key=lambda each: each.above_percent)
    most = max(reckoned, key=lambda each: each.above_percent)
    below, above = least.above_percent < -allowed_percent, most.above_percent > allowed_percent
    safe = f"more than {allowed_percent:g} %, so that the table is on the safe side: keep to it"
    worst = least if below or not above else most
    says = (f"Calculated to IEC 60287, {worst.name} carries {worst.calculated_a:.1f} A; the table gives "
            f"{worst.tabulated_a:g} A. {len(reckoned)} of {sections_count} stretches checked.")  # fmt: skip
    if below:
        also = f" Another ({most.name}) is {_apart(most)}, {safe}." if above else ""
        more = f"It is {_apart(worst)}, more than {allowed_percent:g} %: look at the table again."
        return for_the_designer(f"{says} {more}{also}", sheet)
    return settled(True, f"{says} It is {_apart(worst)}, {safe}." if above else says, sheet)


def _apart(each: Reckoned) -> str:
    return f"{abs(each.above_percent):.1f} % {'below' if each.above_percent < 0 else 'above'} the table"


def _why_unchecked(job: Job, number: int, sheet: Working) -> str:
    """Why a section cannot be reckoned from its heat; nothing where it can. Which row is not held goes on the sheet."""
    section = job.route[number]
    cable = section.cable
    if cable.kind in UNHELD:
        return UNHELD[cable.kind]
    if section.method not in (*FIXED, *BURIED):
        return f"laid by method {section.method} its heat goes through the building, and that way is not known"
    if cable.kind != FLAT and loaded_count(job) > seen(cable.cores_count):
        return f"it has {cable.cores_count} cores for {loaded_count(job)} lines"
    try:
        tabulated(job, section, rated_as(job, section, WORST))
    except NoRow as missing:
        sheet.remark(str(missing))
        return "no rating is held"
    try:
        _build(job, section, Working())
    except NoRow as missing:
        sheet.remark(str(missing))
        return "no dimensions with round conductors are held"
    return ""


def _reckoned(job: Job, number: int, sheet: Working) -> Reckoned:
    """One section that `_why_unchecked` has nothing against."""
    section = job.route[number]
    table = rated_as(job, section, WORST)
    put_heading(sheet, number + 1, section)
    if section.cable.kind != FLAT and table == "armoured_70c":
        sheet.remark("Rated as a 70 °C cable, with the dimensions of BS 5467: thermoplastic cable is of like build.")
    it_a = sheet.fact("It", tabulated(job, section, table))
    path = _build(job, section, sheet)
    conductor = _conductor(section, RATED_C[table], sheet)
    hot_ohm_per_m = sheet.step("Rhot = r20 / 1000 * (1 + alpha * (T - 20))", conductor.hot_ohm_per_m)
    cool = _buried if section.method in BURIED else _in_air
    around_c, current_a = cool(section, table, path, conductor, sheet)
    rise_k = sheet.step("rise = T - Tamb", conductor.max_c - around_c)
    _put_current(path, rise_k, hot_ohm_per_m, current_a, sheet)
    above_percent = sheet.step("pcalc = 100 * (Icalc / It - 1)", 100 * (current_a / it_a - 1))
    return Reckoned(section.name, it_a, current_a, above_percent)


def _build(job: Job, section: Section, sheet: Working) -> HeatPath:
    """The heat's way through the cable. Raises NoRow where its dimensions are not held."""
    path = _flat(section, sheet) if section.cable.kind == FLAT else _armoured(job, section, sheet)
    sheet.given("ncore", path.loaded_count, "conductors that carry the charging current")
    how = "by the law of IEC 60287-2-1 for round cable" if section.cable.kind == FLAT else "IEC 60287-2-1"
    sheet.given("Tins", path.t1_k_m_per_w, f"from these diameters, {how}")
    sheet.given("Tsh", path.outer_k_m_per_w, f"from these diameters, {how}")
    return path


def _armoured(job: Job, section: Section, sheet: Working) -> HeatPath:
    cores, size = seen(section.cable.cores_count), seen(section.cable.size_mm2)
    outside = {name: look_up("gb/armoured_dimensions", f"{name}_mm", cores_count=cores, size_mm2=size)
               for name in ("under_armour", "overall")}  # fmt: skip
    inside = {name: look_up("iec/armoured_build", f"{name}_mm", size_mm2=size)
              for name in ("conductor", "insulation", "bedding", f"wire_{cores}core")}  # fmt: skip
    insulation = constant("iec/conductor_constants", INSULATION[seen(section.cable.kind)])
    return round_path(
        cores_count=cores,
        loaded_count=loaded_count(job),
        conductor_mm=sheet.fact("dcond", inside["conductor"]),
        insulation_mm=sheet.fact("tins", inside["insulation"]),
        under_armour_mm=sheet.fact("Dunder", outside["under_armour"]),
        bedding_mm=sheet.fact("tbed", inside["bedding"]),
        armour_mm=sheet.fact("dwire", inside[f"wire_{cores}core"]),
        overall_mm=sheet.fact("De", outside["overall"]),
        insulation_k_m_per_w=sheet.fact("rhoins", insulation),
        sheath_k_m_per_w=sheet.fact("rhosh", constant("iec/conductor_constants", "pvc_thermal")),
    )


def _flat(section: Section, sheet: Working) -> HeatPath:
    """Flat twin and earth as a round cable of the same girth, insulation and sheath as one plastic."""
    size = seen(section.cable.size_mm2)
    inside = {name: look_up("iec/flat_build", f"{name}_mm", size_mm2=size)
              for name in ("conductor", "insulation", "cpc")}  # fmt: skip
    sheet.remark("Reckoned as a round cable of the same girth: near at small sizes, up to 6 % hopeful at large ones.")
    conductor_mm = sheet.fact("dcond", inside["conductor"])
    insulation_mm = sheet.fact("tins", inside["insulation"])
    cpc_mm = sheet.fact("dcpc", inside["cpc"])
    centres_mm = sheet.step("dcc = dcond + 2 * tins + dcpc", conductor_mm + 2 * insulation_mm + cpc_mm)
    path = flat_path(
        conductor_mm=conductor_mm,
        centres_mm=centres_mm,
        width_mm=sheet.fact("wflat", look_up("gb/flat_cable_dimensions", "width_mm", size_mm2=size)),
        height_mm=sheet.fact("hflat", look_up("gb/flat_cable_dimensions", "height_mm", size_mm2=size)),
        plastic_k_m_per_w=sheet.fact("rhosh", constant("iec/conductor_constants", "pvc_thermal")),
    )
    sheet.step("De = 2 * (wflat - hflat) / pi + hflat", path.overall_mm)
    return path


def _conductor(section: Section, max_c: float, sheet: Working) -> Conductor:
    size = seen(section.cable.size_mm2)
    return Conductor(
        r20_ohm_per_km=sheet.fact("r20", look_up("iec/copper_resistance", "r20_ohm_per_km", size_mm2=size)),
        alpha20_per_k=sheet.fact("alpha", constant("iec/conductor_constants", "copper_alpha20")),
        max_c=sheet.given("T", max_c, "as hot as the table lets it run"),
    )


def _insulation(table: str) -> str:
    """As the tables of factors call it."""
    return f"{RATED_C[table]:g}c"


def _in_air(
    section: Section, table: str, path: HeatPath, conductor: Conductor, sheet: Working
) -> tuple[float, float]:
    """Degrees of the air and amperes, clipped or clear, in the air of the row whose factor is 1."""
    ambient = look_up("gb/ca_air", "ambient_c", insulation=_insulation(table), ca_ratio=1)
    constants = {symbol: look_up("iec/surface_cooling", symbol[0].lower(), arrangement=FIXED[seen(section.method)])
                 for symbol in ("Zair", "Eair", "gair")}  # fmt: skip
    cooling = AirCooling(
        z_w_per_m2_k=sheet.fact("Zair", constants["Zair"]),
        e_w_per_m2_k=sheet.fact("Eair", constants["Eair"]),
        g_ratio=sheet.fact("gair", constants["gair"]),
    )
    ambient_c = sheet.fact("Tamb", ambient)
    return ambient_c, rating_in_air_a(path=path, conductor=conductor, ambient_c=ambient_c, cooling=cooling)


def _buried(
    section: Section, table: str, path: HeatPath, conductor: Conductor, sheet: Working
) -> tuple[float, float]:
    """Degrees of the ground and amperes in a duct, on which the ratings of method D rest."""
    sheet.remark("Method D covers ducts: reckoned in one. Straight in the ground the cable would carry more.")
    ground = look_up("gb/ca_ground", "ground_c", insulation=_insulation(table), ca_ratio=1)
    soil = look_up("iec/soil_resistivity", "soil_k_m_per_w", laid="duct", cs_ratio=1)

    def of_duct(symbol: str, column: str) -> float:
        return sheet.fact(symbol, look_up("iec/duct_air", column, duct=DUCT))

    ground_c = sheet.fact("Tamb", ground)
    return ground_c, rating_in_duct_a(
        path=path,
        conductor=conductor,
        ground_c=ground_c,
        depth_m=sheet.fact("dl", look_up("gb/burial_depth", "depth_m", cd_ratio=1)),
        soil_k_m_per_w=sheet.fact("rhosoil", soil),
        duct=Duct(
            inner_mm=of_duct("Ddi", "inner_mm"),
            outer_mm=of_duct("Ddo", "outer_mm"),
            wall_k_m_per_w=of_duct("rhoduct", "wall_k_m_per_w"),
            u_k_m_per_w=of_duct("Udu", "u_k_m_per_w"),
            v_per_mm=of_duct("Vdu", "v_per_mm"),
            y_per_mm_k=of_duct("Ydu", "y_per_mm_k"),
        ),
    )


def _put_current(path: HeatPath, rise_k: float, hot_ohm_per_m: float, current_a: float, sheet: Working) -> None:
    """Write the current as on paper. The way from the surface depends on the current itself: found by trial."""
    inside_k_m_per_w = path.t1_k_m_per_w + path.loaded_count * path.outer_k_m_per_w
    away_k_m_per_w = (rise_k / (current_a**2 * hot_ohm_per_m) - inside_k_m_per_w) / path.loaded_count
    sheet.given("Tout", away_k_m_per_w, "by trial, IEC 60287-2-1")
    sheet.step("Icalc = sqrt(rise / (Rhot * (Tins + ncore * (Tsh + Tout))))", current_a)
