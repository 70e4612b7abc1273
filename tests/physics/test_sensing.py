"""Sensors: wrong voltage channels, leads and pick-up, against phasors, published figures and a numerical integral."""

import cmath
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampwright.physics.sensing import burden_growth_percent, false_a, induced_v, lead_loop_ohm, seen_kw

SIZES = st.floats(-20, 20)


@given(power_kw=SIZES, reactive_kva=SIZES, own=st.integers(0, 2), paired=st.integers(0, 2))
def test_agrees_with_phasors_in_volts_and_amperes(power_kw, reactive_kva, own, paired):
    # The second way: make the current from the line's own voltage, then multiply by the voltage it is paired with.
    lines_v = [cmath.rect(230, -2 * math.pi / 3 * line) for line in range(3)]
    current_a = (1000 * complex(power_kw, reactive_kva) / lines_v[own]).conjugate()
    read_kw = (lines_v[paired] * current_a.conjugate()).real / 1000
    assert seen_kw(power_kw=power_kw, reactive_kva=reactive_kva, ahead_deg=120 * (own - paired)) == pytest.approx(
        read_kw, abs=1e-9
    )


def test_a_resistive_load_on_the_next_channel_reads_minus_a_half_and_reversed_plus_a_half():
    # cos 120 = -0.5, cos 300 = 0.5; the published signature of a voltage and a current crossed
    assert seen_kw(power_kw=4, ahead_deg=120) == pytest.approx(-2)
    assert seen_kw(power_kw=4, ahead_deg=120 + 180) == pytest.approx(2)


# A published table of the error that one degree makes (sensing notes, S22): power factor and percent.
@pytest.mark.parametrize(("factor", "percent"), [(0.9, 0.83), (0.8, 1.29), (0.7, 1.77), (0.6, 2.31), (0.5, 3.01)])
def test_one_degree_of_phase_error_as_published(factor, percent):
    true_kw, reactive_kva = factor, math.sqrt(1 - factor**2)
    shown_kw = seen_kw(power_kw=true_kw, reactive_kva=reactive_kva, ahead_deg=-1)
    assert 100 * (shown_kw / true_kw - 1) == pytest.approx(percent, abs=0.006)


def test_lead_by_hand():
    # 10 m out and 10 m back of 19.5 ohm/km: 2 x 0.0195 x 10 = 0.39 ohm, on 70 ohm 0.557 %
    lead_ohm = lead_loop_ohm(r20_ohm_per_km=19.5, lead_m=10)
    assert lead_ohm == pytest.approx(0.39)
    assert burden_growth_percent(lead_ohm=lead_ohm, burden_ohm=70) == pytest.approx(0.557, abs=0.001)
    with pytest.raises(ValueError, match="above zero"):
        burden_growth_percent(lead_ohm=1, burden_ohm=0)


def integrated_v(current_a, beside_m, apart_mm, cores_mm, lead_mm):
    """The same by summing Biot-Savart fields over the lead's loop."""
    edges = np.linspace(apart_mm - lead_mm / 2, apart_mm + lead_mm / 2, 20_001) / 1000
    at_m = (edges[1:] + edges[:-1]) / 2
    half = cores_mm / 2000
    field = 4e-7 * math.pi * current_a / (2 * math.pi) * (1 / (at_m - half) - 1 / (at_m + half))
    return 2 * math.pi * 50 * beside_m * float(field.mean()) * lead_mm / 1000


@pytest.mark.parametrize("apart_mm", [10, 20, 50, 100])
def test_pick_up_agrees_with_the_field_summed_over_the_loop(apart_mm):
    volts = induced_v(current_a=32, cycles_per_s=50, beside_m=10, apart_mm=apart_mm, cores_apart_mm=4.5,
                    lead_apart_mm=2)  # fmt: skip
    assert volts == pytest.approx(integrated_v(32, 10, apart_mm, 4.5, 2), rel=1e-6)


def test_far_away_it_is_the_field_of_a_dipole():
    # mu0 I s / (2 pi d^2) x w L x 2 pi 50: 2e-7 x 32 x 0.0045 / 0.01 x 0.002 x 10 x 314.16 = 18.1e-6 V at 100 mm
    volts = induced_v(current_a=32, cycles_per_s=50, beside_m=10, apart_mm=100, cores_apart_mm=4.5, lead_apart_mm=2)
    assert volts == pytest.approx(18.1e-6, rel=0.01)
    # 0.0181 mV on 3.33 mV/A is 5.4 mA, which the notes round to 0.005 A
    assert false_a(induced_v=volts, output_mv_per_a=3.33) == pytest.approx(0.0054, abs=0.0001)


def test_refuses_what_cannot_be():
    with pytest.raises(ValueError, match="inside the cable"):
        induced_v(current_a=32, cycles_per_s=50, beside_m=1, apart_mm=3, cores_apart_mm=4.5, lead_apart_mm=2)
    with pytest.raises(ValueError, match="above zero"):
        false_a(induced_v=1, output_mv_per_a=0)
