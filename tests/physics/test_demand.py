"""Amperes from power and diversity, against published examples and sums done by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampwright.physics import demand

LOADS_A = st.lists(st.floats(0, 100), max_size=6)


@pytest.mark.parametrize(
    ("power_w", "published_a"),
    # "Basic Electrical Installation Work" p. 309: 12 kW, 52.17 A; a trade thread: 8 kW shower, 34.8 A
    [(12000, 52.17), (8000, 34.8), (7360, 32.0)],
)
def test_single_phase_amperes_as_published(power_w, published_a):
    assert demand.single_phase_a(power_w=power_w, voltage_v=230) == pytest.approx(published_a, abs=0.02)


def test_three_phase_amperes_by_hand():
    # 22000 / (1.7320508 x 400) = 31.754 A; at 0.8 power factor 39.69 A
    assert demand.three_phase_a(power_w=22000, line_voltage_v=400) == pytest.approx(31.754, abs=0.001)
    assert demand.three_phase_a(power_w=22000, line_voltage_v=400, power_factor_ratio=0.8) == pytest.approx(
        39.693, abs=0.001
    )


@pytest.mark.parametrize(
    ("load_a", "socket_a", "published_a"),
    # textbook p. 309: 52.17 A and a socket, 27.65 A; trade forum 2143439: 30 A, 16 A; forum 5783: 24.16 A
    # and a socket, 19.25 A (24.16 is itself rounded)
    [(52.17, 5, 27.65), (30, 0, 16), (24.16, 5, 19.25)],
)
def test_cooker_as_published(load_a, socket_a, published_a):
    counted_a = demand.first_then_rest_a(loads_a=[load_a], full_a=10, rest_ratio=0.3, socket_a=socket_a)

    assert counted_a == pytest.approx(published_a, abs=0.006)


def test_a_small_cooker_is_counted_whole():
    assert demand.first_then_rest_a(loads_a=[4, 5], full_a=10, rest_ratio=0.3) == pytest.approx(9)


def test_plain_share_of_the_sum():
    # lighting: 0.66 x (4 + 6) = 6.6 A
    assert demand.first_then_rest_a(loads_a=[4, 6], full_a=0, rest_ratio=0.66) == pytest.approx(6.6)


def test_largest_then_rest_as_published():
    # trade thread on a house list: two 32 A socket circuits are 32 + 12.8 = 44.8 A; three make 57.6 A
    assert demand.largest_then_rest_a(loads_a=[32, 32], rest_ratio=0.4) == pytest.approx(44.8)
    assert demand.largest_then_rest_a(loads_a=[20, 32, 32], rest_ratio=0.4) == pytest.approx(32 + 12.8 + 8)


def test_two_largest_then_rest_by_hand():
    # showers of 20, 40 and 30 A: 40 + 30 + 0.25 x 20 = 75 A
    assert demand.two_largest_then_rest_a(loads_a=[20, 40, 30], rest_ratio=0.25) == pytest.approx(75)


def test_no_diversity_is_the_sum():
    # trade forum 5783: the list adds to 97.29 A
    loads_a = [1.51, 0.41, 2.11, 32, 12.8, 12.8, 10, 19.25, 6.41]

    assert demand.all_a(loads_a=loads_a) == pytest.approx(97.29)


def test_nothing_makes_nothing():
    assert demand.all_a(loads_a=[]) == 0
    assert demand.largest_then_rest_a(loads_a=[], rest_ratio=0.4) == 0
    assert demand.two_largest_then_rest_a(loads_a=[], rest_ratio=0.25) == 0


@given(loads_a=LOADS_A, rest_ratio=st.floats(0, 1))
def test_diversity_never_adds_and_never_loses_the_largest(loads_a, rest_ratio):
    total_a = demand.all_a(loads_a=loads_a)
    one_a = demand.largest_then_rest_a(loads_a=loads_a, rest_ratio=rest_ratio)
    two_a = demand.two_largest_then_rest_a(loads_a=loads_a, rest_ratio=rest_ratio)

    assert max(loads_a, default=0) <= one_a + 1e-9
    assert one_a <= two_a + 1e-9
    assert two_a <= total_a + 1e-9


def test_half_hour_mean_by_hand():
    # 3.68 kWh in half an hour is 7.36 kW, at 230 V 32 A
    assert demand.half_hour_mean_a(energy_kwh=3.68, voltage_v=230) == pytest.approx(32)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: demand.single_phase_a(power_w=-1, voltage_v=230), "power_w"),
        (lambda: demand.single_phase_a(power_w=1, voltage_v=0), "voltage_v"),
        (lambda: demand.three_phase_a(power_w=1, line_voltage_v=400, power_factor_ratio=1.2), "power_factor"),
        (lambda: demand.all_a(loads_a=[1, -2]), "load 2"),
        (lambda: demand.largest_then_rest_a(loads_a=[1], rest_ratio=40), "rest_ratio"),
        (lambda: demand.first_then_rest_a(loads_a=[1], full_a=-1, rest_ratio=0.3), "full_a"),
        (lambda: demand.half_hour_mean_a(energy_kwh=-1, voltage_v=230), "energy_kwh"),
    ],
)
def test_names_the_number_at_fault(call, named):
    with pytest.raises(ValueError, match=named):
        call()
