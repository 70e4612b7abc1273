"""What is said of readings: by hand, in the electrician's words."""

from dataclasses import replace
from typing import Any

import pytest
from sensing import GRID, SUN, home, reading, three_phase, with_readings

from ampwright.assess.sensors.diagnosis import diagnose
from ampwright.assess.sensors.session import BadReadings
from ampwright.assess.sensors.suspects import Effect
from ampwright.assess.sensors.words import percent
from ampwright.job.record import Sensor, Shown, Storage, Supply
from ampwright.reading import measured


def found(*readings, job=None):
    return diagnose(with_readings(job or home(), *readings))


def grid(diagnosis):
    return diagnosis.sensors[0]


TURNED = (reading(1.2, 2.0), reading(-6.1, 2.0, car_a=32))


def test_a_sensor_that_faces_the_wrong_way():
    # Car 32 A x 230 V = 7.36 kW: a right sensor rises by 7.4; this one fell from 1.2 to -6.1, by 7.3
    first = grid(found(*TURNED))
    assert first.answer == "wrong"
    assert "faces the wrong way" in first.sentence
    assert first.sentence.endswith(percent(first.chance_ratio))
    assert "with the car at 32 A it should have risen by 7.4 and fell by 7.3 (readings 1 and 2)" in first.reasons


def test_why_it_is_impossible():
    # No less than 0.91 x 7.36 - 1.1 x 3.68 = 2.65, less rounding and class 2.4; it shows -6.1
    assert any("would show no less than 2.4, and it shows -6.1" in each for each in grid(found(*TURNED)).reasons)


def test_a_right_home():
    inverter: dict[str, Any] = {"inverter_kw": measured(2.0)}
    diagnosis = found(reading(-1.2, 2.0, **inverter), reading(6.1, 2.0, car_a=32, **inverter))
    assert [each.answer for each in diagnosis.sensors] == ["right", "right"]
    assert diagnosis.exit_status == 0
    assert diagnosis.next_tests == ()
    assert "it should have risen by 7.4 and rose by 7.3" in grid(diagnosis).reasons[0]


@pytest.mark.parametrize(("shown_kw", "effect"), [
    ((0.0, 0.0), Effect(other="dead")),
    ((0.0, 7.3), Effect(place="car cable")),
    ((-2.0, -2.1), Effect(place="inverter cable")),
    ((-2.4, 12.3), Effect(size="high")),
    ((-0.6, 3.1), Effect(size="low")),
])  # fmt: skip
def test_each_fault_of_the_grid_sensor_by_hand(shown_kw, effect):
    # True: house 0.8, sun 2.0, car 7.36: grid -1.2 and 6.16. The meter and the inverter were read.
    meters: list[dict[str, Any]] = [{"meter_kw": measured(kw), "inverter_kw": measured(2.0)} for kw in (-1.2, 6.16)]
    first = grid(found(reading(shown_kw[0], 2.0, **meters[0]), reading(shown_kw[1], 2.0, car_a=32, **meters[1])))
    assert (first.answer, first.effect) == ("wrong", effect)


def test_crossed_lines_and_a_wrong_voltage():
    # The car on three lines at 16 A: 3.68 each. The kettle is on L2 but the sensor of L1 rises; L3 reads minus a half
    # of its line, as a current paired with a voltage 120 degrees away does.
    job = three_phase()
    diagnosis = found(
        reading(4.0, 3.9, -1.9, 1.5, job=job, car_a=16, meter_kw=measured(10.1), inverter_kw=measured(1.5)),
        reading(6.4, 3.9, -1.9, 1.5, job=job, car_a=16, known_load_kw=2.4, known_load_line="L2",
                meter_kw=measured(12.5), inverter_kw=measured(1.5)),
        reading(4.0, 6.3, -1.9, 1.5, job=job, car_a=16, known_load_kw=2.4, meter_kw=measured(12.5),
                inverter_kw=measured(1.5)),
        reading(4.0, 3.9, -3.1, 1.5, job=job, car_a=16, known_load_kw=2.4, known_load_line="L3",
                meter_kw=measured(12.5), inverter_kw=measured(1.5)), job=job)  # fmt: skip
    assert diagnosis.sensors[2].effect == Effect(turned=True, size="low")
    assert "is paired with the voltage of" in diagnosis.sensors[2].causes[0].words
    assert diagnosis.sensors[0].effect.line == "L2"
    assert diagnosis.sensors[1].effect.line == "L1"


