"""A second look at the rating tables: what the cable would carry by how its heat gets away."""

from __future__ import annotations

from dataclasses import dataclass

from ampwright.facts import NoRow, look_up
from ampwright.job.paths import unseen
from ampwright.job.record import Job, Section
from ampwright.physics.ampacity import AirCooling, Conductor, Duct, rating_in_air_a, rating_in_duct_a
from ampwright.physics.heatpath import HeatPath, round_path
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
from ampwright.working import Working

INSULATION = {"armoured_70c": "pvc_thermal", "armoured_90c": "xlpe_thermal"}
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
    """Only a reckoning well below the table is a danger; one above it leaves the table on the safe side."""
    armoured = [number for number, section in enumerate(job.route) if section.cable.kind in INSULATION]
    gaps = unseen(job, tuple(f"route[{number}].cable.cores_count" for number in armoured))
    if gaps:
        return ask(*gaps)
    sheet = Working()
    allowed_percent = sheet.fact("pbelow", look_up("gb/carrying_limits", "value", name="heat_check_within"))
    reckoned = [each for number in armoured if (each := _reckoned(job, number, sheet)) is not None]
    if not reckoned:
        return does_not_apply("No stretch is an armoured cable of 4 to 16 mm² and two or three cores laid by a method "
                              "of the tables: only of those are the dimensions held.")  # fmt: skip
    least = min(reckoned, key=lambda each: each.above_percent)
    says = (f"By its heat the cable of one stretch ({least.name}) carries {least.calculated_a:.1f} A, by the table "
            f"{least.tabulated_a:g} A: {_apart(least.above_percent)}.")  # fmt: skip
    if least.above_percent < -allowed_percent:
        return for_the_designer(f"{says} That is more than {allowed_percent:g} %: look at the table again.", sheet)
    if max(each.above_percent for each in reckoned) > allowed_percent:
        sheet.remark(f"More than {allowed_percent:g} % above the table leaves the table on the safe side: keep to it.")
    return settled(True, says, sheet)


def _apart(above_percent: float) -> str:
    return f"{abs(above_percent):.1f} % {'below' if above_percent < 0 else 'above'} the table"


def _reckoned(job: Job, number: int, sheet: Working) -> Reckoned | None:
    """One section, or None and a remark where its dimensions or its rating are not held."""
    section, own = job.route[number], Working()
    table = rated_as(job, section, WORST)
    try:
        it = tabulated(job, section, table)
        _build(job, section, own)
    except NoRow as missing:
        sheet.remark(f"{section.name} is left out: {missing}.")
        return None
    put_heading(sheet, number + 1, section)
    if table != section.cable.kind or table == "armoured_70c":
        sheet.remark("Rated as a 70 °C cable, with the dimensions of BS 5467: thermoplastic cable is of like build.")
    it_a = sheet.fact("It", it)
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
    cores, loaded, size = seen(section.cable.cores_count), loaded_count(job), seen(section.cable.size_mm2)
    if cores not in (2, 3) or loaded > cores:
        raise NoRow(f"dimensions are held for two and three cores, not for {cores} with {loaded} loaded")
    outside = {name: look_up("gb/armoured_dimensions", f"{name}_mm", cores_count=cores, size_mm2=size)
               for name in ("under_armour", "overall")}  # fmt: skip
    inside = {name: look_up("iec/armoured_build", f"{name}_mm", size_mm2=size)
              for name in ("conductor", "insulation", "bedding", f"wire_{cores}core")}  # fmt: skip
    plastic = {name: look_up("iec/conductor_constants", "value", name=name)
               for name in (INSULATION[seen(section.cable.kind)], "pvc_thermal")}  # fmt: skip
    path = round_path(
        cores_count=cores,
        loaded_count=loaded,
        conductor_mm=sheet.fact("dcond", inside["conductor"]),
        insulation_mm=sheet.fact("tins", inside["insulation"]),
        under_armour_mm=sheet.fact("Dunder", outside["under_armour"]),
        bedding_mm=sheet.fact("tbed", inside["bedding"]),
        armour_mm=sheet.fact("dwire", inside[f"wire_{cores}core"]),
        overall_mm=sheet.fact("De", outside["overall"]),
        insulation_k_m_per_w=sheet.fact("rhoins", plastic[INSULATION[seen(section.cable.kind)]]),
        sheath_k_m_per_w=sheet.fact("rhosh", plastic["pvc_thermal"]),
    )
    sheet.given("ncore", loaded, "conductors that carry the charging current")
    sheet.given("Tins", path.t1_k_m_per_w, "from these diameters, IEC 60287-2-1")
    sheet.given("Tsh", path.outer_k_m_per_w, "from these diameters, IEC 60287-2-1")
    return path


def _conductor(section: Section, max_c: float, sheet: Working) -> Conductor:
    size = seen(section.cable.size_mm2)
    return Conductor(
        r20_ohm_per_km=sheet.fact("r20", look_up("iec/copper_resistance", "r20_ohm_per_km", size_mm2=size)),
        alpha20_per_k=sheet.fact("alpha", look_up("iec/conductor_constants", "value", name="copper_alpha20")),
        max_c=sheet.given("T", max_c, "as hot as the table lets it run"),
    )


def _in_air(
    section: Section, table: str, path: HeatPath, conductor: Conductor, sheet: Working
) -> tuple[float, float]:
    """Degrees of the air and amperes, clipped or clear, in the air of the row whose factor is 1."""
    ambient = look_up("gb/ca_air", "ambient_c", insulation=table.removeprefix("armoured_"), ca_ratio=1)
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
    ground = look_up("gb/ca_ground", "ground_c", insulation=table.removeprefix("armoured_"), ca_ratio=1)
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
