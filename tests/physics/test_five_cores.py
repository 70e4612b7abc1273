"""Five cores in a ring, by another method than images one by one."""

import math

import pytest

from ampwright.physics.heatpath import round_path


def five_cores(loaded_count):
    # BS 5467, 5 x 6 mm2: makers' sheet 14.5 mm under armour and 20 mm overall; the rest from memory
    return round_path(
        cores_count=5,
        loaded_count=loaded_count,
        conductor_mm=3.12,
        insulation_mm=0.7,
        under_armour_mm=14.5,
        bedding_mm=0.8,
        armour_mm=1.25,
        overall_mm=20,
        insulation_k_m_per_w=3.5,
        sheath_k_m_per_w=5.0,
    )


def test_all_five_loaded_by_the_closed_form_of_a_ring():
    # n equal sources d from the middle: the products over the ring are n d^(n-1) and R^2n - d^2n, so that
    # T1 = rho / 2 pi ln((R^10 - d^10) / (5 d^4 R^5 r)); r = 1.56, R = 6.45, d = 2.26 / sin 36 = 3.845 mm
    r_mm, inner_mm = 1.56, 6.45
    ring_mm = 2.26 / math.sin(math.radians(36))
    ratio = (inner_mm**10 - ring_mm**10) / (5 * ring_mm**4 * inner_mm**5 * r_mm)

    assert five_cores(5).t1_k_m_per_w == pytest.approx(3.5 / (2 * math.pi) * math.log(ratio))


def test_fewer_loaded_are_cooler():
    assert five_cores(2).t1_k_m_per_w < five_cores(3).t1_k_m_per_w < five_cores(5).t1_k_m_per_w