def test_an_inverter_on_another_line_than_recorded_is_no_fault_of_its_sensor():
    # Recorded on L1 but on L3: with the inverter off it is L3 that rises, by the 3.0 that it gave. The solar sensor is
    # paired with L3 as well, for it reads what the inverter's own display reads.
    job = three_phase()
    figures = (("running", (0.4, 0.3, -2.6, 3.0), 3.0), ("off", (0.4, 0.3, 0.4, 0.0), 0.0))
    taken = [reading(*shown_kw, job=job, inverter=state, inverter_kw=measured(sun_kw),
                     meter_kw=measured(sum(shown_kw[:3]))) for state, shown_kw, sun_kw in figures]  # fmt: skip
    taken += [reading(4.1, 4.0, 1.1, 3.0, job=job, car_a=16, inverter_kw=measured(3.0), meter_kw=measured(9.2)),
              reading(2.8, 0.3, -2.6, 3.0, job=job, known_load_kw=2.4, inverter_kw=measured(3.0),
                      meter_kw=measured(0.5))]  # fmt: skip
    diagnosis = found(*taken, job=job)
    assert diagnosis.sensors[3].effect == Effect()
    assert any("The inverter seems to be on L3, not on L1 as recorded" in note for note in diagnosis.notes)


def test_at_night_the_solar_sensor_cannot_be_judged():
    diagnosis = found(reading(0.8, 0.0, dark=True), reading(8.1, 0.0, car_a=32, dark=True))
    assert diagnosis.sensors[1].answer == "cannot be judged"
    assert "Come back in daylight" in diagnosis.sensors[1].sentence
    assert grid(diagnosis).answer == "right"
    assert diagnosis.exit_status == 2


def test_at_night_a_solar_sensor_round_the_cars_cable_is_still_caught():
    figures = ((0.8, 0.0, 0), (8.1, 7.3, 32), (4.4, 3.6, 16))
    diagnosis = found(*(reading(grid_kw, sun_kw, car_a=amps, dark=True) for grid_kw, sun_kw, amps in figures))
    assert diagnosis.sensors[1].answer == "wrong"
    assert diagnosis.sensors[1].effect.place == "car cable"


def test_a_battery_that_stood_idle_cannot_be_judged_and_one_that_works_is_warned_of():
    job = home(GRID, Sensor(name="battery sensor", watches="storage"), solar=False,
               storage=Storage(fitted=True, inverter_a=measured(16)))  # fmt: skip
    still = [reading(kw, 0.0, job=job, battery="idle", car_a=amps) for kw, amps in ((0.8, 0), (8.1, 32))]
    idle = found(*still, job=job)
    assert "Let it charge or give" in idle.sensors[1].sentence
    free = found(reading(0.8, 0.5, job=job, battery="working"), reading(8.1, 0.5, job=job, car_a=32), job=job)
    assert any("set it to idle" in each for each in free.notes)


def test_rounding_is_not_called_a_fault():
    # 0.04 apart: half a step of 0.1 and half a step of 0.01 explain 0.055
    meters: list[dict[str, Any]] = [{"meter_kw": measured(kw), "inverter_kw": measured(2.0)} for kw in (-1.16, 6.14)]
    diagnosis = found(reading(-1.2, 2.0, **meters[0]), reading(6.1, 2.0, car_a=32, **meters[1]))
    assert grid(diagnosis).answer == "right"
    assert any("differ by at most 0.04 kW" in note and "rounding alone explains up to 0.06" in note
               for note in diagnosis.notes)  # fmt: skip


def test_figures_that_nothing_explains():
    diagnosis = found(reading(3.1, 2.0, meter_kw=measured(-1.2)), reading(-2.2, 2.0, car_a=32, meter_kw=measured(6.2)),
                      reading(1.7, 2.0, car_a=32, meter_kw=measured(6.2)))  # fmt: skip
    assert grid(diagnosis).answer == "none of these"
    assert "none of the listed faults fits" in grid(diagnosis).sentence
    assert diagnosis.exit_status == 2


def test_a_house_that_nobody_lists_is_doubted_as_a_whole():
    # The meter falls by 15 kW with nothing switched and nothing on the record that could give it
    sun = measured(2.0)
    diagnosis = found(*(reading(0.0, 2.0, meter_kw=measured(kw), inverter_kw=sun) for kw in (3.0, -12.0, -12.1)))
    assert diagnosis.fits_ratio < 0.001
    assert grid(diagnosis).effect == Effect(other="dead")
    assert grid(diagnosis).answer == "none of these"
    assert any("not listed here" in note for note in diagnosis.notes)


