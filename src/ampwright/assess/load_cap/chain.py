"""The error chain: from what may truly flow to what may be shown, and back again as the proof."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import wraps

from ampwright.assess.load_cap.situation import LEAST_STEP_A
from ampwright.assess.sensors.class_limits import CLASSES, class_points
from ampwright.assess.sensors.leads import false_reading_a, lead_gaps
from ampwright.facts import NoRow, constant, look_up, rows
from ampwright.job.paths import at, unseen
from ampwright.job.record import Job, Sensor
from ampwright.reading import WORST, End
from ampwright.rules.gb.parts.demand import battery_a, load_a, on_line, unwatched
from ampwright.rules.regulation import Finding, for_the_designer, seen, settled
from ampwright.working import Fact, Working, down

CAP = "charge_point.load_cap"
SHOWN = (f"{CAP}.meter_percent", f"{CAP}.display_step_a", f"{CAP}.dead_band_a")
LIMITS = "gb/load_cap_limits"


class NotHeld(NoRow):
    """No published figure is held for this; the message says so in the electrician's words."""


class TooSmall(NotHeld):
    """The sensor's range ends before the load cap would act."""


def in_words(judge: Callable[[Job], Finding]) -> Callable[[Job], Finding]:
    """The same question, left to the designer in plain words where no figure is held, and refused where it is blind."""

    @wraps(judge)
    def answered(job: Job) -> Finding:
        blind = unwatched(job)
        if blind:
            says = f"No sensor watches the supply on {' and '.join(blind)}: the load cap is blind there."
            return settled(False, says, Working())
        try:
            return judge(job)
        except NotHeld as end:
            return for_the_designer(str(end), Working())

    return answered


def grid_sensors(job: Job, line: str | None = None) -> Iterator[tuple[int, Sensor]]:
    """The sensors at the supply, with their place in the list; of one line, if it is named."""
    for number, sensor in enumerate(job.sensors):
        if sensor.watches == "grid" and (line is None or on_line(job, line, sensor.line)):
            yield number, sensor


def chain_gaps(job: Job) -> tuple[str, ...]:
    """What is still wanted before the errors can be added up."""
    paths = [f"sensors[{number}].{name}" for number, _ in grid_sensors(job)
             for name in ("class_percent", "rated_a", "split_core")]  # fmt: skip
    leads = [path for number, _ in grid_sensors(job) for path in lead_gaps(job, number)]
    return (*(("sensors",) if not paths else ()), *unseen(job, tuple(paths)), *leads, *unseen(job, SHOWN))


def line_loads_a(job: Job, line: str, end: End) -> tuple[float, float]:
    """The line's loads and charging battery all at once, with no diversity: what the sensor sees, and what not, A."""
    seen_a, blind_a = battery_a(job, line, end), 0.0
    for number, load in enumerate(seen(job.installation.loads), start=1):
        if on_line(job, line, load.line):
            current_a = load_a(job, load, number, end, Working())
            if load.beyond_sensor:
                blind_a += current_a
            else:
                seen_a += current_a
    return seen_a, blind_a


def errors_ratio(job: Job, line: str, cap_a: float, sheet: Working) -> float:
    """The whole error of sensor and meter at this load cap: every allowance added, of the line's worst sensor.

    Above the cap a class allows no more than at the point of its table at or below it, so that one figure serves.
    Raises NoRow where no class holds at this current.
    """
    numbers = [number for number, _ in grid_sensors(job, line)]
    if not numbers:
        raise NotHeld(f"No sensor watches the supply on {line}.")
    worst = max(numbers, key=lambda number: _one_error_ratio(job, number, cap_a, Working()))
    return _one_error_ratio(job, worst, cap_a, sheet)


def _one_error_ratio(job: Job, number: int, cap_a: float, sheet: Working) -> float:
    sensor = job.sensors[number]
    rated_a = sheet.given("Isens", seen(sensor.rated_a), f"{sensor.name}: its plate")
    sheet.given("Ccap", cap_a, "tried: whole amperes from above")
    share_percent = sheet.step("prated = 100 * Ccap / Isens", 100 * cap_a / rated_a)
    class_error = sheet.fact("psens", _class_error(seen(sensor.class_percent), share_percent))
    meter = sheet.given("pmet", seen(job.charge_point.load_cap.meter_percent), "the meter's class")
    opens = seen(sensor.split_core)
    jaws = sheet.fact("psplit", constant(LIMITS, "split_core")) if opens else sheet.given("psplit", 0.0, "closed core")
    return sheet.step("errs = (psens + pmet + psplit) / 100", (class_error + meter + jaws) / 100)


def _class_error(class_percent: float, share_percent: float) -> Fact:
    holds_to = constant(LIMITS, "class_holds_to").value
    if share_percent > holds_to:
        raise TooSmall(f"The sensor is too small: at {share_percent:.0f} % of its rated current no class holds"
                     f" (to {holds_to:g} %). Fit one of a higher rating.")  # fmt: skip
    above = min((float(row["class_percent"]) for row in rows(CLASSES) if float(row["class_percent"]) >= class_percent),
                default=None)  # fmt: skip
    if above is None:
        raise NotHeld(f"The tables hold no class of {class_percent:g} or worse.")
    points = [point for point, _ in class_points(above)]
    reached = [point for point in points if point <= share_percent]
    if not reached:
        raise NotHeld(f"Class {above:g} says nothing below {min(points):g} % of the sensor's rated current, and this"
                    f" load cap is {share_percent:.0f} %. Fit a sensor of a lower rating.")  # fmt: skip
    return look_up(CLASSES, "error_percent", class_percent=above, at_percent=max(reached))


