"""Armoured cable heated by a finite-difference model of others: our rating must bring it near its limit.

That library knows three cores and 10 mm2 upwards; two-core and smaller cables rest on the published tables.
"""

import pandas as pd
import pytest

from ampwright.physics import ampacity, heatpath

pytest.importorskip("cable_thermal_model", reason="the second opinion on cable heat is not installed")

from cable_thermal_model.cable.schemas import cable_layer_input_schemas as layers
from cable_thermal_model.cable.schemas.cable_input_schemas import CableConstructionalInputSchema
from cable_thermal_model.cable.schemas.circuit_schemas import (
    CircuitInAirFromCableConstructionalInputSchema,
    CircuitInSoilFromCableConstructionalInputSchema,
)
from cable_thermal_model.environment.static_env_air import StaticEnvAir
from cable_thermal_model.environment.static_env_soil import StaticEnvSoil
from cable_thermal_model.model.model_factory import ModelFactory

# Makers' sheet for BS 5467: conductor, under armour, armour wire, overall, in mm; then r20
CABLES = {10: (4.05, 13.1, 1.25, 19.5, 1.83), 16: (5.10, 15.3, 1.25, 21.6, 1.15)}
INSULATION_MM, BEDDING_MM = 0.7, 0.8


def built(schema, **given):
    """One of that library's schemas from plain words, which it reads into its own."""
    return schema.model_validate(given)


def ours(size_mm2):
    conductor_mm, under_armour_mm, armour_mm, overall_mm, r20 = CABLES[size_mm2]
    path = heatpath.round_path(
        cores_count=3,
        loaded_count=3,
        conductor_mm=conductor_mm,
        insulation_mm=INSULATION_MM,
        under_armour_mm=under_armour_mm,
        bedding_mm=BEDDING_MM,
        armour_mm=armour_mm,
        overall_mm=overall_mm,
        insulation_k_m_per_w=3.5,
        sheath_k_m_per_w=5.0,
    )
    return path, ampacity.Conductor(r20_ohm_per_km=r20, alpha20_per_k=0.00393, max_c=90)


def theirs(size_mm2):
    conductor_mm, under_armour_mm, armour_mm, overall_mm, _ = CABLES[size_mm2]
    return built(
        CableConstructionalInputSchema,
        number_of_conductors=3,
        conductor_input=built(
            layers.ConductorInputSchema,
            material="cmCu",
            shape="ccRound",
            surface_type="ctStranded",
            inner_radius=0.0,
            conducting_surface_area=size_mm2 * 1e-6,
            single_conductor_radius=conductor_mm / 2000,
        ),
        insulation_input=built(
            layers.ThreeCoreCableInsulationInputSchema,
            material="imXLPEUnfilled",
            nominal_phase_voltage=230,
            diameter_over_stranded_conductors=(1 + 2 / 3**0.5) * (conductor_mm + 2 * INSULATION_MM) / 1000,
            single_conductor_insulation_thickness=INSULATION_MM / 1000,
            outer_radius=under_armour_mm / 2000 - BEDDING_MM / 1000,
        ),
        bedding_input=built(layers.BeddingInputSchema, material="imPVC", thickness=BEDDING_MM / 1000),
        armour_input=built(
            layers.ArmourInputSchema,
            material="samSteel",
            thickness=armour_mm / 1000,
            conducting_surface_area=3.14 * (under_armour_mm + armour_mm) * armour_mm * 0.8e-6,
        ),
        sheath_input=built(layers.SheathInputSchema, material="pcPVC", outer_radius=overall_mm / 2000),
    )


def settled_c(environment, scenario, load_a):
    output = ModelFactory.create_model(environment).run(scenario.assign(load_cable=load_a))
    result = output.result["cable"]
    return float(result.xs("Conductor", axis=1, level=-1).iloc[-1, 0])


@pytest.mark.parametrize("size_mm2", CABLES)
def test_clipped_to_a_wall(size_mm2):
    path, conductor = ours(size_mm2)
    clipped = ampacity.AirCooling(z_w_per_m2_k=1.69, e_w_per_m2_k=0.63, g_ratio=0.25)
    rating_a = ampacity.rating_in_air_a(path=path, conductor=conductor, ambient_c=30, cooling=clipped)
    environment = StaticEnvAir()
    environment.add_circuit_from_cable_constructional_information(
        built(
            CircuitInAirFromCableConstructionalInputSchema,
            circuit_name="cable",
            circuit_type="single",
            bonding_type="no_bonding",
            clipped_to_wall=True,
            cable_constructional_information=theirs(size_mm2),
        )
    )
    day = pd.DataFrame({"ambient_temperature": 30.0}, index=pd.timedelta_range("0h", periods=25, freq="1h"))

    assert 85 < settled_c(environment, day, rating_a) < 90


@pytest.mark.parametrize("size_mm2", CABLES)
def test_laid_in_the_ground(size_mm2):
    path, conductor = ours(size_mm2)
    rating_a = ampacity.rating_buried_a(path=path, conductor=conductor, ground_c=20, depth_m=0.7, soil_k_m_per_w=2.5)
    environment = StaticEnvSoil()
    environment.add_circuit_from_cable_constructional_information(
        built(
            CircuitInSoilFromCableConstructionalInputSchema,
            circuit_name="cable",
            circuit_type="single",
            bonding_type="no_bonding",
            x=0,
            y=-0.7,
            cable_constructional_information=theirs(size_mm2),
        )
    )
    long_after = pd.DataFrame(
        {"ambient_temperature": 20.0, "soil_thermal_resistivity": 2.5, "soil_thermal_capacity": 2e6},
        index=pd.timedelta_range("0D", "100000D", periods=51),
    )

    assert 85 < settled_c(environment, long_after, rating_a) < 90