def test_after_the_repair_it_says_which_readings_prove_it():
    after: dict[str, Any] = {"inverter_kw": measured(2.0)}
    diagnosis = found(*TURNED, reading(-1.2, 2.0, changed="grid sensor turned round", **after),
                      reading(6.1, 2.0, car_a=32, **after))  # fmt: skip
    assert diagnosis.changed == "grid sensor turned round"
    assert [step.reading for step in diagnosis.proof] == [3, 4]
    assert diagnosis.proof[0].right_ratio < 0.99 < diagnosis.proof[1].right_ratio
    assert "The 2 reading(s) before 'grid sensor turned round' no longer count." in diagnosis.notes
    assert grid(diagnosis).answer == "right"


def test_too_little_asks_for_a_test():
    diagnosis = found(reading(-1.2, 2.0))
    assert grid(diagnosis).answer == "not yet known"
    assert "the car at 32 A" in diagnosis.next_tests[0].words
    assert "not yet sure" in grid(diagnosis).sentence
    assert len(grid(diagnosis).causes) > 1


def test_all_that_is_wrong_with_the_readings_is_said_at_once():
    job = home(GRID, GRID, replace(SUN, line="L3"))
    bad = replace(reading(1.0, known_load_kw=2.0, known_load_line="L2"), shown=(
        Shown(sensor="attic", kw=1), Shown(sensor="solar sensor", kw=1, line="L2"),
        Shown(sensor="grid sensor", kw=1), Shown(sensor="grid sensor", kw=2),
    ))  # fmt: skip
    with pytest.raises(BadReadings) as wrong:
        found(bad, replace(reading(), shown=()), job=job)
    said = "\n".join(wrong.value.faults)
    for words in ("two are called 'grid sensor'", "has no L3", "there is no sensor 'attic'", "has L3", "given twice",
                  "no display was read", "has no L2"):  # fmt: skip
        assert words in said


def test_a_sensor_with_nothing_to_watch_is_refused():
    with pytest.raises(BadReadings, match="solar sensor: the job has no generation for it to watch"):
        found(reading(1.0, 2.0), job=home(GRID, SUN, solar=False))


def test_no_sensor_and_no_reading():
    with pytest.raises(BadReadings) as wrong:
        found(job=replace(home(), sensors=()))
    assert len(wrong.value.faults) == 2


def test_one_name_for_all_lines_wants_the_line_of_each_figure():
    job = home(Sensor(name="tails", watches="grid", line="all"), supply=Supply(phases=3), solar=False)
    shown = tuple(Shown(sensor="tails", line=line, kw=0.5) for line in ("L1", "L2", "L3"))
    diagnosis = diagnose(with_readings(job, replace(reading(), shown=shown)))
    assert [each.sensor for each in diagnosis.sensors] == ["tails L1", "tails L2", "tails L3"]
    with pytest.raises(BadReadings, match="say which line"):
        diagnose(with_readings(job, replace(reading(), shown=(Shown(sensor="tails", kw=0.5),))))


@pytest.mark.parametrize(("ratio", "words"), [(0.9974, "99.7 %"), (0.99995, "over 99.9 %"), (0.0001, "under 0.1 %")])
def test_nothing_is_called_certain(ratio, words):
    assert percent(ratio) == words


def test_right_in_place_is_not_right_in_size_without_a_meter():
    # A sensor that reads 0.9 of the truth: only the meter, or the inverter's display, can tell
    taken = (reading(-1.1, 1.8), reading(5.5, 1.8, car_a=32), reading(-1.1, 1.8), reading(5.5, 1.8, car_a=32))
    alone = grid(found(*taken, job=home(GRID, SUN)))
    assert alone.answer != "right" or "its size not yet held against a meter" in alone.sentence
    meters = ((-1.22, 0), (6.14, 32), (-1.22, 0), (6.14, 32))
    read = [replace(each, meter_kw=measured(kw), inverter_kw=measured(2.0))
            for each, (kw, _) in zip(taken, meters, strict=True)]  # fmt: skip
    assert grid(found(*read)).answer != "right"


