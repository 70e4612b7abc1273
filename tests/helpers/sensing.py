"""Invented homes with sensors, and readings of them, for the tests of placement and diagnosis."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from ampwright.job.record import (
    ChargePoint,
    Generation,
    Job,
    Sensor,
    SensorReading,
    Shown,
    Storage,
    Supply,
    Tests,
)
from ampwright.reading import measured

GRID = Sensor(name="grid sensor", watches="grid", display_step_kw=0.1, class_percent=3)
SUN = Sensor(name="solar sensor", watches="generation", display_step_kw=0.1, class_percent=3)


def home(*sensors: Sensor, solar: bool = True, **groups: Any) -> Job:
    """A single-phase home with a 32 A car and, unless told otherwise, a 16 A inverter; grid and solar sensor."""
    usual: dict[str, Any] = {
        "supply": Supply(phases=1), "generation": Generation(fitted=solar, inverter_a=measured(16)),
        "storage": Storage(fitted=False), "charge_point": ChargePoint(rated_a=32, phases=1),
        "sensors": sensors or ((GRID, SUN) if solar else (GRID,)),
    }  # fmt: skip
    return Job(**{**usual, **groups})


def three_phase(car_phases: Any = 3) -> Job:
    """Three grid sensors and a solar sensor; the inverter is on L1."""
    grid = tuple(replace(GRID, name=f"grid {line}", line=line) for line in ("L1", "L2", "L3"))
    return home(*grid, SUN, supply=Supply(phases=3), charge_point=ChargePoint(rated_a=16, phases=car_phases))


def reading(*kw: float, job: Job | None = None, **arranged: Any) -> SensorReading:
    """What the sensors of a job (the usual home) showed, in the job's order, and what was arranged."""
    names = [each.name for each in (job or home()).sensors]
    shown = tuple(Shown(sensor=name, kw=each) for name, each in zip(names, kw, strict=False))
    usual: dict[str, Any] = {"car_a": 0.0, "known_load_kw": 0.0, "inverter": "running", "dark": False}
    return SensorReading(shown=shown, **{**usual, **arranged})


def with_readings(job: Job, *readings: SensorReading) -> Job:
    """The job with these readings."""
    return replace(job, tests=Tests(sensing=readings))
