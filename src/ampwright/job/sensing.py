"""Readings of the sensors' own displays, taken one after another while things are switched on purpose."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ampwright.job.choices import Line
from ampwright.reading import Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What the display gives for one sensor at one moment, with the sign that it shows."""

    sensor: str
    line: Line | None = None
    kw: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SensorReading:
    """One moment: what was on, and what every display showed."""

    at: str | None = None
    car_a: float | None = None
    known_load_kw: float | None = None
    known_load_line: Line = "L1"
    inverter: Literal["running", "off"] | None = None
    battery: Literal["idle", "working"] | None = None
    dark: bool | None = None
    shown: tuple[Shown, ...] = ()
    meter_kw: Reading | None = None
    inverter_kw: Reading | None = None
    changed: str | None = None
