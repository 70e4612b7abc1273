"""One invented house that passes, complete enough for every rule, and a way to change it."""

from __future__ import annotations

import datetime
from collections.abc import Mapping

from ampwright.job.paths import changed
from ampwright.job.record import (
    Array,
    Cable,
    ChargePoint,
    Circuit,
    Cutout,
    Device,
    Electrode,
    Gas,
    Generation,
    Installation,
    Job,
    Load,
    LoadCap,
    Person,
    Rcd,
    Section,
    Sensor,
    Site,
    Storage,
    Supply,
    Tails,
    Vehicle,
)
from ampwright.reading import measured


def change(job: Job, changes: Mapping[str, object]) -> Job:
    """The same job with other values, by path: `{"supply.ze_ohm": measured(0.5)}`."""
    return changed(job, changes)


def house(changes: Mapping[str, object] | None = None) -> Job:
    """A detached house on TN-C-S, 100 A, with a 32 A outdoor charge point 28 m from the board."""
    return change(
        Job(
            reference="J-0001",
            title="Charge point at a house with solar panels",
            date=datetime.date(2026, 5, 4),
            people=(
                Person(role="customer", name="A. Customer", address=("1 Example Road", "Anytown")),
                Person(role="installer", name="An Installer", organisation="Example Electrical"),
            ),
            site=_site(),
            supply=_supply(),
            installation=_installation(),
            generation=_generation(),
            storage=Storage(fitted=False, on_charge_point_circuit=False),
            vehicles=(Vehicle(name="car", battery_kwh=measured(60), onboard_a=32, onboard_phases=1,
                              miles_per_kwh=measured(3.5), miles_per_year=measured(8000)),),
            charge_point=_charge_point(),
            circuit=_circuit(),
            route=_route(),
            sensors=(Sensor(name="grid", watches="grid", link="wired", lead_m=measured(10),
                            class_percent=1.0),),
            electrode=Electrode(fitted=False),
        ),
        changes or {},
    )  # fmt: skip


def _site() -> Site:
    return Site(
        address=("1 Example Road", "Anytown"),
        nation="England",
        dwelling="house",
        built_year=measured(1995),
        listed=False,
        scheduled_monument=False,
        gas=Gas(fitted=True, pipe_to_cable_mm=measured(300), meter_to_equipment_mm=measured(600)),
    )


def _supply() -> Supply:
    return Supply(
        phases=1,
        earthing="TN-C-S",
        cutout=Cutout(kind="bs88_3", rating_a=measured(100), rating_known_by="operator's record", sound=True),
        looped=False,
        metered=True,
        upgrade_known_needed=False,
        tails=Tails(size_mm2=measured(25), length_m=measured(2), method="C"),
        ze_ohm=measured(0.2, "loop tester"),
        pfc_ka=measured(1.3, "loop tester"),
        isolator=True,
    )


def _installation() -> Installation:
    return Installation(
        board="metal consumer unit in the hall",
        spare_way=True,
        main_switch_a=measured(100),
        busbar_a=measured(100),
        board_withstand_ka=16,
        upstream_rcd=Rcd(fitted=False),
        surge_protection=True,
        main_bonding_mm2=measured(10),
        loads=(
            Load(name="lights", purpose="lighting", current_a=measured(6)),
            Load(name="cooker", purpose="cooking", current_a=measured(30), socket=False),
            Load(name="sockets", purpose="standard_circuits", current_a=measured(32)),
        ),
        annual_kwh=measured(3500),
    )


def _generation() -> Generation:
    roof = Array(name="south roof", peak_kw=measured(4.0), tilt_deg=measured(35), azimuth_deg=measured(180))
    return Generation(fitted=True, arrays=(roof,), inverter_a=measured(16), on_charge_point_circuit=False)


def _charge_point() -> ChargePoint:
    return ChargePoint(
        rated_a=32,
        phases=1,
        connector="tethered",
        outdoors=True,
        sends_power_back=False,
        meets_standards=True,
        dc_detection=True,
        rcd=Rcd(fitted=False),
        open_pen="measuring electrode",
        load_cap=LoadCap(fitted=False),
        ip="IP54",
        ik="IK08",
        guarded_from_knocks=False,
        mounting="wall",
        casing_m3=measured(0.02),
        other_earth_within_m=measured(10),
    )


def _circuit() -> Circuit:
    return Circuit(
        device=Device(kind="rcbo", curve="B", rating_a=32, breaking_ka=6, energy_class=3),
        rcd=Rcd(fitted=True, type="A", idn_ma=30, poles=2, delayed=False, bidirectional=True),
        local_isolator=True,
        terminals_c=70,
        earthed_by="supply",
    )


def _route() -> tuple[Section, ...]:
    flat = Cable(kind="flat_twin_and_earth", size_mm2=6, cores_count=2, cpc="core")
    armoured = Cable(kind="armoured_90c", size_mm2=6, cores_count=2, cpc="armour")
    return (
        Section(name="indoors", cable=flat, length_m=measured(5), method="C", ambient_c=measured(30),
                circuits_together_count=measured(1), arrangement="single_layer_wall_touching",
                insulation_mm=measured(0), outdoors=False, through=("cavity wall",)),
        Section(name="under the garden", cable=armoured, length_m=measured(20), method="D",
                ambient_c=measured(15), circuits_together_count=measured(1), buried_spacing="touching",
                insulation_mm=measured(0), soil_k_m_per_w=measured(2.5), depth_m=measured(0.6), surface="lawn"),
        Section(name="up the wall", cable=armoured, length_m=measured(3), method="C", ambient_c=measured(30),
                circuits_together_count=measured(1), arrangement="single_layer_wall_touching",
                insulation_mm=measured(0), outdoors=True),
    )  # fmt: skip
