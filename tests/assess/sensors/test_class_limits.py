"""What a class allows at a current, by the table of IEC 61869-2, and what nobody promises."""

from dataclasses import replace

import numpy as np
import pytest
from sensing import GRID, SUN, home, reading, with_readings

from ampwright.assess.sensors.class_limits import class_limits, class_points
from ampwright.assess.sensors.evidence import errors
from ampwright.assess.sensors.session import session

CLASS_1 = replace(GRID, class_percent=1, rated_a=100)


@pytest.mark.parametrize(
    ("shown_kw", "most_kw"),
    [
        # class 1 of 100 A at 230 V, IEC 61869-2: 1 % from 23 kW, 1.5 % from 4.6 kW (20 A), 3 % from 1.15 kW (5 A)
        (23.0, 0.230), (22.9, 0.3435), (4.6, 0.069), (4.59, 0.1377), (1.15, 0.0345), (-4.6, -0.069),
        # below 5 A it promises nothing: no more is assumed than the 0.15 A (34.5 W) that it allows there
        (0.5, 0.0345), (0.0, 0.0345),
    ],
)  # fmt: skip
def test_agrees_with_the_table_by_hand(shown_kw, most_kw):
    assert class_limits(CLASS_1, 230).most_kw(np.array([shown_kw])) == pytest.approx([most_kw])


def test_class_3_promises_nothing_below_half_its_rating():
    # 3 % of 50 A is 1.5 A: 345 W at every lower current
    limits = class_limits(replace(CLASS_1, class_percent=3), 230)
    assert limits.most_kw(np.array([2.0, 11.5, 23.0])) == pytest.approx([0.345, 0.345, 0.690])


@pytest.mark.parametrize("sensor", [replace(CLASS_1, rated_a=None), replace(CLASS_1, class_percent=20, rated_a=100)])
def test_without_a_rating_or_a_listed_class_the_percentage_counts_everywhere(sensor):
    assert class_limits(sensor, 230).most_kw(np.array([2.0])) == pytest.approx([2.0 * sensor.class_percent / 100])


def test_a_class_that_is_not_listed_counts_as_the_next_coarser():
    assert class_points(0.7) == class_points(1) == ((5.0, 3.0), (20.0, 1.5), (100.0, 1.0))


def test_the_diagnosis_reckons_with_it():
    # half of the limit is the standard error; 0.1 kW steps, 0.05 kW and 1 % of each reading come on top
    here = session(with_readings(home(CLASS_1, SUN), reading(4.6, 1.0), reading(1.15, 1.0)))
    right = next(each for each in here.witnesses[0].suspects if each.fault.right)
    found = errors(here.witnesses[0], right)
    assert found[0, 1] == pytest.approx(0.069 * 0.0345 / 4)
    assert found[0, 0] == pytest.approx(0.069**2 / 4 + 0.1**2 / 12 + 0.05**2 + 0.046**2)
