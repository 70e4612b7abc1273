"""The practice installation obeys Kirchhoff and Ohm, and hides what it is told to hide."""

import random
from dataclasses import replace

import pytest
from sensing import home, reading, three_phase

from ampwright.assess.sensors.hide import hide
from ampwright.assess.sensors.placement import clamps
from ampwright.assess.sensors.simulator import Practice, Truth
from ampwright.assess.sensors.suspects import Fault
from ampwright.deliver.practice import practice_job
from ampwright.job.record import Sensor
from ampwright.reading import Reading


def running(job, seed=1, **faults):
    truths = {clamp.name: Truth(faults.get(clamp.name.replace(" ", "_"), Fault())) for clamp in clamps(job)}
    return Practice(job, truths, random.Random(seed), meters_read=True)


def kw(taken):
    return [each.kw for each in taken.shown]


def low(value):
    assert isinstance(value, Reading)
    return value.low


@pytest.mark.parametrize("seed", range(6))
def test_the_lines_add_up_to_the_meter(seed):
    practice = running(three_phase(), seed)
    practice.car_a = 16
    taken = practice.read()
    assert sum(kw(taken)[:3]) == pytest.approx(low(taken.meter_kw), abs=0.35)  # three roundings, and seconds between


def test_the_car_is_ohms_law_and_switching_does_what_it_says():
    practice = running(home(Sensor(name="car sensor", watches="car", display_step_kw=0.01)))
    practice.car_a = 20
    taken = practice.read()
    assert kw(taken)[0] == pytest.approx((taken.car_a or 0) * practice.volts / 1000, rel=0.02)
    practice.car_a, practice.inverter_on = 0, False
    taken = practice.read()
    assert kw(taken)[0] == 0
    assert low(taken.inverter_kw) == 0
    assert taken.inverter == "off"


def test_a_kettle_shows_on_its_own_line_only():
    practice = running(three_phase(), 4)
    before = kw(practice.read())
    practice.known_kw, practice.known_line = 2.4, "L2"
    after = kw(practice.read())
    assert after[1] - before[1] == pytest.approx(2.4, abs=0.5)
    assert after[2] == pytest.approx(before[2], abs=0.5)


@pytest.mark.parametrize(("fault", "ratio"), [
    (Fault(reversed=True), -1), (Fault(other="dead"), 0), (Fault(channel="L2"), -0.5),
    (Fault(channel="L2", reversed=True), 0.5),
])  # fmt: skip
def test_faults_do_what_phasors_say(fault, ratio):
    # On L1 alone 3.68 kW of car; cos 120 = -0.5. The car lags by atan 0.05, which moves a half by 0.05 sin 120 = 0.043
    car = Sensor(name="car sensor", watches="car", display_step_kw=0.01)
    job = replace(three_phase(), sensors=(car,))
    right, wrong = (running(job, 2, **faults) for faults in ({}, {"car_sensor": fault}))
    for each in (right, wrong):
        each.car_a = 16
    true_kw, wrong_kw = kw(right.read())[0], kw(wrong.read())[0]
    assert wrong_kw == pytest.approx(ratio * true_kw, abs=0.05 * abs(true_kw))


def test_a_neutral_of_three_even_lines_carries_little():
    practice = running(three_phase(), 3, grid_L1=Fault(line="N"))
    practice.car_a = 16
    assert abs(kw(practice.read())[0]) < 2 < kw(practice.read())[1] + 1


def test_by_night_the_panels_rest():
    practice = running(home(), 5)
    practice.dark = True
    taken = practice.read()
    assert taken.dark
    assert kw(taken)[1] == 0


def test_the_same_seed_hides_the_same_and_something_is_wrong():
    one, two = hide(home(), 11), hide(home(), 11)
    assert one.truths == two.truths
    assert one.read() == two.read()
    assert any(not truth.fault.right for truth in one.truths.values())
    assert all(truth.fault.right for truth in hide(home(), 11, faulty=False).truths.values())
    assert {str(hide(home(), seed).truths) for seed in range(8)} != {str(one.truths)}


def test_surprises_happen_and_can_be_left_out():
    with_surprises = [hide(three_phase(1), seed) for seed in range(60)]
    assert any(each.unknown_inverter_kw for each in with_surprises)
    assert any(each.car_lines != ("L1",) for each in with_surprises)
    assert not any(hide(three_phase(1), seed, surprises=False).unknown_inverter_kw for seed in range(20))


def test_no_sensor_nothing_to_hide():
    with pytest.raises(ValueError, match="no sensors"):
        hide(type(home())(supply=home().supply), 1)


def test_the_helper_reading_is_of_the_right_shape():
    assert [each.sensor for each in reading(1.0, 2.0).shown] == ["grid sensor", "solar sensor"]


def test_the_sun_is_waited_for_until_it_comes_or_no_longer():
    home_ = hide(practice_job(1), 3)
    home_.sun_ratio, home_.cloud_ratio, home_.cloud_until_s = 0.6, 0.25, home_.now_s + 400
    home_.wait(1)
    start_s = home_.now_s
    home_.wait_for_sun(1.5)
    assert 370 < home_.now_s - start_s < 500  # the cloud goes after 400 s, looked at every half minute
    dark = hide(practice_job(1), 3, dark=True)
    start_s = dark.now_s
    dark.wait_for_sun(1.5, most_s=600)
    assert dark.now_s - start_s == 600
