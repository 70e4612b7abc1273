"""Which test to take next: the one whose readings are expected to tell most about the sensors, a minute.

For each possible test readings are drawn as the likeliest combinations would give them, and the doubt that would be
left after each draw is averaged. Doubt is Shannon's entropy over what is wrong with the sensors, in bits.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from ampwright.assess.sensors.evidence import LOOSE_KW, LOOSE_RATIO, Posterior, Witness, all_errors, spread_kw
from ampwright.assess.sensors.house_model import Floats, Slot, bright_kw, house
from ampwright.assess.sensors.session import METER_STEP_KW, Session, step_kw
from ampwright.assess.sensors.singleline import SOLAR_CABLE
from ampwright.assess.sensors.suspects import Ints
from ampwright.job.record import Job

MOST_COMBINATIONS_COUNT, DRAWS_COUNT, SEED = 80, 24, 20
KETTLE_KW, CAR_A, LEAST_CAR_A = 2.4, 32.0, 6.0
READ_MIN, CAR_MIN, KETTLE_MIN, INVERTER_MIN, BATTERY_MIN, SUN_MIN = 2.0, 1.0, 1.0, 4.0, 3.0, 15.0


@dataclass(frozen=True, slots=True)
class Test:
    """A moment to arrange next: how long that takes, and the bits of doubt it is expected to remove."""

    slot: Slot
    takes_min: float
    expected_bits_per_min: float
    expected_bits_count: float


def next_tests(session: Session, posterior: Posterior) -> tuple[Test, ...]:
    """Every test that can be arranged, the most telling a minute first."""
    slots = _possible(session)
    chance, labels, mean, cov = foresee(session, posterior, slots)
    doubt = _entropy(chance[None, None], labels)[0, 0]
    left = _doubt_left(chance, labels, mean, cov)
    found = []
    for slot, bits in zip(slots, doubt - left, strict=True):
        minutes = _minutes(session.slots[-1], slot)
        gained = max(0.0, float(bits))
        found.append(Test(slot, minutes, gained / minutes, gained))
    return tuple(sorted(found, key=lambda each: (-round(each.expected_bits_per_min, 6), each.takes_min)))


def _possible(session: Session) -> tuple[Slot, ...]:
    """Car stopped or at its most, kettle off or on at each line, inverter on or off, or a wait for more sun; the
    battery idle, unless a sensor wants to see it work.
    """
    most_a = _car_most_a(session.job)
    kettle = [(0.0, "L1"), *((KETTLE_KW, line) for line in session.tree.lines)]
    last = session.readings[-1]
    suns = (True, False) if session.tree.has(SOLAR_CABLE) and not last.dark else (session.slots[-1].sunny,)
    idle = (True, False) if any(clamp.sensor.watches == "storage" for clamp in session.clamps) else (True,)
    spell = session.slots[-1].spell
    found = [Slot(car_a, kw, line, sunny, still, spell)
             for car_a, (kw, line), sunny, still in product((0.0, most_a), kettle, suns, idle)]  # fmt: skip
    if _dim(session):
        found += [replace(each, spell=spell + 1, waits_for_kw=bright_kw(session.job)) for each in found if each.sunny]
    no_sun_now = last.inverter != "off" and not session.slots[-1].sunny
    return tuple(each for each in found if not (no_sun_now and each.sunny and not each.waits_for_kw))


def _car_most_a(job: Job) -> float:
    """What every car of the job can be brought to draw here, A on one line."""
    bars = (job.charge_point.rated_a, job.charge_point.set_a, *(each.onboard_a for each in job.vehicles))
    return min((each for each in bars if each is not None), default=CAR_A)


def _dim(session: Session) -> bool:
    """Whether the inverter's display tells of little sun, so that waiting may pay."""
    last = session.readings[-1]
    given_kw = None if last.dark or last.inverter == "off" else last.inverter_kw
    return given_kw is not None and given_kw.high < bright_kw(session.job)


