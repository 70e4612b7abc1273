"""Resistance, temperature and voltage lost, against published figures and sums done by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampwright.physics import conductors

COPPER_PER_K = 0.00393


@pytest.mark.parametrize(
    ("at_c", "published"),
    # IEC 60228 annex: factor to 20 C, printed as 254.5 / (234.5 + T); here turned over.
    [(20, 1.0), (30, 264.5 / 254.5), (70, 304.5 / 254.5), (90, 324.5 / 254.5), (5, 239.5 / 254.5)],
)
def test_temperature_factor_is_that_of_iec_60228(at_c, published):
    factor = conductors.resistance_factor_ratio(at_c=at_c, alpha20_per_k=COPPER_PER_K)

    assert factor == pytest.approx(published, abs=0.0002)


def test_agrees_with_the_published_drop_per_ampere_and_metre():
    # BS 7671 table 4D5, 6 mm2: 7.3 mV/A/m at 70 C, printed to two figures
    warm_ohm = conductors.resistance_ohm(r20_ohm_per_km=3.08, length_m=1, at_c=70, alpha20_per_k=COPPER_PER_K)

    drop_v = conductors.single_phase_drop_v(one_way_ohm=warm_ohm, current_a=1)

    assert drop_v * 1000 == pytest.approx(7.3, abs=0.1)


def test_agrees_with_the_sum_done_by_hand():
    # 25 m x 3.08 ohm/km x 1.1965 = 0.092131 ohm; x 2 x 32 A = 5.8964 V; x 1.73205 x 32 A = 5.1064 V
    warm_ohm = conductors.resistance_ohm(r20_ohm_per_km=3.08, length_m=25, at_c=70, alpha20_per_k=COPPER_PER_K)

    assert warm_ohm == pytest.approx(0.0921305, abs=1e-7)
    assert conductors.single_phase_drop_v(one_way_ohm=warm_ohm, current_a=32) == pytest.approx(5.8964, abs=1e-4)
    assert conductors.three_phase_drop_v(one_way_ohm=warm_ohm, current_a=32) == pytest.approx(5.1064, abs=1e-4)


@pytest.mark.parametrize(
    ("line_ohm_per_km", "cpc_ohm_per_km", "published_ohm"),
    # "Guide to the Wiring Regulations", appendix 4 table 4.3: 50 m of flat cable at 20 C (rounded there)
    [(12.1, 18.1, 1.51), (7.41, 12.1, 0.98), (4.61, 12.1, 0.84), (3.08, 7.41, 0.52), (1.83, 4.61, 0.32)],
)
def test_r1_and_r2_of_fifty_metres_as_published(line_ohm_per_km, cpc_ohm_per_km, published_ohm):
    both = [
        conductors.resistance_ohm(r20_ohm_per_km=r, length_m=50, at_c=20, alpha20_per_k=COPPER_PER_K)
        for r in (line_ohm_per_km, cpc_ohm_per_km)
    ]

    assert sum(both) == pytest.approx(published_ohm, abs=0.006)


def test_brings_a_reading_to_twenty_degrees():
    # IEC 60228: at 10 C multiply by 254.5 / 244.5 = 1.0409
    ohm = conductors.resistance_at_20_ohm(measured_ohm=0.5, at_c=10, alpha20_per_k=COPPER_PER_K)

    assert ohm == pytest.approx(0.5 * 1.0409, abs=1e-4)


@given(at_c=st.floats(-40, 160), ohm=st.floats(0.001, 100))
def test_there_and_back_is_no_change(at_c, ohm):
    cold = conductors.resistance_at_20_ohm(measured_ohm=ohm, at_c=at_c, alpha20_per_k=COPPER_PER_K)
    factor = conductors.resistance_factor_ratio(at_c=at_c, alpha20_per_k=COPPER_PER_K)

    assert cold * factor == pytest.approx(ohm, rel=1e-12)


def test_paths_side_by_side():
    # 20 and 30 ohm: 600 / 50 = 12 ohm; 2, 3 and 6 ohm: 1 / (1/2 + 1/3 + 1/6) = 1 ohm
    assert conductors.parallel_ohm(20, 30) == pytest.approx(12)
    assert conductors.parallel_ohm(2, 3, 6) == pytest.approx(1)
    assert conductors.parallel_ohm(5, 0) == 0


@given(ohms=st.lists(st.floats(0.01, 1e4), min_size=2, max_size=6))
def test_paths_side_by_side_are_less_than_the_least(ohms):
    assert conductors.parallel_ohm(*ohms) < min(ohms)


@pytest.mark.parametrize(
    ("load_a", "expected_c"),
    # 30 + 40 (32/47)^2 = 30 + 40 x 0.46356 = 48.54; full load reaches 70; twice the load 30 + 160
    [(32, 48.542), (47, 70), (0, 30), (94, 190)],
)
def test_working_temperature_by_hand(load_a, expected_c):
    at_c = conductors.operating_temperature_c(ambient_c=30, rated_c=70, load_a=load_a, rating_a=47)

    assert at_c == pytest.approx(expected_c, abs=0.001)


@pytest.mark.parametrize(
    ("phases_count", "lost_ratio"),
    # 0.1 ohm a line at 32 A. One phase: out and back 2 x 0.1 x 32^2 = 204.8 W of 230 x 32 = 7360 W, 0.0278261.
    # Three: 3 x 0.1 x 32^2 = 307.2 W of 3 x 7360 = 22080 W, half of that, 0.0139130.
    [(1, 204.8 / 7360), (3, 307.2 / 22080)],
)
def test_share_of_the_charge_lost_by_hand(phases_count, lost_ratio):
    ratio = conductors.charging_loss_ratio(line_ohm=0.1, current_a=32, voltage_v=230, phases_count=phases_count)

    assert ratio == pytest.approx(lost_ratio, rel=1e-12)


def test_share_of_the_charge_lost_is_the_share_of_the_volts_lost():
    # At power factor 1 the power lost is volts lost x current: V/U on one phase, VLL / (sqrt(3) U) on three
    one, three = (conductors.charging_loss_ratio(line_ohm=0.2, current_a=16, voltage_v=230, phases_count=phases_count)
                  for phases_count in (1, 3))  # fmt: skip

    assert one * 230 == pytest.approx(conductors.single_phase_drop_v(one_way_ohm=0.2, current_a=16))
    assert three * 230 * 3**0.5 == pytest.approx(conductors.three_phase_drop_v(one_way_ohm=0.2, current_a=16))


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: conductors.resistance_ohm(r20_ohm_per_km=3.08, length_m=-1, at_c=20, alpha20_per_k=0.00393),
         "length_m"),
        (lambda: conductors.resistance_ohm(r20_ohm_per_km=0, length_m=1, at_c=20, alpha20_per_k=0.00393),
         "r20_ohm_per_km"),
        (lambda: conductors.resistance_factor_ratio(at_c=-400, alpha20_per_k=0.00393), "at_c"),
        (lambda: conductors.resistance_factor_ratio(at_c=float("nan"), alpha20_per_k=0.00393), "at_c"),
        (lambda: conductors.parallel_ohm(), "at least one path"),
        (lambda: conductors.parallel_ohm(1, -2), "path 2"),
        (lambda: conductors.operating_temperature_c(ambient_c=70, rated_c=70, load_a=1, rating_a=2),
         "rated_c"),
        (lambda: conductors.operating_temperature_c(ambient_c=30, rated_c=70, load_a=1, rating_a=0),
         "rating_a"),
        (lambda: conductors.charging_loss_ratio(line_ohm=0.1, current_a=32, voltage_v=0, phases_count=1), "voltage_v"),
        (lambda: conductors.charging_loss_ratio(line_ohm=-0.1, current_a=32, voltage_v=230, phases_count=1),
         "line_ohm"),
        (lambda: conductors.single_phase_drop_v(one_way_ohm=float("nan"), current_a=1), "one_way_ohm"),
        (lambda: conductors.three_phase_drop_v(one_way_ohm=1, current_a=-1), "current_a"),
    ],
)  # fmt: skip
def test_names_the_number_at_fault(call, named):
    with pytest.raises(ValueError, match=named):
        call()