def test_a_solar_sensor_that_shows_nothing_is_not_called_dead_unless_it_was_light():
    taken = [reading(0.8, 0.0, dark=None), reading(8.1, 0.0, car_a=32, dark=None)]
    unlit = found(*taken).sensors[1]
    assert unlit.answer == "cannot be judged"
    assert "nobody noted whether it was dark" in unlit.sentence
    by_day = found(*(replace(each, dark=False) for each in taken)).sensors[1]
    assert by_day.answer != "cannot be judged"
    given = found(*(replace(each, inverter_kw=measured(2.0)) for each in taken)).sensors[1]
    assert given.answer != "cannot be judged"


def test_an_inverter_that_displays_nothing_is_as_good_as_the_dark():
    none: dict[str, Any] = {"dark": None, "inverter_kw": measured(0.0)}
    assert found(reading(0.8, 0.0, **none), reading(8.1, 0.0, car_a=32, **none)).sensors[1].answer == "cannot be judged"


def test_what_the_charge_point_cannot_give_and_a_clock_that_runs_back_are_refused():
    # rated 32 A: no more than 36.8 A is believed
    with pytest.raises(BadReadings) as wrong:
        found(reading(0.8, 2.0, at="10:05"), reading(8.1, 2.0, car_a=320, at="10:02"))
    said = "\n".join(wrong.value.faults)
    assert "tests.sensing[1].car_a: the car drew 320 A from a charge point rated 32 A" in said
    assert "tests.sensing[1].at: 10:02 comes after 10:05" in said
    over_midnight = found(reading(0.8, 0.0, at="23:58", dark=True), reading(8.1, 0.0, at="00:02", car_a=32, dark=True))
    assert grid(over_midnight).answer == "right"


FROZEN = (reading(-1.2, 2.0), reading(-1.2, 2.0, car_a=32), reading(-1.2, 2.0))


def test_a_display_that_stood_still_is_not_blamed_on_a_conductor():
    # the car took 7.4 kW between, and the figure did not move
    diagnosis = found(*FROZEN)
    assert grid(diagnosis).answer != "wrong"
    assert any("showed the same at readings 1 and 2" in note and "may have stood still" in note
               for note in diagnosis.notes)  # fmt: skip
    assert diagnosis.exit_status == 2


def test_one_figure_that_moved_shows_that_the_display_lives():
    still = found(reading(-2.0, 2.0), reading(-2.0, 2.0, car_a=32), reading(-2.3, 2.3))
    assert grid(still).effect == Effect(place="inverter cable")
    assert any("may have stood still" in note for note in still.notes)


def test_a_small_switch_or_nothing_shown_is_no_sign_of_a_still_display():
    assert not any("stood still" in note for note in found(reading(0.0, 2.0), reading(0.0, 2.0, car_a=32)).notes)
    assert not any("stood still" in note for note in found(reading(1.2, 2.0), reading(1.2, 2.0)).notes)


def test_dark_and_an_inverter_that_gives_contradict_each_other():
    lit: dict[str, Any] = {"dark": True, "inverter_kw": measured(2.0)}
    with pytest.raises(BadReadings, match="it says that it was dark, and the inverter gave 2 kW"):
        found(reading(-1.2, 2.0, **lit))
    night: dict[str, Any] = {"dark": True, "inverter_kw": measured(0.0)}
    assert found(reading(0.8, 0.0, **night))


def test_where_nothing_was_switched_no_fault_is_named():
    """Figures that differ by their rounding alone, and no meter beside them."""
    found = diagnose(with_readings(home(), reading(1.2, 2.0), reading(1.3, 2.1), reading(1.2, 2.0)))
    assert found.sensors[0].answer == "not yet known"
    assert found.sensors[0].sentence == ("the grid sensor cannot be told from these readings: nothing was switched "
                                         "between them")  # fmt: skip
    assert "%" in diagnose(with_readings(home(), reading(1.2, 2.0), reading(8.6, 2.1, car_a=32.0))).sensors[0].sentence


def test_a_battery_is_to_rest_in_every_test_that_is_asked_for():
    """One that is free makes up for what is switched: the reading would tell nothing."""
    job = home(storage=Storage(fitted=True, inverter_a=measured(16)))
    found = diagnose(with_readings(job, reading(0.6, 0.0, dark=True, inverter="off")))
    assert found.next_tests
    assert all(each.words.endswith(" and the battery idle") == each.slot.battery_idle for each in found.next_tests)
    assert any(each.slot.battery_idle for each in found.next_tests)
