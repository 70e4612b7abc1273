"""Whether the readings show that the supply's sensors read no lower than the proof of the load cap allows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ampwright.assess.load_cap.chain import CAP, LIMITS, exact, grid_sensors
from ampwright.assess.sensors.class_limits import class_limits
from ampwright.assess.sensors.feasible import TIMING_KW
from ampwright.assess.sensors.session import STEP_KW
from ampwright.facts import constant
from ampwright.job.paths import unseen
from ampwright.job.record import Job, SensorReading
from ampwright.rules.gb.parts.route import design_current_a
from ampwright.rules.regulation import Finding, ask, seen, settled
from ampwright.working import Working, capital, down, up

LEAD = ("sensor_lead",)
FULL_RATIO = 0.8  # of the car's design current, our own choice: a smaller load says little of the size


@dataclass(frozen=True, slots=True)
class Apart:
    """How far the sensors read below the meter, by how much that is unsure, and how far they may, kW."""

    low_kw: float
    unsure_kw: float
    allowed_kw: float


def size_proved(job: Job, right: str) -> Finding:
    """Against the supplier's meter, with the car stopped and at its full current; `right` is what is known already."""
    since = max((number for number, each in enumerate(job.tests.sensing) if each.changed), default=0)
    readings = [each for each in job.tests.sensing[since:] if each.meter_kw is not None and _shown_kw(job, each)]
    most_a = design_current_a(job)
    full = [each for each in readings if each.car_a is not None and each.car_a >= FULL_RATIO * most_a]
    stopped = any(each.car_a == 0 for each in readings)
    gaps = unseen(job, (f"{CAP}.meter_percent",))
    if not full or not stopped or gaps:
        says = (f"{right} That it reads no lower than the proof allows is not shown yet: read the supplier's meter at"
                f" the same moments, once with the car stopped and once with it at {most_a:g} A.")  # fmt: skip
        return ask("tests.sensing", *gaps, says=says)
    return _judged([_apart(job, each) for each in full], right)


def _judged(found: list[Apart], right: str) -> Finding:
    """One reading that bears it out is enough, and one that cannot be explained is too much."""
    bad = max(found, key=lambda each: abs(each.low_kw) - each.unsure_kw - each.allowed_kw)
    good = min(found, key=lambda each: each.low_kw + each.unsure_kw - each.allowed_kw)
    if abs(bad.low_kw) - bad.unsure_kw > bad.allowed_kw + 1e-9:
        says = (f"{right} But with the car at its full current sensor and meter differ by {abs(bad.low_kw):.2f} kW, at"
                f" least {down(abs(bad.low_kw) - bad.unsure_kw, 2)} of it more than rounding and the moment of reading;"
                f" class, jaws and meter explain {up(bad.allowed_kw)} kW.")  # fmt: skip
        return settled(False, says, Working(), LEAD)
    most_kw = good.low_kw + good.unsure_kw
    reads = (f"with the car at its full current the sensor may read up to {up(max(0.0, most_kw))} kW low, rounding and"
             f" the moment of reading counted; the proof takes {down(good.allowed_kw, 2)} kW")  # fmt: skip
    if most_kw <= good.allowed_kw + 1e-9:
        return settled(True, f"{right} {capital(reads)}.", Working(), LEAD)
    says = (f"{right} But {reads}. Read sensor and meter again at the same moment, with the large loads on beside the"
            " car: the more current, the less rounding counts.")  # fmt: skip
    return ask("tests.sensing", says=says)


def _shown_kw(job: Job, reading: SensorReading) -> list[float]:
    """What the supply's sensors showed; nothing unless each was read on every line it stands for."""
    names = [sensor.name for _, sensor in grid_sensors(job)]
    lines = {sensor.name: (job.supply.phases or 1) if sensor.line == "all" else 1 for _, sensor in grid_sensors(job)}
    found = [each for each in reading.shown if each.sensor in names]
    whole = all(sum(each.sensor == name for each in found) == lines[name] for name in names)
    return [each.kw for each in found] if whole else []


def _apart(job: Job, reading: SensorReading) -> Apart:
    """Meter less sensors, what the reading itself leaves unsure, and what the proof allows."""
    meter = seen(reading.meter_kw)
    shown = _shown_kw(job, reading)
    sensors = [sensor for _, sensor in grid_sensors(job)]
    jaws = max(constant(LIMITS, "split_core").value if sensor.split_core is not False else 0.0 for sensor in sensors)
    worst = max((class_limits(sensor, job.supply.declared_v) for sensor in sensors),
                key=lambda each: abs(float(each.most_kw(np.array(10.0)))))  # fmt: skip
    class_kw = sum(abs(float(worst.most_kw(np.array(kw)))) for kw in shown)
    size_kw = sum(abs(kw) for kw in shown)
    allowed_kw = class_kw + size_kw * (jaws + exact(job, f"{CAP}.meter_percent")) / 100
    steps_kw = sum(sensor.display_step_kw or STEP_KW for sensor in sensors) / 2
    middle_kw = (meter.low + meter.high) / 2
    low_kw = (middle_kw - sum(shown)) * (-1 if middle_kw < 0 else 1)
    return Apart(low_kw, steps_kw + (meter.high - meter.low) / 2 + TIMING_KW, allowed_kw)
