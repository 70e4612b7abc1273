"""How likely every combination of suspects is, given readings: the house integrated out in closed form.

Given one suspect for each sensor, readings are linear in what flowed plus Gaussian error, so their density is one
Gaussian. Sensors are taken in turn; after each, combinations so unlikely that no later reading is expected to bring
them back are put aside. With two sensors on one phase nothing of any weight is.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ampwright.assess.sensors.class_limits import ClassLimits
from ampwright.assess.sensors.gaussians import log_densities, log_sum
from ampwright.assess.sensors.house_model import Floats, House
from ampwright.assess.sensors.suspects import Effect, Ints, LineUp, Suspect

KEEP_NATS, LEAST_KEPT_COUNT, MOST_KEPT_COUNT, MOST_CELLS = 16.0, 60, 600, 400_000
LOOSE_KW, LOOSE_RATIO = 0.05, 0.01


@dataclass(frozen=True)
class Witness:
    """A sensor with its suspects, or a meter with one: `shown_kw` at the slots `at`, in steps of `step_kw`.

    `limits` is a sensor's accuracy class; a meter has its spread in its one suspect.
    """

    name: str
    suspects: LineUp
    at: tuple[int, ...]
    shown_kw: tuple[float, ...]
    step_kw: tuple[float, ...]
    limits: ClassLimits | None = None


@dataclass(frozen=True)
class Posterior:
    """Combinations that are left: `world` (k,), `picks` (k, witnesses) and probability (k,), most likely first.

    `log_evidence_ratio` is the log density of all readings, summed over everything that was kept. `misfit` (k,) is how
    far the readings lie from what each combination foresees: chi-squared, with as many degrees of freedom as readings.
    """

    witnesses: tuple[Witness, ...]
    house: House
    world: Ints
    picks: Ints
    chance: Floats
    misfit: Floats
    log_evidence_ratio: float

    def effects(self, world: int, picks: Ints) -> tuple[Effect, ...]:
        """What each witness shows in one combination."""
        where = self.house.worlds[world]
        return tuple(each.suspects[pick].effect_in(where) for each, pick in zip(self.witnesses, picks, strict=True))

    def shares(self, witness: int) -> list[tuple[int, Suspect, float]]:
        """World, suspect and probability of whatever one witness may be, most likely first."""
        suspects = self.witnesses[witness].suspects
        weights = np.bincount(self.world * len(suspects) + self.picks[:, witness], weights=self.chance)
        places = np.argsort(-weights, kind="stable")[: np.count_nonzero(weights)]
        worlds, picks = np.divmod(places, len(suspects))
        return [(world, suspects[pick], chance) for world, pick, chance in
                zip(worlds.tolist(), picks.tolist(), weights[places].tolist(), strict=True)]  # fmt: skip

    def of(self, witness: int) -> Floats:
        """Probability of each suspect of one witness."""
        count = len(self.witnesses[witness].suspects)
        return np.bincount(self.picks[:, witness], weights=self.chance, minlength=count).astype(np.float64)


@dataclass(frozen=True)
class _Left:
    """Combinations so far. What they were told: the rows (k, m, parts) and slots (m) of all m readings, the inverse of
    the Cholesky root of their covariance (k, m, m), and the readings' errors in its units (k, m).
    """

    log_weight: Floats
    world: Ints
    picks: Ints
    rows: Floats
    when: Ints
    inverse: Floats
    white: Floats


def weigh(house: House, witnesses: tuple[Witness, ...]) -> Posterior:
    """Bayes' rule over every world and every suspect of every witness."""
    left = _start(house)
    turn = sorted(range(len(witnesses)), key=lambda each: len(witnesses[each].suspects))
    for each in turn:
        left = _heard(house, left, witnesses[each])
    order = np.argsort(-left.log_weight, kind="stable")
    total = log_sum(left.log_weight)
    chance = np.exp(left.log_weight[order] - total)
    return Posterior(witnesses, house, left.world[order], left.picks[order][:, np.argsort(turn)], chance,
                     (left.white[order] ** 2).sum(axis=1), total)  # fmt: skip


def errors(witness: Witness, suspect: Suspect) -> Floats:
    """Covariance of what one suspect adds to the truth at the witness's readings: rounding of the display, each
    reading's own error, and the error of the gain, which is common to all.
    """
    return np.asarray(all_errors(replace(witness, suspects=LineUp((suspect,))))[0])


def spread_kw(witness: Witness, spread_ratio: float | None, shown_kw: Floats) -> Floats:
    """Standard error at these figures by the gain alone; half of its class's limit where there is no ratio."""
    if spread_ratio is not None:
        return spread_ratio * shown_kw
    return np.zeros_like(shown_kw) if witness.limits is None else witness.limits.most_kw(shown_kw) / 2


def all_errors(witness: Witness) -> Floats:
    """The same for every kind of error that its suspects have: (kinds, n, n)."""
    shown, kinds = np.array(witness.shown_kw), witness.suspects.kinds[0]
    loose = np.array([each.loose_kw for each in kinds])
    own = np.array(witness.step_kw) ** 2 / 12 + LOOSE_KW**2 + (LOOSE_RATIO * shown) ** 2 + loose[:, None] ** 2
    by_class = spread_kw(witness, None, shown)
    spread = np.array([by_class if each.spread_ratio is None else each.spread_ratio * shown for each in kinds])
    return np.asarray(own[:, :, None] * np.eye(len(shown)) + spread[:, :, None] * spread[:, None])