def _minutes(now: Slot, then: Slot) -> float:
    """Our own estimate of how long the arranging takes."""
    charging = [(each.car_a or 0.0) >= LEAST_CAR_A for each in (now, then)]
    moved = bool(then.known_kw) != bool(now.known_kw) or (bool(then.known_kw) and then.known_line != now.known_line)
    return (READ_MIN + CAR_MIN * (charging[0] != charging[1]) + KETTLE_MIN * moved
            + INVERTER_MIN * (now.sunny != then.sunny) + BATTERY_MIN * (now.battery_idle != then.battery_idle)
            + SUN_MIN * (then.waits_for_kw > 0))  # fmt: skip


def foresee(session: Session, posterior: Posterior, slots: tuple[Slot, ...]) -> tuple[Floats, Ints, Floats, Floats]:
    """Chance (n) and label (n) of the likeliest combinations, and what each foresees of every test: mean (tests, n,
    witnesses) and covariance (tests, n, witnesses, witnesses), given the readings so far.
    """
    count = min(MOST_COMBINATIONS_COUNT, len(posterior.chance))
    world, picks = posterior.world[:count], posterior.picks[:count]
    chance = posterior.chance[:count] / posterior.chance[:count].sum()
    joint_mean, joint_cov, own = joint(session, posterior, world, picks, slots)
    past = [(number, place) for number, each in enumerate(posterior.witnesses) for place in each.at]
    shown = np.array([kw for each in posterior.witnesses for kw in each.shown_kw])
    who, when = (np.array(column, dtype=np.int64) for column in zip(*past, strict=True))
    noise = _noise(posterior, picks)
    seen = joint_cov[:, who[:, None], when[:, None], who, when] + noise
    before = len(session.slots)
    future = np.arange(before, before + len(slots))
    cross = joint_cov[:, who, when][:, :, :, future]  # n, past, witnesses, tests
    flat = cross.reshape(*cross.shape[:2], -1)
    solved = np.linalg.solve(seen, np.concatenate([flat, (shown - joint_mean[:, who, when])[:, :, None]], axis=2))
    mean = joint_mean[:, :, future] + np.einsum("npwc,np->nwc", cross, solved[:, :, -1])
    lessened = solved[:, :, :-1].reshape(cross.shape)
    cov = own.transpose(0, 3, 1, 2) - np.einsum("npwc,npvc->ncwv", cross, lessened, optimize=True)
    cov += _own_noise(session, posterior, picks, mean)
    return chance, _labels(posterior, world, picks), mean.transpose(2, 0, 1), cov.transpose(1, 0, 2, 3)


def joint(session: Session, posterior: Posterior, world: Ints, picks: Ints,
          slots: tuple[Slot, ...] = ()) -> tuple[Floats, Floats, Floats]:  # fmt: skip
    """What combinations make every witness read, without error: mean (n, witnesses, moments); covariance (n, witnesses,
    moments read, witnesses, moments); and covariance at each moment still to come alone (n, witnesses, witnesses,
    slots). The moments are those already read, then `slots`.
    """
    model = house(session.job, session.tree, (*session.slots, *slots), len(session.slots)) if slots else session.house
    looks = np.stack([each.suspects.looks[picks[:, number]] for number, each in enumerate(posterior.witnesses)], axis=1)
    mean = np.einsum("nwl,nlt->nwt", looks, model.mean[world])
    count, witnesses, parts = looks.shape
    outer = np.einsum("nwl,nvl->nwvl", looks, looks).reshape(count, -1, parts)
    read, moments = len(session.slots), model.mean.shape[2]
    spread = outer @ model.cov[:, :, :read][world].reshape(count, parts, -1)
    later = np.arange(read, moments)
    alone = outer @ model.cov[:, :, later, later][world]
    return (mean, spread.reshape(count, witnesses, witnesses, read, moments).transpose(0, 1, 3, 2, 4),
            alone.reshape(count, witnesses, witnesses, -1))  # fmt: skip


