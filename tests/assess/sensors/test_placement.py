"""Where sensors go, and what wrong places read: by hand, and against a nodal solution of the network in numpy."""

import cmath
import math

import numpy as np
import pytest
from sensing import GRID, SUN, home, three_phase

from ampwright.assess.sensors.placement import Placement, place
from ampwright.job.record import Circuit, Generation, Installation, Point, Sensor, Supply
from ampwright.reading import measured


def placed(job, name) -> Placement:
    return next(each for each in place(job).placements if each.clamp.name == name)


def shown(placement, start):
    return next(each.shows_kw for each in placement.elsewhere if each.where.startswith(start))


def test_right_places_ways_and_what_they_see():
    grid, sun = placed(home(), "grid sensor"), placed(home(), "solar sensor")
    assert grid.stretch is not None
    assert grid.stretch.name == "supply"
    assert "from the street to the house" in grid.says
    assert grid.misses == ()
    assert sun.arrow == "from the inverter to the house"
    assert sun.sees == ("the solar inverter",)
    assert "the car" in sun.misses


def test_what_wrong_places_read_by_hand():
    # House 1 kW, sun 3.0 kW, car 32 A x 230 V = 7.36 kW. Grid sensor with the car off in the sun: 1 - 3 = -2;
    # car on: 1 + 7.36 - 3 = 5.36; dark: 1 and 8.36. Moments: off sun, off dark, on sun, on dark.
    grid = placed(home(), "grid sensor")
    assert grid.shows_kw == pytest.approx((-2, 1, 5.36, 8.36))
    assert shown(grid, "turned round") == pytest.approx((2, -1, -5.36, -8.36))
    assert shown(grid, "round the neutral") == pytest.approx((2, -1, -5.36, -8.36))
    assert shown(grid, "round line and neutral") == (0, 0, 0, 0)
    assert shown(grid, "round the charge point's own cable") == pytest.approx((0, 0, 7.36, 7.36))
    assert shown(placed(home(), "solar sensor"), "round the meter tails") == pytest.approx((2, -1, -5.36, -8.36))


def test_a_sensor_behind_the_split_misses_the_car():
    points = (Point(name="split", kind="split"), Point(name="board", kind="board", fed_from="split"))
    grid = placed(home(installation=Installation(points=points), circuit=Circuit(fed_from="split"),
                       generation=Generation(fitted=True, inverter_a=measured(16), fed_from="board")),
                  "grid sensor")  # fmt: skip
    # After the split only the house and the sun: 1 - 3 = -2 and 1, whatever the car does
    assert shown(grid, "round the feed of the board") == pytest.approx((-2, 1, -2, 1))


def test_a_place_that_no_moment_tells_apart_is_marked():
    alike = [each for each in placed(home(solar=False), "grid sensor").elsewhere if each.same_kw]
    assert alike == []
    points = (Point(name="board", kind="board"), Point(name="attic", kind="board", fed_from="board"))
    car = Circuit(fed_from="attic")
    job = home(Sensor(name="car sensor", watches="car"), solar=False, circuit=car,
               installation=Installation(points=points))  # fmt: skip
    other = placed(job, "car sensor").elsewhere
    assert not any(each.same_kw for each in other)  # the attic's own 1 kW tells its feed from the car's cable


def test_a_sensor_without_its_place_and_one_for_all_lines():
    assert placed(home(GRID, SUN, solar=False), "solar sensor").stretch is None
    job = home(Sensor(name="tails", watches="grid", line="all"), supply=Supply(phases=3))
    assert [each.clamp.name for each in place(job).placements] == ["tails L1", "tails L2", "tails L3"]


def test_two_sets_of_tails_have_no_single_place():
    points = (Point(name="board", kind="board"), Point(name="garage", kind="board"))
    job = home(installation=Installation(points=points), circuit=Circuit(fed_from="garage"))
    assert "More than one set of tails" in placed(job, "grid sensor").says


def test_cautions_stand_where_the_hazard_is():
    said = " ".join(place(home()).cautions)
    assert "beside live parts" in said
    assert "Do not break a seal" in said
    assert "second source" in said


def nodal_kw(moment, sensor_line, channel, neutral=False):
    """Real power that a sensor on the tails reads, from a nodal solution: three sources behind 0.05 ohm of cable,
    a neutral of 0.05 ohm, and at the board each line's loads as admittances to the neutral.
    """
    sources = [cmath.rect(230, -2 * math.pi / 3 * line) for line in range(3)]
    cable = 1 / 0.05
    admittance, injected = np.zeros((4, 4), dtype=complex), np.zeros(4, dtype=complex)
    admittance[3, 3] = cable  # the board's neutral, tied to the star point through its own conductor
    for line in range(3):
        kw = sum(kw for (_, on), kw in moment.drawn_kw.items() if on == f"L{line + 1}")
        load = 1000 * kw / 230**2
        admittance[line, line] += cable + load
        admittance[3, 3] += load
        admittance[line, 3] -= load
        admittance[3, line] -= load
        injected[line] = cable * sources[line]
    volts = np.linalg.solve(admittance, injected)
    amps = [cable * (sources[line] - volts[line]) for line in range(3)]
    clamped = cable * (0 - volts[3]) if neutral else amps[sensor_line]
    return (sources[channel] * np.conj(clamped)).real / 1000


@pytest.mark.parametrize("phases", [1, 3])
def test_three_phase_places_against_a_nodal_solution(phases):
    # 0.05 ohm of tails costs up to 1 % of the power, so the two agree within 2 % and 30 W
    plan = place(three_phase(phases))
    sensor = plan.placements[1]
    for number, moment in enumerate(plan.moments):
        assert sensor.shows_kw[number] == pytest.approx(nodal_kw(moment, 1, 1), rel=0.02, abs=0.03)
        crossed = shown(sensor, "on the right conductor, paired with the voltage of L3")[number]
        assert crossed == pytest.approx(nodal_kw(moment, 1, 2), rel=0.03, abs=0.1)
        neighbour = shown(sensor, "round L1 of the meter tails")[number]
        assert neighbour == pytest.approx(nodal_kw(moment, 0, 1), rel=0.03, abs=0.1)
        neutral = shown(sensor, "round the neutral")[number]
        assert neutral == pytest.approx(nodal_kw(moment, 1, 1, neutral=True), rel=0.03, abs=0.1)
