"""The year kernel: hand sums of a few minutes, its laws, and the compiled twin bit for bit the same."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ampwright.physics.minute import (
    AT_ONCE,
    FLOOR,
    IS_NIGHT,
    LAG_ON_CHANGE,
    LAG_ON_START,
    MAY_CHARGE,
    NIGHT,
    NO_LAG,
    READY,
    STEADY,
    SURPLUS,
    charge_year,
    store_year,
)  # fmt: skip

WAYS = (SURPLUS, FLOOR, READY, STEADY, NIGHT, AT_ONCE)


def given_for(net_kw, **changes):
    minutes = len(net_kw)
    base = {
        "net_kw": list(net_kw), "may": [MAY_CHARGE] * minutes, "start_min": [0], "end_min": [minutes],
        "driven_kwh": [0.0], "ready_kwh": [0.0], "lag_min": [2], "car_kw": [0.0] * minutes, "unmet_kwh": [0.0],
        "way": SURPLUS, "line_kw": 0.23, "phases": 1, "supply_phases": 1, "switches": False, "cap_a": 1e9,
        "most_a": 32, "least_a": 6, "wait_min": 0, "linger_min": 0, "lag_kind": NO_LAG, "fill_kwh": 50.0,
        "begin_kwh": 10.0, "kept_ratio": 0.9, "fixed_kw": 0.2,
    }  # fmt: skip
    return {**base, **changes}


def charged(net_kw, **changes):
    its = given_for(net_kw, **changes)
    end_kwh, starts, held = charge_year(**its)
    return its["car_kw"], end_kwh, starts, held


def test_whole_amperes_from_six():
    # 1.37 kW is 5.96 A: nothing; 1.60 kW is 6.96 A: 6 A = 1.38 kW; 3.00 kW is 13.04 A: 13 A = 2.99 kW; 32 A at most
    car_kw, end_kwh, starts, _ = charged([1.37, 1.60, 3.00, 9.0, 1.0])
    assert car_kw == pytest.approx([0.0, 1.38, 2.99, 7.36, 0.0])
    # (1.18 + 2.79 + 7.16) kW x 0.9 / 60 = 0.16695 kWh in the battery
    assert end_kwh == pytest.approx(10.16695)
    assert starts == 1


def test_an_ideal_charge_point_takes_what_there_is():
    car_kw, *_ = charged([0.15, 0.5, 3.0], least_a=0)
    assert car_kw == pytest.approx([0.0, 0.5, 3.0])


def test_it_waits_before_it_starts_and_lingers_before_it_stops():
    # three minutes of sun before the start; two minutes on 6 A from the grid before the stop
    car_kw, _, starts, _ = charged([2.0] * 5 + [0.0] * 4 + [2.0], wait_min=3, linger_min=2)
    assert car_kw == pytest.approx([0, 0, 0, 1.84, 1.84, 1.38, 1.38, 0, 0, 0])
    assert starts == 1


def test_the_floor_never_stops_and_the_grid_makes_it_up():
    car_kw, *_ = charged([-0.5, 2.0, 0.0], way=FLOOR)
    assert car_kw == pytest.approx([1.38, 1.84, 1.38])


def test_steady_is_the_least_current_that_is_done_in_time():
    # 3 kWh in 60 min: 3 / 0.9 + 0.2 = 3.533 kW = 15.4 A, so 16 A
    car_kw, end_kwh, *_ = charged([0.0] * 60, way=STEADY, begin_kwh=47.0)
    assert car_kw[0] == pytest.approx(16 * 0.23)
    assert end_kwh == 50.0
    # the last minute gives no more than is missing
    assert (sum(car_kw) / 60 - 0.2 * sum(kw > 0 for kw in car_kw) / 60) * 0.9 == pytest.approx(3.0)


def test_the_night_window_charges_in_cheap_hours_alone():
    may = [MAY_CHARGE, MAY_CHARGE | IS_NIGHT, IS_NIGHT, MAY_CHARGE]
    car_kw, *_ = charged([5.0] * 4, way=NIGHT, may=may)
    assert car_kw == pytest.approx([0, 7.36, 0, 0])


def test_ready_by_starts_as_late_as_will_do():
    # 1 kWh at 7.36 kW gains (7.36 - 0.2) x 0.9 / 60 = 0.1074 kWh a minute: 9.3 minutes, so the last ten
    car_kw, end_kwh, *_ = charged([0.0] * 30, way=READY, ready_kwh=[11.0])
    assert [kw > 0 for kw in car_kw] == [False] * 20 + [True] * 10
    assert end_kwh >= 11.0


def test_what_the_battery_cannot_give_is_unmet():
    its = given_for([0.0] * 4, start_min=[0, 2], end_min=[1, 4], driven_kwh=[0.0, 12.5], ready_kwh=[0.0, 0.0],
                    unmet_kwh=[9.0, 9.0])  # fmt: skip
    end_kwh, *_ = charge_year(**its)
    assert its["unmet_kwh"] == [0.0, 2.5]
    assert end_kwh == 0.0


def test_the_load_cap_holds_it_down_and_below_six_stops_it():
    # a house of 20 kW at 100 A of 230 V leaves 100 - 86.96 = 13.04: 13 A; one of 22 kW leaves 4.3 A: none
    car_kw, _, starts, held = charged([-20.0, -22.0, -20.0, -20.0, -20.0], way=AT_ONCE, cap_a=100.0, wait_min=2)
    assert car_kw == pytest.approx([13 * 0.23, 0, 0, 0, 13 * 0.23])
    assert (starts, held) == (2, 5)


def test_three_phases_need_three_times_as_much_and_may_step_down():
    sun_kw = [2.0, 4.2, 12.0]
    assert charged(sun_kw, phases=3, supply_phases=3)[0] == pytest.approx([0.0, 4.14, 17 * 0.69])
    assert charged(sun_kw, phases=3, supply_phases=3, switches=True)[0] == pytest.approx([1.84, 4.14, 17 * 0.69])


def test_the_random_delay_holds_back_a_start_or_every_change():
    sun_kw = [2.0, 2.0, 2.0, 3.0, 3.0, 3.0, 3.0]
    assert charged(sun_kw, lag_kind=LAG_ON_START)[0] == pytest.approx([0, 0, 1.84, 2.99, 2.99, 2.99, 2.99])
    assert charged(sun_kw, lag_kind=LAG_ON_CHANGE)[0] == pytest.approx([0, 0, 1.84, 1.84, 1.84, 2.99, 2.99])


def test_a_start_that_the_cloud_called_off_waits_anew():
    # wanted in minute 0, called off in 1, wanted again in 2: two minutes from there
    sun_kw = [2.0, 0.0, 2.0, 2.0, 2.0, 2.0]
    assert charged(sun_kw, lag_kind=LAG_ON_START)[0] == pytest.approx([0, 0, 0, 0, 1.84, 1.84])


def test_the_default_hours_shut_charging_out():
    assert charged([5.0] * 3, way=AT_ONCE, may=[0, MAY_CHARGE, 0])[0] == pytest.approx([0, 7.36, 0])


@given(st.lists(st.floats(-25, 12), min_size=1, max_size=90), st.sampled_from(WAYS), st.floats(20, 100),
       st.sampled_from([NO_LAG, LAG_ON_START, LAG_ON_CHANGE]), st.sampled_from([(1, False), (3, False), (3, True)]),
       st.floats(0, 50))  # fmt: skip
@settings(max_examples=300, deadline=None)
def test_never_above_the_cap_and_the_battery_keeps_its_books(net_kw, way, cap_a, lag_kind, phases, begin_kwh):
    lines, switches = phases
    car_kw, end_kwh, _, _ = charged(net_kw, way=way, cap_a=cap_a, lag_kind=lag_kind, phases=lines, supply_phases=lines,
                                    switches=switches, begin_kwh=begin_kwh, wait_min=2, linger_min=3)  # fmt: skip
    gained_kwh = sum((kw - 0.2) * 0.9 / 60 for kw in car_kw if kw > 0)
    assert end_kwh == pytest.approx(begin_kwh + gained_kwh, abs=1e-9)
    assert end_kwh <= 50.0
    for kw, net in zip(car_kw, net_kw, strict=True):
        carrying = 1 if switches and kw < 3 * 6 * 0.23 - 1e-9 else lines
        line_a = -net / (lines * 0.23) + kw / (carrying * 0.23)
        assert kw == 0.0 or line_a <= cap_a + 1e-9


def store(net_kw, car_kw, **changes):
    its = {"net_kw": net_kw, "car_kw": car_kw, "sun_kw": [0.0] * len(net_kw), "store_kw": [0.0] * len(net_kw),
           "capacity_kwh": 5.0, "most_kw": 3.0, "into_ratio": 0.9, "out_ratio": 0.8, "shared_kw": 1e9,
           "feeds_car": True, "begin_kwh": 1.0, **changes}  # fmt: skip
    return store_year(**its), its["store_kw"]


def test_the_store_takes_what_is_left_and_gives_to_house_and_car():
    # +2 kW after a car of 3: 2 x 0.9 / 60 = 0.03 kWh in; then 1 kW of house and 0.5 of car: 1.5 / 0.8 / 60 out
    held_kwh, flow_kw = store([5.0, -1.0], [3.0, 0.5])
    assert flow_kw == pytest.approx([2.0, -1.5])
    assert held_kwh == pytest.approx(1.0 + 0.03 - 0.03125)
    # it need not feed the car, never gives more than its inverter, and never more than it holds
    assert store([-1.0], [0.5], feeds_car=False)[1] == pytest.approx([-1.0])
    assert store([-9.0], [0.0])[1] == pytest.approx([-3.0])
    assert store([-9.0], [0.0], begin_kwh=0.01)[1] == pytest.approx([-0.48])
    assert store([9.0], [0.0], begin_kwh=4.99)[1] == pytest.approx([0.01 * 60 / 0.9])
    # one inverter with the panels: 3.68 kW less 3 kW of sun leaves 0.68
    assert store([-2.0], [0.0], sun_kw=[3.0], shared_kw=3.68)[1] == pytest.approx([-0.68])
