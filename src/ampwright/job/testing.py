"""What was measured on the finished circuit, with what, and what the charge point did under test."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Literal

from ampwright.job.sensing import SensorReading
from ampwright.reading import Reading

PilotState = Literal["A", "B", "C", "D", "E"]
Use = Literal["continuity", "insulation", "loop", "RCD", "electrode", "charge point"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """One test instrument: several tests may be done with it."""

    name: str
    used_for: tuple[Use, ...] = ()
    serial: str | None = None
    calibrated: datetime.date | None = None
    calibration_due: datetime.date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PilotReading:
    """What the charge point did in one state of the car, simulated with an adapter."""

    state: PilotState
    high_v: Reading | None = None
    duty_percent: Reading | None = None
    output_live: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tests:
    """Measured values, once there are any."""

    date: datetime.date | None = None
    isolation_proved: bool | None = None
    vulnerable: str | None = None
    instrument: str | None = None
    instruments: tuple[Instrument, ...] = ()
    conductors_c: Reading | None = None
    leads_ohm: Reading | None = None
    r1r2_ohm: Reading | None = None
    zs_ohm: Reading | None = None
    board_zs_ohm: Reading | None = None
    board_pfc_ka: Reading | None = None
    insulation_megohm: Reading | None = None
    polarity_right: bool | None = None
    rcd_ms: Reading | None = None
    rcd_button_works: bool | None = None
    dc_s: Reading | None = None
    pilot: tuple[PilotReading, ...] = ()
    open_pen_works: bool | None = None
    connector_locks: bool | None = None
    car_charged: bool | None = None
    remarks: str | None = None
    lead_off_a: Reading | None = None
    lead_off_s: Reading | None = None
    sensing: tuple[SensorReading, ...] = ()
