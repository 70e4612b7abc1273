"""The load cap and the readings: no cap is borne out behind a sensor that the readings show to be wrong.

The demo house's readings are of a supply sensor that faces the wrong way: with the car at 32 A (7.4 kW) it falls by
as much as it should have risen.
"""

from dataclasses import replace

from ampwright.assess.load_cap.signal import sensor_proved
from ampwright.deliver.demo import demo_files
from ampwright.job.files import parse
from ampwright.working import Verdict

JOB = parse(demo_files()["house_with_garage.yaml"])


def with_readings(sensing):
    return replace(JOB, tests=replace(JOB.tests, sensing=tuple(sensing)))


def only(keep):
    return [replace(each, shown=tuple(one for one in each.shown if keep(one))) for each in JOB.tests.sensing]


def test_a_sensor_that_faces_the_wrong_way_takes_the_cap_away():
    finding = sensor_proved(JOB)

    assert finding.verdict is Verdict.NOT_MET
    assert finding.says.startswith("The supply sensor faces the wrong way")


def test_the_same_readings_with_its_sign_put_right_bear_it_out():
    right = [replace(each, shown=tuple(replace(one, kw=-one.kw) if one.sensor == "supply sensor" else one
                                       for one in each.shown)) for each in JOB.tests.sensing]  # fmt: skip

    assert sensor_proved(with_readings(right)).verdict is Verdict.MET


def test_before_the_test_sequence_there_is_nothing_to_judge():
    assert sensor_proved(with_readings(())).verdict is Verdict.DOES_NOT_APPLY


def test_readings_of_other_sensors_leave_it_open():
    finding = sensor_proved(with_readings(only(lambda one: one.sensor != "supply sensor")))

    assert finding.verdict is Verdict.NOT_YET_KNOWN
    assert finding.needs == ("tests.sensing",)
