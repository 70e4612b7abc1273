"""A sensor's lead: what its length costs, and what the charge point's cable beside it makes it show."""

from __future__ import annotations

from dataclasses import dataclass

from ampwright.facts import NoRow, constant, look_up
from ampwright.job.record import Job, Sensor
from ampwright.physics.sensing import MU0_OVER_2PI, burden_growth_percent, false_a, induced_v, lead_loop_ohm
from ampwright.reading import WORST, End
from ampwright.rules.regulation import seen
from ampwright.working import Step, Working, up

CORES_MM, LEAD_CORES_MM, SHEATHS_MM, TWIST_MM, CYCLES_PER_S = 4.5, 2.0, 2.0, 50.0, 50.0
OUTPUT_MV_PER_A = 3.33
AS_SUPPLIED_M, LONG_M, BESIDE_M, BESIDE_MM = 3.0, 15.0, 2.0, 50.0
RULE_OF_THUMB = "rule of thumb of this program, no source"


@dataclass(frozen=True, slots=True)
class Lead:
    """What is to be said of one lead, with its working. `false_kw` is None where nobody said how the lead runs."""

    says: tuple[str, ...]
    working: tuple[Step, ...]
    false_kw: float | None = None


def judge_lead(job: Job, sensor: Sensor) -> Lead:
    """The longest lead and the nearest cable that the survey allows."""
    if sensor.link == "radio":
        return Lead(("It talks by radio: there is no lead to judge.",), ())
    sheet = Working()
    says = [*_length(sensor), *_resistance(sensor, sheet)]
    false_kw = _pick_up(job, sensor, sheet, says)
    return Lead(tuple(says), sheet.steps, false_kw)


def _length(sensor: Sensor) -> list[str]:
    if sensor.lead_m is None:
        return ["Not yet known: the length of the lead."]
    length_m = sensor.lead_m.high
    if length_m <= AS_SUPPLIED_M:
        return [f"A lead of {length_m:g} m is short enough to be left as supplied ({RULE_OF_THUMB})."]
    if length_m > LONG_M:
        return [f"A lead of {length_m:g} m is above {LONG_M:g} m: ask the sensor's maker, and use twisted and screened "
                f"cable ({RULE_OF_THUMB})."]  # fmt: skip
    if sensor.lead_kind in (None, "untwisted"):
        return [f"A lead of {length_m:g} m wants a twisted pair, screened at one end ({RULE_OF_THUMB})."]
    return [f"A {sensor.lead_kind} lead of {length_m:g} m will do ({RULE_OF_THUMB})."]


def _resistance(sensor: Sensor, sheet: Working) -> list[str]:
    """The lead's share of the burden, where the size is one that the resistance table has."""
    if sensor.lead_m is None or sensor.lead_mm2 is None or sensor.burden_ohm is None:
        return []
    sheet.heading("The lead as part of the burden")
    sheet.given("Slead", sensor.lead_mm2)
    length_m = sheet.given("Llead", sensor.lead_m.high, sensor.lead_m.basis)
    lead_ohm = sheet.step("Rlead = 2 * r20 / 1000 * Llead",
                          lead_loop_ohm(r20_ohm_per_km=_r20(sensor.lead_mm2, sheet), lead_m=length_m))  # fmt: skip
    burden_ohm = sheet.given("Rburden", sensor.burden_ohm)
    grown = sheet.step("pburden = 100 * Rlead / Rburden", burden_growth_percent(lead_ohm=lead_ohm,
                                                                                burden_ohm=burden_ohm))  # fmt: skip
    return [f"The lead adds {up(lead_ohm)} Ω to the {burden_ohm:g} Ω that the winding works into: its magnetising "
            f"error grows by {up(grown, 1)} % of itself."]  # fmt: skip


def _r20(size_mm2: float, sheet: Working) -> float:
    """Ohms a kilometre: as tabulated, or for a size that the table has not, from copper's resistivity."""
    try:
        return sheet.fact("r20", look_up("iec/copper_resistance_flexible", "r20_ohm_per_km", size_mm2=size_mm2))
    except NoRow:
        rho_ohm_m = sheet.fact("rhocu", constant("iec/conductor_constants", "copper_rho20"))
        return sheet.step("r20 = rhocu * 1000 / (Slead / 1000000)", rho_ohm_m * 1000 / (size_mm2 / 1e6))