def pick_up_a(job: Job, line: str, end: End, sheet: Working) -> float:
    """By how much the car's own cable beside a lead can make the line's worst sensor read low, A."""
    sensors = [sensor for _, sensor in grid_sensors(job, line)]
    worst = max(sensors, key=lambda sensor: false_reading_a(job, sensor, end, Working()))
    picked_a = false_reading_a(job, worst, end, sheet)
    return picked_a or sheet.given("Ifalse", 0.0, "no lead runs beside the car's cable")


def full_a(job: Job, line: str) -> float:
    """The current up to which the class of the line's smallest sensor holds: beyond it no more is sure to be shown."""
    rated_a = min(seen(sensor.rated_a) for _, sensor in grid_sensors(job, line))
    return rated_a * constant(LIMITS, "class_holds_to").value / 100


def proof(job: Job, line: str, cap_a: float, true_a: float, end: End, sheet: Working) -> float:
    """The sum of the chain at this cap, written out: what can truly flow, A, at the most.

    Raises TooSmall where the sensor is not sure ever to show as much as makes the car give way.
    """
    cap = job.charge_point.load_cap
    sheet.heading("What the sensor and the meter may get wrong")
    errors = errors_ratio(job, line, cap_a, sheet)
    false_a = pick_up_a(job, line, end, sheet)
    sheet.heading("The proof")
    step_a = sheet.given("dstep", seen(cap.display_step_a), "the display")
    half_a = sheet.step("rstep = dstep / 2", step_a / 2)
    band_a = sheet.given("Idead", seen(cap.dead_band_a), "the maker")
    _shows_enough(job, line, cap_a, errors, half_a + band_a + false_a, sheet)
    blind_a = sheet.given("Iblind", line_loads_a(job, line, end)[1], "loads that branch off before the sensor")
    sheet.given("Itrue", true_a, "what may flow for hours, above")
    sheet.step("Ctop = (Itrue - Iblind) * (1 - errs) - rstep - Idead - Ifalse",
               (true_a - blind_a) * (1 - errors) - half_a - band_a - false_a)  # fmt: skip
    sheet.given("Ccap", cap_a, "whole amperes, at or below that")
    return sheet.step("Tmost = (Ccap + rstep + Idead + Ifalse) / (1 - errs) + Iblind",
                      (cap_a + half_a + band_a + false_a) / (1 - errors) + blind_a)  # fmt: skip


def _shows_enough(job: Job, line: str, cap_a: float, error_ratio: float, lost_a: float, sheet: Working) -> None:
    """At the end of the sensor's range it must still show more than the cap, or the car never gives way."""
    ends_a = sheet.given("Irange", full_a(job, line), "to here the sensor's class holds: more is not sure to be shown")
    missed_a = sheet.given("Imiss", lost_a, "rounding, dead band and pick-up together")
    most_a = sheet.step("Cfull = Irange * (1 - errs) - Imiss", ends_a * (1 - error_ratio) - missed_a)
    if most_a < cap_a + LEAST_STEP_A - 1e-9:
        raise TooSmall(f"The sensor is too small: its class holds to {ends_a:g} A, where it may show no more than makes"
                       f" a load cap of {down(max(0.0, most_a), 1)} A act; behind one of {cap_a:g} A the car might"
                       " never give way. Fit one of a higher rating.")  # fmt: skip


def range_ends(job: Job, line: str, cap_a: float, true_a: float) -> str:
    """Why no more than this cap may be set, where it is the sensor's range that ends; else nothing."""
    try:
        proof(job, line, cap_a + 1, true_a, WORST, Working())
    except TooSmall as small:
        return f" {small}"
    return ""


def highest_cap_a(job: Job, line: str, true_a: float, end: End) -> float | None:
    """The largest whole ampere at which no more than `true_a` can flow; None if there is none from 1 A.

    Raises NoRow where no class holds at any of them.
    """
    ends: NoRow | None = None
    for cap_a in range(math.floor(true_a), 0, -1):
        try:
            most_a = proof(job, line, float(cap_a), true_a, end, Working())
        except NoRow as beyond:
            ends = beyond
            continue
        if most_a <= true_a + 1e-9:
            return float(cap_a)
    if ends is not None:
        raise ends
    return None


def lowest_cap_a(job: Job, line: str) -> int:
    """The lowest whole ampere at which a class holds on this line: none does at a small part of a sensor's rating."""
    cap_a = 1
    while not _holds(job, line, float(cap_a)):
        cap_a += 1
    return cap_a


def _holds(job: Job, line: str, cap_a: float) -> bool:
    try:
        errors_ratio(job, line, cap_a, Working())
    except NoRow:
        return False
    return True


def exact(job: Job, path: str) -> float:
    """A plain number of the record that was looked at. Raises LookupError where it was not."""
    return float(seen(at(job, path)))
