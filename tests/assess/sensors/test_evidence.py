"""The closed form against numerical integration and against every combination written out, by scipy."""

import math
from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import trapezoid
from scipy.stats import multivariate_normal, norm
from sensing import GRID, SUN, home, reading, three_phase, with_readings

from ampwright.assess.sensors.chances import chances
from ampwright.assess.sensors.evidence import errors, weigh
from ampwright.assess.sensors.gaussians import log_densities, log_sum
from ampwright.assess.sensors.session import session
from ampwright.reading import measured


def weighed(job):
    here = session(job)
    return here, weigh(here.house, here.witnesses)


@given(st.integers(1, 6), st.integers(0, 10**6))
@settings(max_examples=30, deadline=None)
def test_log_densities_agree_with_scipy(count, seed):
    dice = np.random.default_rng(seed)
    root = dice.normal(size=(3, 2, count, count))
    cov = root @ root.transpose(0, 1, 3, 2) + 0.1 * np.eye(count)
    mean, shown = dice.normal(size=(3, 2, count)), dice.normal(size=count)
    lower = [[cov[:, :, row, column] for column in range(row + 1)] for row in range(count)]
    straight, turned = log_densities(shown, mean.transpose(2, 0, 1), lower)
    for a, b in product(range(3), range(2)):
        assert straight[a, b] == pytest.approx(multivariate_normal(mean[a, b], cov[a, b]).logpdf(shown))
        assert turned[a, b] == pytest.approx(multivariate_normal(-mean[a, b], cov[a, b]).logpdf(shown))


def test_log_sum():
    assert log_sum(np.log([1.0, 2.0, 5.0])) == pytest.approx(math.log(8))
    assert log_sum(np.array([-2000.0, -2000.0])) == pytest.approx(-2000 + math.log(2))


def house_spread(here, world, slots):
    """Mean and covariance of board and car at one slot, or of the board at two, for the numeric integrals."""
    names = [draw for draw, _, _ in here.house.parts]
    board, car = names.index("consumer unit"), names.index("car")
    if slots == 1:
        mean = here.house.mean[world][[board, car], 0]
        return mean, np.diag(here.house.cov[world][[board, car], 0, 0])
    return here.house.mean[world][board], here.house.cov[world][board]


def numeric(here, suspect, slots):
    """p(shown | suspect), the house integrated out on a grid, worlds summed; no Gaussian algebra."""
    witness = here.witnesses[0]
    noise = multivariate_normal(np.zeros(slots), errors(witness, suspect))
    total = 0.0
    weights = np.array([world.weight_ratio for world in here.house.worlds])
    names = [draw for draw, _, _ in here.house.parts]
    rows = suspect.gain_ratio * suspect.row
    for world, weight in enumerate(weights / weights.sum()):
        mean, cov = house_spread(here, world, slots)
        prior = multivariate_normal(mean, cov)

        spread = 7 * np.sqrt(np.diag(cov))
        one, two = (np.linspace(mean[each] - spread[each], mean[each] + spread[each], 901) for each in (0, 1))
        grid = np.stack(np.meshgrid(one, two, indexing="ij"), axis=-1)
        kw = rows[names.index("consumer unit")] * grid
        true_kw = (kw[..., :1] + rows[names.index("car")] * grid[..., 1:]) if slots == 1 else kw
        density = prior.pdf(grid) * noise.pdf(np.array(witness.shown_kw) - true_kw)
        value = trapezoid(trapezoid(density, two, axis=1), one)
        total += weight * value
    return total


def test_the_marginal_of_one_reading_agrees_with_a_grid():
    job = with_readings(home(solar=False), reading(7.9, car_a=32, inverter=None))
    here, posterior = weighed(job)
    loose = [each for each in here.witnesses[0].suspects
             if each.fault.right or each.fault.reversed or each.fault.gain == "high"][:5]  # fmt: skip
    log_prior = np.log([each.weight_ratio for each in loose])
    by_grid = np.log([numeric(here, each, 1) for each in loose]) + log_prior
    place = [here.witnesses[0].suspects.index(each) for each in loose]
    by_formula = np.log(np.maximum(posterior.of(0)[place], 1e-300)) + posterior.log_evidence_ratio
    likely = by_formula > by_formula.max() - 12
    assert likely.sum() >= 2
    assert by_formula[likely] == pytest.approx(by_grid[likely], abs=2e-3)


def test_the_marginal_of_two_readings_agrees_with_a_grid():
    job = with_readings(home(solar=False), reading(1.3, inverter=None), reading(1.1, inverter=None))
    here, posterior = weighed(job)
    right = next(each for each in here.witnesses[0].suspects if each.fault.right)
    by_formula = math.log(posterior.of(0)[here.witnesses[0].suspects.index(right)]) + posterior.log_evidence_ratio
    assert by_formula == pytest.approx(math.log(numeric(here, right, 2) * right.weight_ratio), abs=2e-3)


