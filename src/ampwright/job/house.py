"""What stands there already: the site, the supply, the installation, generation and storage."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from typing import Literal

from ampwright.job.choices import Bonded, Earthing, Line, Metal, Method, Nation, Purpose, RatingKnownBy, RcdType
from ampwright.reading import Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Gas:
    fitted: bool | None = None
    pipe_to_cable_mm: Reading | None = None
    meter_to_equipment_mm: Reading | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    address: tuple[str, ...] = ()
    postcode: str | None = None
    nation: Nation | None = None
    mpan: str | None = None
    parking: Literal["private, off the street", "on the street", "shared"] | None = None
    tenure: Literal["owner", "tenant", "landlord"] | None = None
    dwelling: Literal["house", "flat"] | None = None
    built_year: Reading | None = None
    listed: bool | None = None
    scheduled_monument: bool | None = None
    conservation_area: bool | None = None
    highway_m: Reading | None = None
    hazards: str | None = None
    nearest_emergency: str | None = None
    access: str | None = None
    services_traced: bool | None = None
    sun_region: int | None = None
    weather_file: str | None = None
    gas: Gas = field(default_factory=Gas)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutout:
    kind: Literal["bs88_3", "bs1361", "bs88_2", "bs3036"] | None = None
    rating_a: Reading | None = None
    rating_known_by: RatingKnownBy | None = None
    sound: bool | None = None
    sustained_a: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tails:
    size_mm2: Reading | None = None
    length_m: Reading | None = None
    method: Method | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    phases: Literal[1, 3] | None = None
    declared_v: float = 230.0
    earthing: Earthing | None = None
    cutout: Cutout = field(default_factory=Cutout)
    looped: bool | None = None
    metered: bool | None = True
    upgrade_known_needed: bool | None = None
    tails: Tails = field(default_factory=Tails)
    ze_ohm: Reading | None = None
    pfc_ka: Reading | None = None
    isolator: bool | None = None
    meter: str | None = None
    polarity_right: bool | None = None
    earthing_conductor_mm2: Reading | None = None
    earthing_conductor_metal: Metal | None = None
    earthing_conductor_sound: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rcd:
    fitted: bool | None = None
    type: RcdType | None = None
    idn_ma: float | None = None
    poles: Literal[1, 2, 4] | None = None
    delayed: bool | None = None
    bidirectional: bool | None = None
    rated_a: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    purpose: Purpose
    name: str = ""
    current_a: Reading | None = None
    power_w: Reading | None = None
    line: Line = "L1"
    socket: bool = False
    beyond_sensor: bool = False

    @property
    def called(self) -> str:
        """Its name; one that was left out is its purpose."""
        return self.name or self.purpose.replace("_", " ")


@dataclass(frozen=True, slots=True, kw_only=True)
class HalfHourly:
    """A year of the supplier's half-hourly readings, by reference; the other fields are read from it."""

    csv: str | None = None
    highest_kwh: float | None = None
    highest_at: str | None = None
    days_count: float | None = None
    missing_count: float | None = None
    months: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """Where conductors branch: a split of the meter tails, or a board."""

    name: str
    kind: Literal["split", "board"]
    fed_from: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Installation:
    board: str | None = None
    board_reference: str | None = None
    board_place: str | None = None
    spare_way: bool | None = None
    main_switch_a: Reading | None = None
    main_switch_v: float | None = None
    main_switch_poles: Literal[1, 2, 3, 4] | None = None
    main_switch_standard: str | None = None
    main_switch_place: str | None = None
    busbar_a: Reading | None = None
    board_withstand_ka: float | None = None
    upstream_rcd: Rcd = field(default_factory=Rcd)
    surge_protection: bool | None = None
    main_bonding_mm2: Reading | None = None
    main_bonding_metal: Metal | None = None
    main_bonding_sound: bool | None = None
    bonded: tuple[Bonded, ...] = ()
    comments: str | None = None
    loads: tuple[Load, ...] | None = None
    annual_kwh: Reading | None = None
    half_hourly: HalfHourly = field(default_factory=HalfHourly)
    points: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Array:
    name: str
    peak_kw: Reading | None = None
    tilt_deg: Reading | None = None
    azimuth_deg: Reading | None = None
    shade_percent: tuple[float, ...] = ()
    skyline_deg: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Generation:
    """What is put up in this job is fitted, whether or not that is said as well."""

    fitted: bool | None = None
    arrays: tuple[Array, ...] = ()
    inverter_a: Reading | None = None
    line: Line = "L1"
    on_charge_point_circuit: bool | None = None
    fed_from: str | None = None
    export_limit_kw: Reading | None = None
    part_of_this_job: bool | None = None
    kind: Literal["solar panels", "wind", "water", "combined heat and power"] | None = None
    register_reference: str | None = None
    isolator_place: str | None = None
    commissioned: datetime.date | None = None
    approval_reference: str | None = None
    own_csv: str | None = None

    def __post_init__(self) -> None:
        """Fill in what follows."""
        if self.fitted is None and self.part_of_this_job:
            object.__setattr__(self, "fitted", True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Storage:
    fitted: bool | None = None
    capacity_kwh: Reading | None = None
    inverter_a: Reading | None = None
    line: Line = "L1"
    on_charge_point_circuit: bool | None = None
    runs_when_grid_fails: bool | None = None
    fed_from: str | None = None
    coupling: Literal["AC", "DC"] | None = None
    feeds_car: bool | None = None
    charges_from_supply: bool | None = None
