"""The job record: frozen dataclasses with units in their names.

Every leaf may be None, which means "not looked at"; `fitted: false` means "looked, and there is none".
A `Reading` is a survey number: exact, or a range with its reason. What each field asks of the surveyor,
in words, stands in fields.csv beside this file.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from typing import Literal

from ampwright.job.choices import (
    Arrangement,
    BuriedSpacing,
    CableKind,
    ConductorClass,
    Cpc,
    DeviceKind,
    Line,
    Method,
    OpenPen,
)
from ampwright.job.driving import Following, Tariff, Trip, Vehicle
from ampwright.job.house import (
    Array,
    Cutout,
    Gas,
    Generation,
    HalfHourly,
    Installation,
    Load,
    Point,
    Rcd,
    Site,
    Storage,
    Supply,
    Tails,
)
from ampwright.job.papers import Firm, Grant, Inspection, Made, Notices, Photos
from ampwright.job.sensing import SensorReading, Shown
from ampwright.job.sketch import Enclosure, Sketch, Surface
from ampwright.job.testing import Instrument, PilotReading, Tests
from ampwright.reading import Reading

VERSION = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    role: Literal["customer", "owner", "occupier", "designer", "installer", "inspector"] = "customer"
    name: str | None = None
    organisation: str | None = None
    address: tuple[str, ...] = ()
    postcode: str | None = None
    phone: str | None = None
    email: str | None = None
    registration: str | None = None
    signature: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCap:
    """Automatic curtailment of the charge point by a measurement at the supply."""

    fitted: bool | None = None
    limit_a: float | None = None
    fails_safe: bool | None = None
    locked_from_customer: bool | None = None
    fallback_a: float | None = None
    watchdog_s: float | None = None
    response_s: float | None = None
    message_every_s: float | None = None
    meter_percent: float | None = None
    display_step_a: float | None = None
    dead_band_a: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargePoint:
    place: str | None = None
    made: Made = field(default_factory=Made)
    rated_a: float | None = None
    set_a: float | None = None
    set_locked_from_customer: bool | None = None
    phases: Literal[1, 3] | None = None
    line: Line = "L1"
    connector: Literal["tethered", "socket"] | None = None
    outdoors: bool | None = None
    sends_power_back: bool | None = None
    meets_standards: bool | None = None
    dc_detection: bool | None = None
    rcd: Rcd = field(default_factory=Rcd)
    open_pen: OpenPen | None = None
    load_cap: LoadCap = field(default_factory=LoadCap)
    following: Following = field(default_factory=Following)
    ip: str | None = None
    ik: str | None = None
    guarded_from_knocks: bool | None = None
    mounting: Literal["wall", "post"] | None = None
    casing_m3: Reading | None = None
    post_height_m: Reading | None = None
    other_earth_within_m: Reading | None = None
    network: Literal["wi-fi", "cable", "mobile", "none"] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Device:
    kind: DeviceKind | None = None
    curve: Literal["B", "C", "D"] | None = None
    rating_a: float | None = None
    breaking_ka: float | None = None
    energy_class: Literal[2, 3] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    device: Device = field(default_factory=Device)
    rcd: Rcd = field(default_factory=Rcd)
    local_isolator: bool | None = None
    terminals_c: Literal[70, 90] | None = None
    earthed_by: Literal["supply", "own electrode"] | None = None
    fed_from: str | None = None
    number: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cable:
    kind: CableKind | None = None
    size_mm2: float | None = None
    cores_count: Literal[2, 3, 4, 5] | None = None
    cpc: Cpc | None = None
    cpc_mm2: float | None = None
    carries_data: bool | None = None
    bedding_mm: Reading | None = None
    sheath_mm: Reading | None = None
    conductor_class: ConductorClass | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One stretch of the route, from the board outward, under one set of conditions."""

    name: str
    cable: Cable = field(default_factory=Cable)
    length_m: Reading | None = None
    method: Method | None = None
    ambient_c: Reading | None = None
    circuits_together_count: Reading | None = None
    arrangement: Arrangement | None = None
    buried_spacing: BuriedSpacing | None = None
    insulation_mm: Reading | None = None
    soil_k_m_per_w: Reading | None = None
    depth_m: Reading | None = None
    surface: Surface | None = None
    outdoors: bool | None = None
    through: tuple[str, ...] = ()
    enclosure: Enclosure = field(default_factory=Enclosure)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensor:
    name: str
    watches: Literal["grid", "generation", "storage", "car"]
    line: Line = "L1"
    link: Literal["wired", "radio"] | None = None
    rated_a: float | None = None
    split_core: bool | None = None
    lost_percent: float | None = None
    lead_m: Reading | None = None
    class_percent: float | None = None
    reach: Literal["single core in the open", "single core behind a cover", "whole cable only"] | None = None
    display_step_kw: float | None = None
    output_mv_per_a: float | None = None
    burden_ohm: float | None = None
    lead_mm2: float | None = None
    lead_kind: Literal["untwisted", "twisted", "twisted and screened"] | None = None
    beside_car_cable_m: Reading | None = None
    beside_car_cable_mm: Reading | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Electrode:
    fitted: bool | None = None
    rods_count: Literal[1, 2, 3, 4, 5, 6, 7, 8, 9, 10] | None = None
    rod_length_m: Reading | None = None
    rod_diameter_mm: float | None = None
    spacing_m: Reading | None = None
    soil_ohm_m: Reading | None = None
    measured_ohm: Reading | None = None
    conductor_mm2: float | None = None
    conductor_m: Reading | None = None
    place: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Dates:
    """What starts a clock of the law, and what was done about it."""

    enquired: datetime.date | None = None
    surveyed: datetime.date | None = None
    contract: datetime.date | None = None
    away_from_premises: bool | None = None
    planned: datetime.date | None = None
    installed: datetime.date | None = None
    network_told: datetime.date | None = None
    operator_agreed: datetime.date | None = None
    generation_told: datetime.date | None = None
    building_told: datetime.date | None = None
    grant_wanted: bool | None = None
    grant_applied: datetime.date | None = None
    grant_claimed: datetime.date | None = None
    registered: datetime.date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    version: int = VERSION
    reference: str | None = None
    title: str | None = None
    date: datetime.date | None = None
    edition: str | None = None
    asked_for: str | None = None
    work: Literal["new installation", "addition", "alteration"] | None = None
    departures: str | None = None
    people: tuple[Person, ...] = ()
    site: Site = field(default_factory=Site)
    supply: Supply = field(default_factory=Supply)
    installation: Installation = field(default_factory=Installation)
    generation: Generation = field(default_factory=Generation)
    storage: Storage = field(default_factory=Storage)
    tariff: Tariff = field(default_factory=Tariff)
    vehicles: tuple[Vehicle, ...] = ()
    charge_point: ChargePoint = field(default_factory=ChargePoint)
    circuit: Circuit = field(default_factory=Circuit)
    route: tuple[Section, ...] = ()
    sensors: tuple[Sensor, ...] = ()
    electrode: Electrode = field(default_factory=Electrode)
    tests: Tests = field(default_factory=Tests)
    sketch: Sketch = field(default_factory=Sketch)
    dates: Dates = field(default_factory=Dates)
    inspection: Inspection = field(default_factory=Inspection)
    firm: Firm = field(default_factory=Firm)
    photos: Photos = field(default_factory=Photos)
    grant: Grant = field(default_factory=Grant)
    notices: Notices = field(default_factory=Notices)


__all__ = [
    "VERSION",
    "Array",
    "Cable",
    "ChargePoint",
    "Circuit",
    "Cutout",
    "Dates",
    "Device",
    "Electrode",
    "Enclosure",
    "Firm",
    "Following",
    "Gas",
    "Generation",
    "Grant",
    "HalfHourly",
    "Inspection",
    "Installation",
    "Instrument",
    "Job",
    "Load",
    "LoadCap",
    "Made",
    "Notices",
    "Person",
    "Photos",
    "PilotReading",
    "Point",
    "Rcd",
    "Section",
    "Sensor",
    "SensorReading",
    "Shown",
    "Site",
    "Sketch",
    "Storage",
    "Supply",
    "Tails",
    "Tariff",
    "Tests",
    "Trip",
    "Vehicle",
]  # fmt: skip
