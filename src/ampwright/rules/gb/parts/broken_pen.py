"""A broken PEN conductor: the current that seeks another way back, and what an electrode makes of it."""

from __future__ import annotations

from dataclasses import replace

from ampwright.facts import constant, rows
from ampwright.job.paths import unseen
from ampwright.job.record import Electrode, Job
from ampwright.physics.earthing import electrode_for_touch_limit_ohm, open_pen_touch_v
from ampwright.reading import WORST, End, Reading
from ampwright.rules.gb.parts.demand import line_demands, lines, missing
from ampwright.rules.gb.parts.route import design_current_a
from ampwright.rules.iec.electrode import electrode_ohm
from ampwright.working import Working

_NO_WAY_TO_EARTH_OHM = 1e15
_SOME_LOAD_W = 1e4


def return_gaps(job: Job) -> tuple[str, ...]:
    """What must be found out before `return_a` can answer. Loads that nobody looked at are left out of it."""
    gaps = unseen(job, ("supply.phases", "charge_point.rated_a", "charge_point.phases"))
    if job.charge_point.rated_a is not None and design_current_a(job) <= 0:
        gaps = (*gaps, "charge_point.rated_a")
    return (*gaps, *missing(job))


def return_a(job: Job, end: End, sheet: Working) -> float:
    """The most that one line draws through a broken PEN, the other lines idle. Ask `return_gaps` first.

    No load cap is counted: it does not know of the fault. One line by itself is the worst case, as what
    the other lines draw pulls the neutral back.
    """
    if not job.installation.loads:
        car_a = sheet.given("Icar", design_current_a(job), "the car alone: the house's loads were not looked at")
        return sheet.step("Ipen = Icar", car_a)
    demands = line_demands(job, end, sheet)
    heaviest = max(demands, key=lambda each: each.plain_a)
    sheet.heading("With the neutral broken")
    if len(lines(job)) == 1:
        return sheet.step("Ipen = Inew", heaviest.plain_a)
    sheet.remark(f"Worst where {heaviest.line} alone draws: what the other lines draw pulls the neutral back.")
    return sheet.step(f"Ipen = Inew_{heaviest.line[1]}", heaviest.plain_a)


def allowed_ohm(job: Job, current_a: float, sheet: Working) -> tuple[float, float]:
    """The electrode that holds the break to the touch limit, at the declared and at the highest supply."""
    u0_v, limit_v, highest_ratio = _put_limits(job, sheet)
    plain_ohm = electrode_for_touch_limit_ohm(touch_limit_v=limit_v, voltage_v=u0_v, load_a=current_a)
    sheet.step("RAmax = Umax * U0 / (Ipen * (U0 - Umax))", plain_ohm)
    high_ohm = electrode_for_touch_limit_ohm(touch_limit_v=limit_v, voltage_v=highest_ratio * u0_v,
                                             load_a=highest_ratio * current_a)  # fmt: skip
    return plain_ohm, sheet.step("RAtop = Umax * U0 / (Ipen * (Cmax * U0 - Umax))", high_ohm)


def touch_v(job: Job, current_a: float, electrode_ohm: float, sheet: Working) -> tuple[float, float]:
    """Volts on the car with the PEN broken, at the declared and at the highest supply. `RA` is on the sheet."""
    u0_v, _, highest_ratio = _put_limits(job, sheet)
    sheet.remark("The loads count as resistances, as in the annex. A charger holds its power, and then more may stand.")
    plain_v = open_pen_touch_v(loads_w=(u0_v * current_a,), nominal_v=u0_v, electrode_ohm=electrode_ohm)
    sheet.step("Utouch = U0 * RA / (RA + U0 / Ipen)", plain_v)
    high_v = open_pen_touch_v(loads_w=(highest_ratio**2 * u0_v * current_a,), nominal_v=highest_ratio * u0_v,
                              electrode_ohm=electrode_ohm)  # fmt: skip
    return plain_v, sheet.step("Utop = Cmax * Utouch", high_v)


def blind_spot_v(job: Job, sheet: Working) -> float:
    """Most volts on a broken three-phase PEN while a watch on one line still reads inside its window.

    By the nodal model with load on the watched line and one other, and no way to earth. Holds for a declared
    voltage inside the window.
    """
    u0_v = sheet.given("U0", job.supply.declared_v, "declared by the supplier")
    high_v = sheet.fact("Uwinh", constant("gb/open_pen", "window_high"))
    other_ratio = high_v / (3**0.5 * u0_v)
    loads_w = ((1 - other_ratio) * _SOME_LOAD_W, other_ratio * _SOME_LOAD_W, 0.0)
    blind_v = open_pen_touch_v(loads_w=loads_w, nominal_v=u0_v, electrode_ohm=_NO_WAY_TO_EARTH_OHM)
    return sheet.step("Ublind = hypot(U0 / 2, Uwinh - sqrt(3) / 2 * U0)", blind_v)


def rods_wanted(job: Job, need_ohm: float, sheet: Working) -> tuple[int | None, int]:
    """How many usual rods in line come down to `need_ohm`, None if more than the table goes to; and its end."""
    most = max(int(row["rods_count"]) for row in rows("iec/rod_group"))
    rod = _usual_rod(job, sheet)
    found = None
    for count in range(1, most + 1):
        if electrode_ohm(_with_rods(job, rod, count), WORST, Working()) <= need_ohm:
            found = count
            break
    electrode_ohm(_with_rods(job, rod, found or most), WORST, sheet)
    return found, most


def _with_rods(job: Job, rod: Electrode, count: int) -> Job:
    return replace(job, electrode=replace(rod, rods_count=count))  # type: ignore[arg-type]


def _usual_rod(job: Job, sheet: Working) -> Electrode:
    sheet.heading("Rods for it, taken as usually driven")
    length_m = sheet.fact("Lrod", constant("gb/earthing_limits", "rod_length"))
    spacing_m = sheet.fact("srod", constant("gb/earthing_limits", "rod_spacing"))
    diameter_mm = constant("gb/earthing_limits", "rod_diameter").value
    soil = job.electrode.soil_ohm_m
    if soil is None or soil.low <= 0:
        soil_ohm_m = sheet.fact("rho", constant("gb/earthing_limits", "soil"))
        soil = Reading(soil_ohm_m, soil_ohm_m, "the soil was not looked at")
    usual = "a rod as usually driven"
    return Electrode(rod_length_m=Reading(length_m, length_m, usual), rod_diameter_mm=diameter_mm,
                     spacing_m=Reading(spacing_m, spacing_m, usual), soil_ohm_m=soil)  # fmt: skip


def _put_limits(job: Job, sheet: Working) -> tuple[float, float, float]:
    u0_v = sheet.given("U0", job.supply.declared_v, "declared by the supplier")
    limit_v = sheet.fact("Umax", constant("gb/open_pen", "touch_limit"))
    return u0_v, limit_v, sheet.fact("Cmax", constant("gb/voltage_factor", "cmax", "c_ratio"))