def _pick_up(job: Job, sensor: Sensor, sheet: Working, says: list[str]) -> float | None:
    """False reading while the car charges, in kW at the declared voltage."""
    if sensor.beside_car_cable_m is not None and sensor.beside_car_cable_m.high == 0:
        says.append("The lead runs nowhere beside the charge point's cable.")
        return 0.0
    if sensor.beside_car_cable_m is None or sensor.beside_car_cable_mm is None:
        says.append("Not yet known: how far, and how near, the lead runs beside the charge point's cable.")
        return None
    beside_m, apart_mm = sensor.beside_car_cable_m.high, sensor.beside_car_cable_mm.low
    false_now_a = false_reading_a(job, sensor, WORST, sheet)
    volts = sheet.given("U0", job.supply.declared_v, "declared by the supplier")
    false_kw = sheet.step("Pfalse = U0 * Ifalse / 1000", volts * false_now_a / 1000)
    says.append(f"Beside the charge point's cable for {beside_m:g} m at {apart_mm:g} mm it may show "
                f"{up(1000 * false_kw, 0)} W too much or too little, and only while the car charges.")  # fmt: skip
    if beside_m > BESIDE_M and apart_mm < BESIDE_MM and sensor.lead_kind in (None, "untwisted"):
        says.append(f"Move it {BESIDE_MM:g} mm away or use a twisted pair ({RULE_OF_THUMB}).")
    return false_kw


def lead_gaps(job: Job, number: int) -> tuple[str, ...]:
    """What is still wanted before it is known what the charge point's cable makes this sensor of the job show."""
    sensor, path = job.sensors[number], f"sensors[{number}]"
    if sensor.link == "radio":
        return ()
    beside_m = sensor.beside_car_cable_m
    wanted = {"link": sensor.link is None, "beside_car_cable_m": beside_m is None,
              "beside_car_cable_mm": sensor.beside_car_cable_mm is None and (beside_m is None or beside_m.high > 0)}
    return tuple(f"{path}.{name}" for name, open_ in wanted.items() if open_)


def false_reading_a(job: Job, sensor: Sensor, end: End, sheet: Working) -> float:
    """What the charge point's cable makes the sensor show too little or too much while the car charges, A.

    `lead_gaps` must be empty. Raises LookupError where it is not.
    """
    if sensor.link == "radio" or end.more_hurts(seen(sensor.beside_car_cable_m)) == 0:
        return 0.0
    sheet.heading("What the charge point's cable induces in the lead")
    return _false_a(job, sensor, end.more_hurts(seen(sensor.beside_car_cable_m)),
                    end.less_hurts(seen(sensor.beside_car_cable_mm)), sheet)  # fmt: skip


def _false_a(job: Job, sensor: Sensor, beside_m: float, apart_mm: float, sheet: Working) -> float:
    car_a = sheet.given("Icar", job.charge_point.rated_a or 32.0,
                        "the job" if job.charge_point.rated_a else "assumed")  # fmt: skip
    f_per_s = sheet.given("fsup", CYCLES_PER_S, "the supply's frequency")
    cores_mm = sheet.given("dcore", CORES_MM, "assumed between the cores of the charge point's cable")
    lead_mm = sheet.given("dlead", LEAD_CORES_MM, "assumed between the cores of the lead")
    touching_mm = (cores_mm + lead_mm) / 2 + SHEATHS_MM
    sheet.given("dgap", max(apart_mm, touching_mm),
                "the job, middle to middle" if apart_mm >= touching_mm else "as near as the sheaths let them lie")
    apart_mm = max(apart_mm, touching_mm)
    loose_m = _loose_m(sensor, beside_m, sheet)
    near_mm = sheet.step("dnear = dgap - dlead / 2 - dcore / 2", apart_mm - lead_mm / 2 - cores_mm / 2)
    sheet.step("dfar = dnear + dcore", near_mm + cores_mm)
    volts = induced_v(current_a=car_a, cycles_per_s=f_per_s, beside_m=loose_m, apart_mm=apart_mm,
                      cores_apart_mm=cores_mm, lead_apart_mm=lead_mm)  # fmt: skip
    sheet.given("mu2pi", MU0_OVER_2PI, "magnetic constant over 2 pi")
    logs = "(ln((dnear + dlead) / dnear) - ln((dfar + dlead) / dfar))"
    sheet.step(f"emf = 2 * pi * fsup * mu2pi * Icar * Lloose * {logs}", volts)
    output = sheet.given("kout", sensor.output_mv_per_a or OUTPUT_MV_PER_A,
                         "its plate" if sensor.output_mv_per_a else "assumed, from memory of voltage-output sensors")
    return sheet.step("Ifalse = 1000 * emf / kout", false_a(induced_v=volts, output_mv_per_a=output))


def _loose_m(sensor: Sensor, beside_m: float, sheet: Working) -> float:
    """In a twisted pair neighbouring half turns cancel, and at most one half turn is left over."""
    if sensor.lead_kind in (None, "untwisted"):
        return sheet.given("Lloose", beside_m, "the job" if sensor.lead_kind else "the job; taken as untwisted")
    turn_mm = sheet.given("Ltwist", TWIST_MM, "assumed length of a turn")
    return sheet.step("Lloose = Ltwist / 2 / 1000", turn_mm / 2 / 1000)
