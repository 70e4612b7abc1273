"""The next test: expected information against a second estimate made of readings drawn and weighed one by one."""

import numpy as np
import pytest
from sensing import SUN, home, reading, three_phase, with_readings

from ampwright.assess.sensors.chances import chances
from ampwright.assess.sensors.diagnosis import diagnose
from ampwright.assess.sensors.evidence import errors, spread_kw, weigh
from ampwright.assess.sensors.house_model import house
from ampwright.assess.sensors.next_test import foresee, next_tests
from ampwright.assess.sensors.session import session
from ampwright.job.record import ChargePoint, Sensor, Storage, Vehicle
from ampwright.reading import measured


def asked(job):
    here = session(job)
    return here, next_tests(here, weigh(here.house, here.witnesses))


def entropy(found):
    parts = np.array([each for each in found.values() if each > 0])
    return float(-(parts * np.log2(parts)).sum())


def drawn_reading(here, posterior, dice, slots):
    """A reading of the new slot, drawn from the whole model: a combination, then the house, then the error."""
    pick = dice.choice(len(posterior.chance), p=posterior.chance / posterior.chance.sum())
    witness = here.witnesses[0]
    suspect = witness.suspects[posterior.picks[pick, 0]]
    model = house(here.job, here.tree, slots, 1)
    row = suspect.gain_ratio * suspect.row
    mean = row @ model.mean[posterior.world[pick]]
    cov = np.einsum("l,ltu->tu", row**2, model.cov[posterior.world[pick]])
    past = cov[0, 0] + errors(witness, suspect)[0, 0]
    given = mean[1] + cov[1, 0] / past * (witness.shown_kw[0] - mean[0])
    spread = cov[1, 1] - cov[1, 0] ** 2 / past + 0.1**2 / 12 + 0.05**2 + (0.01 * given) ** 2
    spread += spread_kw(witness, suspect.spread_ratio, given) ** 2
    return float(given + dice.normal() * np.sqrt(spread + suspect.loose_kw**2))


def test_expected_bits_agree_with_readings_drawn_and_weighed():
    first = reading(0.9, inverter=None)
    here, tests = asked(with_readings(home(solar=False), first))
    posterior = weigh(here.house, here.witnesses)
    test = next(each for each in tests if each.slot.car_a == 32 and not each.slot.known_kw)
    dice = np.random.default_rng(5)
    before, left = entropy(chances(posterior, 0)), []
    for _ in range(150):
        kw = drawn_reading(here, posterior, dice, (*here.slots, test.slot))
        after = session(with_readings(home(solar=False), first, reading(kw, inverter=None, car_a=32)))
        left.append(entropy(chances(weigh(after.house, after.witnesses), 0)))
    # 24 draws against 150: both have a standard error of about 0.05 bits
    assert test.expected_bits_count == pytest.approx(before - np.mean(left), abs=0.2)
    assert before - np.mean(left) > 0.4


def test_what_is_foreseen_goes_by_what_was_read():
    # A house that takes 4.0 with 1.0 of sun is foreseen to go on so where nothing was switched unasked: 3.0, and with
    # the car 3.0 + 7.36. By its prior alone it would take 0.6.
    here = session(with_readings(home(), reading(3.0, 1.0)))
    posterior = weigh(here.house, here.witnesses)
    slots = tuple(each.slot for each in next_tests(here, posterior))
    _, _, mean, cov = foresee(here, posterior, slots)
    both_right = next(place for place, picks in enumerate(posterior.picks)
                      if not here.house.worlds[posterior.world[place]].jump
                      and all(each.suspects[pick].fault.right
                              for each, pick in zip(posterior.witnesses, picks, strict=True)))  # fmt: skip
    for slot, kw, spread in zip(slots, mean[:, both_right], cov[:, both_right], strict=True):
        if slot.sunny and not slot.known_kw:
            assert kw[0] == pytest.approx(10.36 if slot.car_a else 3.0, abs=0.3)
            assert 0.1 < spread[0, 0] < 2


def test_after_a_reading_at_rest_the_car_is_the_test_to_take():
    _, tests = asked(with_readings(home(), reading(-1.2, 2.0)))
    assert tests[0].slot.car_a == 32


