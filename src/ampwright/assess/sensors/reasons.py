"""The reason in readings: what a sensor in its right place would have shown, by what the others showed."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from ampwright.assess.sensors.evidence import Posterior, errors
from ampwright.assess.sensors.feasible import bounds_kw
from ampwright.assess.sensors.house_model import Floats
from ampwright.assess.sensors.next_test import joint
from ampwright.assess.sensors.session import Session
from ampwright.assess.sensors.words import moved, slot_words

PAIR_BONUS_RATIO, TELLING_KW = 0.6, 0.5


@dataclass(frozen=True)
class Foreseen:
    """What a right sensor would have shown at its readings: mean (n) and covariance (n, n), errors included."""

    mean: Floats
    cov: Floats


def foreseen(session: Session, posterior: Posterior, number: int) -> Foreseen:
    """By the house model and the other witnesses' readings, each as its likeliest combination takes it."""
    right = next(place for place, each in enumerate(posterior.witnesses[number].suspects) if each.fault.right)
    picks = posterior.picks[:1].copy()
    picks[0, number] = right
    mean, cov, _ = joint(session, posterior, posterior.world[:1], picks)
    others = [(who, when) for who, each in enumerate(posterior.witnesses) if who != number for when in each.at]
    own = [(number, when) for when in posterior.witnesses[number].at]
    own_mean, own_cov = _part(mean[0], own), _block(cov[0], own, own)
    own_cov = own_cov + errors(posterior.witnesses[number], posterior.witnesses[number].suspects[right])
    if not others:
        return Foreseen(own_mean, own_cov)
    noise = np.zeros((len(others), len(others)))
    start = 0
    for who, witness in enumerate(posterior.witnesses):
        if who != number and witness.at:
            block = slice(start, start + len(witness.at))
            noise[block, block] = errors(witness, witness.suspects[picks[0, who]])
            start += len(witness.at)
    shown = np.array([kw for who, each in enumerate(posterior.witnesses) if who != number for kw in each.shown_kw])
    across = _block(cov[0], own, others)
    gain = np.linalg.solve(_block(cov[0], others, others) + noise, across.T).T
    return Foreseen(own_mean + gain @ (shown - _part(mean[0], others)), own_cov - gain @ across.T)


def reason(session: Session, posterior: Posterior, number: int, *, right: bool) -> str:
    """The readings that tell most: for a wrong sensor where it was furthest off, for a right one the largest change."""
    witness = posterior.witnesses[number]
    if not witness.at:
        return ""
    known = foreseen(session, posterior, number)
    shown = np.array(witness.shown_kw)
    pairs = list(combinations(range(len(shown)), 2))
    change = [(known.mean[b] - known.mean[a], shown[b] - shown[a], _spread(known.cov, a, b)) for a, b in pairs]
    weight = [abs(should) / spread if right else abs(should - did) / spread for should, did, spread in change]
    single = np.abs(shown - known.mean) / np.sqrt(np.diag(known.cov))
    telling = any(abs(should) > TELLING_KW for should, _, _ in change)
    if pairs and (telling if right else max(weight) >= PAIR_BONUS_RATIO * single.max()):
        best = int(np.argmax(weight))
        a, b = pairs[best]
        should, did, _ = change[best]
        with_what = slot_words(session.slots[witness.at[b]], session.slots[witness.at[a]])
        return (f"with {with_what} it should have {moved(should, should=True)} and {moved(did, should=False)} "
                f"(readings {session.numbers[witness.at[a]]} and {session.numbers[witness.at[b]]})")  # fmt: skip
    best = int(np.argmax(np.abs(known.mean) if right else single))
    spread, moment = float(np.sqrt(known.cov[best, best])), witness.at[best]
    return (f"with {slot_words(session.slots[moment])} it should have shown about {known.mean[best]:.1f} (give or take "
            f"{2 * spread:.1f}) and showed {shown[best]:.1f} (reading {session.numbers[moment]})")


def impossible(session: Session, posterior: Posterior, number: int, believed: tuple[int, ...]) -> str:
    """The first reading that a right sensor could not have given, whatever the house did; empty if there is none."""
    witness = posterior.witnesses[number]
    meters = tuple(range(len(session.clamps), len(posterior.witnesses)))
    for trusted, by in (((), ""), (meters, "by the meter"), ((*believed, *meters), "by the other readings")):
        for place, kw in zip(witness.at, witness.shown_kw, strict=True):
            ends = bounds_kw(session, number, place, tuple(each for each in trusted if each != number))
            if ends is None or ends[0] <= kw <= ends[1]:
                continue
            least = f"no less than {ends[0]:.1f}" if kw < ends[0] else f"no more than {ends[1]:.1f}"
            return (f"it cannot be right: with {slot_words(session.slots[place])} it would show {least}"
                    f"{f' {by}' if by else ''}, and it shows {kw:.1f} (reading {session.numbers[place]})")  # fmt: skip
    return ""


def _spread(cov: Floats, a: int, b: int) -> float:
    return float(np.sqrt(max(cov[a, a] + cov[b, b] - 2 * cov[a, b], 1e-12)))


def _part(mean: Floats, which: list[tuple[int, int]]) -> Floats:
    return np.array([mean[who, when] for who, when in which])


def _block(cov: Floats, rows: list[tuple[int, int]], columns: list[tuple[int, int]]) -> Floats:
    (who, when), (other, then) = (np.array(each).T for each in (rows, columns))
    return np.asarray(cov[who[:, None], when[:, None], other, then])
