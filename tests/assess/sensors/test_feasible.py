"""Bounds by linear programming: at the corners by hand, and against a search over a grid."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from sensing import GRID, SUN, home, reading, with_readings

from ampwright.assess.sensors.feasible import bounds_kw
from ampwright.assess.sensors.session import session
from ampwright.job.record import Cutout, Storage, Supply
from ampwright.reading import measured


def bounds(*readings, number=0, moment=0, believed=(), job=None):
    return bounds_kw(session(with_readings(job or home(), *readings)), number, moment, believed)


def test_the_least_and_the_most_by_hand():
    # House nothing, car at 0.91 of 32 A x 230 V = 6.698 kW, sun at most 1.1 x 16 A x 230 V = 4.048 kW: 2.650 kW;
    # less half a step, 3 % and 0.1 kW: 2.650 - 0.05 - 0.0795 - 0.1 = 2.420
    low, high = bounds(reading(5.0, 2.0, car_a=32))
    assert low == pytest.approx(2.420, abs=0.001)
    # Most: cut-out taken as 100 A fused at 1.6 x 23 kW = 36.8, car 1.14 x 7.36 = 8.390: 45.19; + 0.05 + 1.356 + 0.1
    assert high == pytest.approx(46.696, abs=0.001)


def test_an_inverter_that_is_off_or_in_the_dark_gives_nothing():
    low, _ = bounds(reading(5.0, 0.0, car_a=32, inverter="off"))
    assert low == pytest.approx(6.698 - 0.05 - 0.05 - 0.03 * 6.648 - 0.1, abs=0.001)
    assert bounds(reading(5.0, 0.0, car_a=32, dark=True))[0] == pytest.approx(low)


def test_the_cutout_of_the_job_bounds_the_house():
    job = home(supply=Supply(phases=1, cutout=Cutout(rating_a=measured(60))))
    assert bounds(reading(1.0, 1.0), job=job)[1] < bounds(reading(1.0, 1.0))[1]


def searched(here, believed_kw):
    """The same by trying a million houses: board, car, sun, each between its ends, kept if the solar sensor fits."""
    board, car, sun = (np.linspace(low, high, 161) for low, high in ((0, 36.8), (0.91 * 7.36, 1.14 * 7.36), (0, 4.048)))
    grids = np.meshgrid(board, car, sun, indexing="ij")
    fits = np.abs(grids[2] - believed_kw) <= 0.05 + 0.03 * abs(believed_kw) + 0.1
    grid_kw = (grids[0] + grids[1] - grids[2])[fits]
    assert len(here.witnesses) == 2
    return grid_kw.min(), grid_kw.max()


@pytest.mark.parametrize("solar_kw", [0.5, 2.0, 3.9])
def test_a_believed_reading_narrows_the_bounds_as_a_search_does(solar_kw):
    taken = reading(5.0, solar_kw, car_a=32)
    low, high = bounds(taken, believed=(1,))
    least, most = searched(session(with_readings(home(), taken)), solar_kw)
    assert low == pytest.approx(least - 0.05 - 0.03 * abs(least) - 0.1, abs=0.04)
    assert high == pytest.approx(most + 0.05 + 0.03 * abs(most) + 0.1, abs=0.04)
    assert low >= bounds(taken)[0]
    assert high <= bounds(taken)[1]


def test_readings_that_contradict_each_other_bound_nothing():
    assert bounds(reading(5.0, 9.0, car_a=32), believed=(1,)) is None


@pytest.mark.parametrize(("idle", "apart"), [("idle", 0.1), ("working", 2 * 1.1 * 16)])
def test_a_battery_that_works_widens_them(idle, apart):
    job = home(storage=Storage(fitted=True, inverter_a=measured(16)))
    with_battery = bounds(reading(1.0, 1.0, job=job, battery=idle), job=job)
    without = bounds(reading(1.0, 1.0))
    assert with_battery[0] < without[0]
    assert (without[0] - with_battery[0]) == pytest.approx(apart / 2 * 1.03, rel=0.03)


def test_every_corner_lies_within():
    job = home(replace(GRID, class_percent=1), SUN)
    low, high = bounds(reading(1.0, 1.0, car_a=16, known_load_kw=2.0), job=job)
    for board, car, sun, kettle in product((0, 36.8), (0.91, 1.14), (0, 4.048), (0.85, 1.25)):
        assert low <= board + car * 3.68 - sun + 2 * kettle <= high