def test_nothing_is_expected_of_a_test_when_all_is_known():
    taken = [reading(5.4, 2.0, car_a=32, meter_kw=measured(5.41), inverter_kw=measured(2.0)),
             reading(-1.9, 2.0, meter_kw=measured(-1.93), inverter_kw=measured(2.0))]  # fmt: skip
    here, tests = asked(with_readings(home(), *taken, *taken))
    assert all(0 <= each.expected_bits_count < 0.1 for each in tests)
    assert len(here.slots) == 4


def test_at_night_no_test_needs_the_sun():
    _, tests = asked(with_readings(home(), reading(1.2, 0.0, dark=True)))
    assert not any(each.slot.sunny for each in tests)


def test_the_kettle_goes_to_each_line_and_the_battery_works_only_where_it_has_a_sensor():
    job = three_phase()
    _, tests = asked(with_readings(job, reading(0.3, 0.2, 0.5, 1.0, job=job)))
    assert {each.slot.known_line for each in tests if each.slot.known_kw} == {"L1", "L2", "L3"}
    assert all(each.slot.battery_idle for each in tests)
    storage = Storage(fitted=True, inverter_a=measured(16))
    job = home(SUN, Sensor(name="battery sensor", watches="storage"), storage=storage)
    _, tests = asked(with_readings(job, reading(1.0, 0.0, job=job, battery="idle")))
    assert {each.slot.battery_idle for each in tests} == {True, False}


def test_the_same_question_gets_the_same_answer():
    job = with_readings(home(), reading(5.4, -2.0, car_a=32))
    assert asked(job)[1] == asked(job)[1]


DIM, BRIGHT = measured(0.3), measured(2.0)


@pytest.mark.parametrize(("given", "offered"), [(DIM, True), (BRIGHT, False), (None, False)])
def test_more_sun_is_waited_for_only_where_the_inverter_shows_little(given, offered):
    tests = asked(with_readings(home(), reading(0.9, 0.2, inverter_kw=given)))[1]
    waits = [each for each in tests if each.slot.waits_for_kw]
    assert bool(waits) is offered
    assert all(each.takes_min > 15 and each.slot.sunny for each in waits)


def test_what_to_wait_for_is_said_in_kilowatts():
    # 16 A of inverter at 230 V is 3.68 kW, and about a third of that 1.3 kW
    found = diagnose(with_readings(home(), reading(7.5, 0.2, car_a=32, inverter_kw=DIM, meter_kw=measured(7.4))))
    assert any("once the inverter's display gives 1.3 kW or more" in each.words for each in found.next_tests)
    assert any("The inverter gives 0.3 kW: too little" in each for each in found.notes)


def test_readings_a_quarter_of_an_hour_apart_have_a_sun_each():
    times = ("10:02", "10:05:30", "10:20", None, "10:21")
    taken = [reading(0.9, 0.2, at=each) for each in times]
    here = session(with_readings(home(), *taken))
    assert [each.spell for each in here.slots] == [0, 0, 1, 1, 1]
    sun = here.house.parts.index(("solar", "L1", "real"))
    cov = here.house.cov[0, sun]
    assert cov[0, 1] > 0
    assert cov[0, 2] == 0


def test_no_test_asks_more_than_the_car_can_draw():
    small = home(vehicles=(Vehicle(name="small", onboard_a=16),))
    _, tests = asked(with_readings(small, reading(1.2, 2.0)))
    assert {each.slot.car_a for each in tests} == {0.0, 16.0}
    set_low = home(charge_point=ChargePoint(rated_a=32, set_a=20, phases=1))
    assert {each.slot.car_a for each in asked(with_readings(set_low, reading(1.2, 2.0)))[1]} == {0.0, 20.0}


def test_no_sun_is_asked_for_while_the_inverter_shows_none():
    _, tests = asked(with_readings(home(), reading(1.2, 0.0, inverter_kw=measured(0.0), dark=None)))
    assert not any(each.slot.sunny and not each.slot.waits_for_kw for each in tests)
