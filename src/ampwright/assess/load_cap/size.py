"""Whether the readings show that the supply's sensors read no lower than the proof of the load cap allows."""

from __future__ import annotations

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
from ampwright.working import Working, up

FULL_RATIO = 0.8  # of the car's design current, our own choice: a smaller load says little of the size


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
    apart_kw, allowed_kw = max(_apart(job, each) for each in full)
    says = (f"{right} With the car at its full current sensor and meter differ by {up(apart_kw)} kW; class, jaws,"
            f" meter and rounding explain {up(allowed_kw)} kW.")  # fmt: skip
    return settled(apart_kw <= allowed_kw + 1e-9, says, Working(), ("sensor_lead",))


def _shown_kw(job: Job, reading: SensorReading) -> list[float]:
    """What the supply's sensors showed; nothing unless each was read on every line it stands for."""
    names = [sensor.name for _, sensor in grid_sensors(job)]
    lines = {sensor.name: (job.supply.phases or 1) if sensor.line == "all" else 1 for _, sensor in grid_sensors(job)}
    found = [each for each in reading.shown if each.sensor in names]
    whole = all(sum(each.sensor == name for each in found) == lines[name] for name in names)
    return [each.kw for each in found] if whole else []


def _apart(job: Job, reading: SensorReading) -> tuple[float, float]:
    """How far sensors and meter are apart, and how far they may be, kW."""
    meter = seen(reading.meter_kw)
    shown = _shown_kw(job, reading)
    sensors = [sensor for _, sensor in grid_sensors(job)]
    jaws = max(constant(LIMITS, "split_core").value if sensor.split_core is not False else 0.0 for sensor in sensors)
    worst = max((class_limits(sensor, job.supply.declared_v) for sensor in sensors),
                key=lambda each: abs(float(each.most_kw(np.array(10.0)))))  # fmt: skip
    class_kw = sum(abs(float(worst.most_kw(np.array(kw)))) for kw in shown)
    size_kw = sum(abs(kw) for kw in shown)
    steps_kw = sum(sensor.display_step_kw or STEP_KW for sensor in sensors) / 2
    allowed_kw = class_kw + size_kw * (jaws + exact(job, f"{CAP}.meter_percent")) / 100 + steps_kw + TIMING_KW
    return max(abs(sum(shown) - meter.low), abs(sum(shown) - meter.high)), allowed_kw