def _start(house: House) -> _Left:
    worlds, parts, _ = house.mean.shape
    weights = np.array([world.weight_ratio for world in house.worlds])
    return _Left(np.log(weights / weights.sum()), np.arange(worlds), np.zeros((worlds, 0), dtype=np.int64),
                 np.zeros((worlds, 0, parts)), np.zeros(0, dtype=np.int64), np.zeros((worlds, 0, 0)),
                 np.zeros((worlds, 0)))  # fmt: skip


def _heard(house: House, left: _Left, witness: Witness) -> _Left:
    suspects, at = witness.suspects, np.array(witness.at, dtype=np.int64)
    if not witness.at:
        old, pick, weights = _kept(left.log_weight[:, None] + suspects.log_prior, 1)
        return _Left(weights, left.world[old], np.column_stack([left.picks[old], pick]), left.rows[old], left.when,
                     left.inverse[old], left.white[old])  # fmt: skip
    rows, which = suspects.directions
    tied = left.inverse[:, None] @ _across(house, left, rows, at)  # k, rows, m, n
    mean = np.einsum("dl,wlt->wdt", rows, house.mean[:, :, at])[left.world]
    mean = mean + np.einsum("kdmn,km->kdn", tied, left.white)
    own = np.einsum("dl,wltu->wdtu", rows**2, house.cov[:, :, at][:, :, :, at])[left.world]
    cov = own - tied.transpose(0, 1, 3, 2) @ tied
    noise = all_errors(witness)
    density = _densities(witness, mean, cov, noise)
    old, pick, weights = _kept(left.log_weight[:, None] + suspects.log_prior + density, len(at) ** 2)
    gains = suspects.gains[pick]
    spread = (gains**2)[:, None, None] * cov[old, which[pick]] + noise[suspects.kinds[1][pick]]
    off = np.array(witness.shown_kw) - gains[:, None] * mean[old, which[pick]]
    inverse, white = _told(left, old, gains[:, None, None] * tied[old, which[pick]], spread, off)
    looks = np.repeat(suspects.looks[pick][:, None], len(at), axis=1)
    return _Left(weights, left.world[old], np.column_stack([left.picks[old], pick]),
                 np.concatenate([left.rows[old], looks], axis=1), np.concatenate([left.when, at]), inverse,
                 white)  # fmt: skip


def _densities(witness: Witness, mean: Floats, cov: Floats, noise: Floats) -> Floats:
    """Log density (k, suspects) of the witness's readings, by mean (k, rows, n) and covariance (k, rows, n, n) of what
    flows along each row, and the errors (kinds, n, n). Worked out once for each shape, both ways round.
    """
    suspects = witness.suspects
    first, which = suspects.shapes
    along, kind, size = suspects.directions[1][first], suspects.kinds[1][first], np.abs(suspects.gains[first])
    count = len(witness.at)
    foreseen = np.array([size * mean[:, along, row] for row in range(count)])
    spread = [[size**2 * cov[:, along, row, column] + noise[kind, row, column] for column in range(row + 1)]
              for row in range(count)]  # fmt: skip
    straight, turned = log_densities(np.array(witness.shown_kw), foreseen, spread)
    return np.where(suspects.gains < 0, turned[:, which], straight[:, which])


def _across(house: House, left: _Left, rows: Floats, at: Ints) -> Floats:
    """Covariance (k, rows, m, n) of the m readings heard so far with what flows along each row at the slots `at`."""
    shared = house.cov[:, :, left.when][:, :, :, at][left.world]  # k, parts, m, n
    weighted = left.rows.transpose(0, 2, 1)[:, :, :, None] * shared
    flat = rows @ weighted.reshape(len(left.world), rows.shape[1], -1)
    return flat.reshape(len(left.world), len(rows), len(left.when), len(at))


def _kept(log_weights: Floats, cells: int) -> tuple[Ints, Ints, Floats]:
    """The combinations (k, suspects) to go on with: their places in both, and their log weights; fewer where each costs
    more cells of the next step's covariances.
    """
    flat = log_weights.ravel()
    most = min(MOST_KEPT_COUNT, max(LEAST_KEPT_COUNT, MOST_CELLS // (cells * log_weights.shape[1])))
    kept = np.flatnonzero(flat > flat.max() - KEEP_NATS)
    if len(kept) > most:
        kept = kept[np.argsort(-flat[kept], kind="stable")[:most]]
    old, pick = np.divmod(kept, log_weights.shape[1])
    return old, pick, flat[kept]


def _told(left: _Left, old: Ints, tied: Floats, spread: Floats, off: Floats) -> tuple[Floats, Floats]:
    """Inverse root and white errors with the new readings added: the Cholesky factor grown by a block."""
    count, before, new = tied.shape
    corner = np.linalg.inv(np.linalg.cholesky(spread))
    inverse = np.zeros((count, before + new, before + new))
    inverse[:, :before, :before] = left.inverse[old]
    inverse[:, before:, before:] = corner
    inverse[:, before:, :before] = -corner @ tied.transpose(0, 2, 1) @ left.inverse[old]
    white = np.concatenate([left.white[old], (corner @ off[:, :, None])[:, :, 0]], axis=1)
    return inverse, white