def _noise(posterior: Posterior, picks: Ints) -> Floats:
    """Errors of all readings so far, for each combination, block by block."""
    sizes = [len(each.at) for each in posterior.witnesses]
    noise = np.zeros((len(picks), sum(sizes), sum(sizes)))
    start = 0
    for number, witness in enumerate(posterior.witnesses):
        block = slice(start, start + sizes[number])
        noise[:, block, block] = all_errors(witness)[witness.suspects.kinds[1][picks[:, number]]]
        start += sizes[number]
    return noise


def _own_noise(session: Session, posterior: Posterior, picks: Ints, mean: Floats) -> Floats:
    """Errors of the foreseen readings, as diagonal matrices (n, tests, witnesses, witnesses)."""
    steps = [step_kw(clamp) for clamp in session.clamps]
    steps += [METER_STEP_KW] * (len(posterior.witnesses) - len(steps))
    size = np.stack([_spread_kw2(witness, picks[:, number], mean[:, number])
                     for number, witness in enumerate(posterior.witnesses)], axis=1)  # fmt: skip
    own = size + (np.array(steps) ** 2 / 12 + LOOSE_KW**2)[None, :, None]
    return np.asarray(own.transpose(0, 2, 1)[..., None] * np.eye(len(steps)))


def _spread_kw2(witness: Witness, picks: Ints, mean: Floats) -> Floats:
    """Square of one witness's error at the means (n, tests), by the suspect picked in each combination."""
    found = (LOOSE_RATIO * mean) ** 2
    kinds, which = witness.suspects.kinds
    for number, kind in enumerate(kinds):
        its = which[picks] == number
        found[its] += spread_kw(witness, kind.spread_ratio, mean[its]) ** 2 + kind.loose_kw**2
    return found


def _labels(posterior: Posterior, world: Ints, picks: Ints) -> Ints:
    """Combinations that have the same effect get one number."""
    faults: dict[tuple[object, ...], int] = {}
    blamed = [posterior.effects(where, row) for where, row in zip(world.tolist(), picks.tolist(), strict=True)]
    return np.array([faults.setdefault(each, len(faults)) for each in blamed], dtype=np.int64)


def _doubt_left(chance: Floats, labels: Ints, mean: Floats, cov: Floats) -> Floats:
    """Expected entropy after each test, in bits."""
    dice = np.random.default_rng(SEED)
    edges = (np.arange(DRAWS_COUNT) + 0.5) / DRAWS_COUNT
    drawn = np.searchsorted(np.cumsum(chance), edges).clip(0, len(chance) - 1)
    root = np.linalg.cholesky(cov)
    loose = dice.standard_normal((mean.shape[0], DRAWS_COUNT, mean.shape[2]))
    read = mean[:, drawn] + np.einsum("cjwv,cjv->cjw", root[:, drawn], loose)
    inverse = np.linalg.inv(root)
    off = read[:, None] - mean[:, :, None]  # tests, n, draws, witnesses
    white = np.einsum("cnwv,cnjv->cnjw", inverse, off, optimize=True)
    log_pivots = np.log(np.einsum("cnww->cnw", root)).sum(axis=2)
    log_like = -0.5 * (white**2).sum(axis=3) - log_pivots[:, :, None] + np.log(chance)[None, :, None]
    weight = np.exp(log_like - log_like.max(axis=1, keepdims=True))
    after = (weight / weight.sum(axis=1, keepdims=True)).transpose(0, 2, 1)
    return np.asarray(_entropy(after, labels).mean(axis=1))


def _entropy(chance: Floats, labels: Ints) -> Floats:
    """Entropy in bits over labels: `chance` (..., n)."""
    summed = chance @ np.eye(labels.max() + 1)[labels]
    return np.asarray(-np.sum(summed * np.log2(np.maximum(summed, 1e-300)), axis=-1))