def written_out(here):
    """Log weight of every world and every pair of suspects, one scipy density each."""
    first, second = here.witnesses[:2]
    slots, rows = len(here.slots), {}
    for number, witness in enumerate((first, second)):
        for pick, suspect in enumerate(witness.suspects):
            rows[number, pick] = suspect.gain_ratio * suspect.row
    shown = np.array([*first.shown_kw, *second.shown_kw])
    found = {}
    for world, (a, b) in product(range(len(here.house.worlds)), product(range(len(first.suspects)),
                                                                        range(len(second.suspects)))):  # fmt: skip
        looks = np.array([rows[0, a], rows[1, b]])
        mean = (looks @ here.house.mean[world]).ravel()
        cov = np.einsum("il,jl,ltu->itju", looks, looks, here.house.cov[world]).reshape(2 * slots, 2 * slots)
        cov[:slots, :slots] += errors(first, first.suspects[a])
        cov[slots:, slots:] += errors(second, second.suspects[b])
        weight = first.suspects[a].weight_ratio * second.suspects[b].weight_ratio
        weight *= here.house.worlds[world].weight_ratio
        found[world, a, b] = math.log(weight) + multivariate_normal(mean, cov).logpdf(shown)
    return found


def test_taking_sensors_in_turn_loses_nothing_of_weight():
    job = with_readings(home(), reading(5.6, 2.1, car_a=32), reading(-1.7, 2.1))
    here, posterior = weighed(job)
    every = written_out(here)
    total = log_sum(np.array(list(every.values())))
    summed = sum(world.weight_ratio for world in here.house.worlds)
    assert posterior.log_evidence_ratio == pytest.approx(total - math.log(summed), abs=1e-5)
    for number in (0, 1):
        by_hand = np.zeros(len(here.witnesses[number].suspects))
        for (_, *picks), weight in every.items():
            by_hand[picks[number]] += math.exp(weight - total)
        assert posterior.of(number) == pytest.approx(by_hand, abs=1e-5)


def test_a_sensor_that_was_not_read_keeps_its_prior():
    job = with_readings(home(), reading(5.6, car_a=32), reading(-1.7))
    here, posterior = weighed(job)
    prior = np.array([each.weight_ratio for each in here.witnesses[1].suspects])
    assert posterior.of(1) == pytest.approx(prior, abs=2e-5)


@given(st.permutations(range(3)), st.booleans())
@settings(max_examples=12, deadline=None)
def test_the_order_of_readings_and_of_sensors_changes_nothing(order, swapped):
    taken = [reading(5.6, 2.1, car_a=32), reading(-1.7, 2.1), reading(0.9, 2.1, known_load_kw=2.4)]
    plain = weighed(with_readings(home(), *taken))
    job = home(SUN, GRID) if swapped else home()
    mixed = weighed(with_readings(job, *(taken[each] for each in order)))
    for name in ("grid sensor", "solar sensor"):
        one, two = (chances(posterior, [each.name for each in here.witnesses].index(name))
                    for here, posterior in (plain, mixed))  # fmt: skip
        assert set(one) == set(two)
        assert all(one[effect] == pytest.approx(two[effect], abs=1e-6) for effect in one)


def test_new_names_change_nothing():
    job = with_readings(home(), reading(5.6, 2.1, car_a=32), reading(-1.7, 2.1))
    names = {"grid sensor": "a", "solar sensor": "b"}
    sensors = tuple(replace(each, name=names[each.name]) for each in job.sensors)
    readings = tuple(replace(each, shown=tuple(replace(one, sensor=names[one.sensor]) for one in each.shown))
                     for each in job.tests.sensing)  # fmt: skip
    other = with_readings(replace(job, sensors=sensors), *readings)
    assert weighed(job)[1].of(0) == pytest.approx(weighed(other)[1].of(0))


def test_lines_turned_round_turn_the_answer():
    # L1, L2, L3 -> L2, L3, L1 is the same house seen from another line: only the recorded lines differ
    taken = reading(3.9, -1.9, 4.1, 1.0, job=three_phase(), car_a=16)
    here, posterior = weighed(with_readings(three_phase(), taken))
    moved = weighed(with_readings(three_phase(), reading(4.1, 3.9, -1.9, 1.0, job=three_phase(), car_a=16)))
    one, two = chances(posterior, 1), chances(moved[1], 2)
    best, other = (next(iter(each)) for each in (one, two))
    assert best == other
    assert one[best] == pytest.approx(two[best], abs=0.02)  # the inverter on L1 breaks the turn a little
    assert len(here.witnesses) == 4


def test_the_meter_is_heard():
    without = weighed(with_readings(home(), reading(3.0, 2.1, car_a=32)))[1]
    heard = weighed(with_readings(home(), reading(3.0, 2.1, car_a=32, meter_kw=measured(6.0))))[1]
    low = {name: sum(part for effect, part in chances(each, 0).items() if effect.size == "low")
           for name, each in (("without", without), ("heard", heard))}  # fmt: skip
    assert low["heard"] > 0.9 > low["without"]


def test_rounding_is_counted():
    # A step of 1 kW leaves an error of 1/sqrt(12) kW
    job = with_readings(home(replace(GRID, display_step_kw=1.0), SUN), reading(6.0, 2.1, car_a=32))
    here, _ = weighed(job)
    right = next(each for each in here.witnesses[0].suspects if each.fault.right)
    own = errors(here.witnesses[0], right)[0, 0]
    assert own == pytest.approx(1 / 12 + 0.05**2 + 0.06**2 + (0.015 * 6) ** 2)
    assert norm(0, math.sqrt(own)).sf(0.5) > 0.05
