"""Everything that one sensor may be doing: which conductor, which way round, how much of it, on which voltage.

The weights are this program's own judgement of how often each slip is made, without a source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import product

import numpy as np
from numpy.typing import NDArray

from ampwright.assess.sensors.house_model import EVERY, Floats, World
from ampwright.assess.sensors.placement import Clamp, arrow_sign
from ampwright.assess.sensors.singleline import (
    CAR,
    CAR_CABLE,
    GIVES,
    HOME_OF,
    LINES,
    SOLAR,
    SOLAR_CABLE,
    SingleLine,
    Stretch,
)

OTHER_LINE_RATIO, OTHER_PLACE_RATIO, REVERSED_RATIO, CHANNEL_RATIO = 0.04, 0.04, 0.12, 0.03
SWAPPED_RATIO = 0.3  # of the sensors on another line: names or leads swapped, so that the voltage goes with it
# A core that is not shut reads anything from a quarter to LOW_RATIO of the truth, evenly.
DEAD_RATIO, UNEXPLAINED_RATIO, SCALE_RATIO, HALF_OPEN_RATIO = 0.04, 0.002, 0.015, 0.04
HALF_OPEN = (0.3, 0.39, 0.48, 0.57, 0.66, 0.75, 0.83)
HALF_OPEN_SPREAD_RATIO, UNEXPLAINED_KW = 0.045, 5.0
LEAST_WEIGHT_RATIO = 3e-6
Ints = NDArray[np.int64]
FOLLOWED = {SOLAR_CABLE: SOLAR, CAR_CABLE: CAR}
LOW_RATIO, HIGH_RATIO = 0.9, 1.5


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with a sensor, in the kinds that a person can put right. All defaults: nothing."""

    place: str = ""
    line: str = ""
    reversed: bool = False
    gain: str = ""
    channel: str = ""
    other: str = ""

    @property
    def right(self) -> bool:
        """Whether nothing is wrong."""
        return self == Fault()


@dataclass(frozen=True, slots=True)
class Effect:
    """A fault as far as figures of real power can tell it: the conductor, the sign, and whether it reads low or high.

    A voltage 120 degrees off makes minus a half, as a core that is half open and turned round does; a ratio set to half
    reads like jaws that are not shut. Only a look tells such causes apart, so they are one effect.
    """

    place: str = ""
    line: str = ""
    turned: bool = False
    size: str = ""
    other: str = ""


@dataclass(frozen=True)
class Suspect:
    """One way that a sensor may be: what it reads is `gain` times `row` (over the house's parts), plus error.

    `spread_ratio` is the standard error of its gain, the same at every reading; None if it is as good as its class.
    `loose_kw` is an error of each reading.
    """

    fault: Fault
    weight_ratio: float
    row: Floats
    gain_ratio: float
    spread_ratio: float | None
    loose_kw: float = 0.0
    effect: Effect = Effect()
    by_line: tuple[tuple[str, Effect], ...] = ()
    follows: str = ""

    def effect_in(self, world: World) -> Effect:
        """The effect in one world: where a car or an inverter of one phase really is, decides what a voltage makes."""
        if not self.by_line:
            return self.effect
        return dict(self.by_line)[(world.solar_lines if self.follows == SOLAR else world.car_lines)[0]]


class LineUp(tuple[Suspect, ...]):
    """The suspects of one witness, with what is asked of all of them at once worked out when first wanted and kept.

    A sensor turned round is as uncertain as one that is not. So suspects that differ by the sign of their gain share a
    shape: direction, size of gain and kind of error.
    """

    @cached_property
    def gains(self) -> Floats:
        """Gain of each, with its sign."""
        return np.array([each.gain_ratio for each in self])

    @cached_property
    def log_prior(self) -> Floats:
        """Logarithm of each one's weight."""
        return np.asarray(np.log([each.weight_ratio for each in self]))

    @cached_property
    def looks(self) -> Floats:
        """What each reads of every part of the house: (suspects, parts)."""
        return np.asarray(self.gains[:, None] * np.array([each.row for each in self]))

    @cached_property
    def directions(self) -> tuple[Floats, Ints]:
        """The distinct rows (directions, parts), and which one each suspect has."""
        rows, which = np.unique(np.array([each.row for each in self]), axis=0, return_inverse=True)
        return rows, which.reshape(-1)

    @cached_property
    def kinds(self) -> tuple[tuple[Suspect, ...], Ints]:
        """One suspect for each kind of error (spread and looseness), and which kind each suspect has."""
        first = {(each.spread_ratio, each.loose_kw): each for each in reversed(self)}
        place = {kind: number for number, kind in enumerate(first)}
        return tuple(first.values()), np.array([place[each.spread_ratio, each.loose_kw] for each in self])

    @cached_property
    def shapes(self) -> tuple[Ints, Ints]:
        """A suspect (shapes) for each direction, size of gain and kind of error, and which shape each suspect has."""
        told = np.column_stack([self.directions[1], np.abs(self.gains), self.kinds[1]])
        _, first, which = np.unique(told, axis=0, return_index=True, return_inverse=True)
        return first, which.reshape(-1)


@lru_cache(maxsize=32)
def suspects(clamp: Clamp, tree: SingleLine, parts: tuple[tuple[str, str, str], ...]) -> LineUp:
    """Every suspect for one sensor; the weights add up to one. Kept between the questions of one job."""
    nothing = np.zeros(len(parts))
    found = [Suspect(Fault(other="dead"), DEAD_RATIO, nothing, 1.0, 0.0, effect=Effect(other="dead")),
             Suspect(Fault(other="unexplained"), UNEXPLAINED_RATIO, nothing, 1.0, 0.0, UNEXPLAINED_KW,
                     Effect(other="unexplained"))]  # fmt: skip
    rest, rows = 1 - DEAD_RATIO - UNEXPLAINED_RATIO, dict[tuple[str, str, str], Floats]()
    ways = product(_places(clamp, tree), (False, True), _channels(clamp, tree), _gains())
    for (stretch, line, place_weight), turned, (channel, channel_weight), (gain, word, gain_weight, spread) in ways:
        home = stretch.name == HOME_OF[clamp.sensor.watches]
        turn_weight = (REVERSED_RATIO if turned else 1 - REVERSED_RATIO) if home else 0.5
        swapped = home and line == channel != clamp.line
        weight = rest * place_weight * turn_weight * (SWAPPED_RATIO if swapped else channel_weight) * gain_weight
        if weight < LEAST_WEIGHT_RATIO:
            continue
        fault = Fault("" if home else stretch.name, "" if line == clamp.line or (home and _one_line(stretch)) else line,
                      turned, word, "" if channel == clamp.line else channel)  # fmt: skip
        if (stretch.name, line, channel) not in rows:
            rows[stretch.name, line, channel] = arrow_sign(clamp.sensor.watches) * _row(stretch, line, channel, parts)
        row = rows[stretch.name, line, channel]
        signed = -gain if turned else gain
        effect = _effect(fault, line, channel, signed) if row.any() else Effect(other="dead")
        if all(own == EVERY for draw, own, _ in parts if draw in stretch.draws):
            effect = replace(effect, line="")  # its lines carry alike, so that only the voltage makes a difference
        follows = FOLLOWED.get(stretch.name, "") if len(tree.lines) > 1 and _one_line(stretch) else ""
        by_line = tuple((each, _effect(replace(fault, line=""), each, channel, signed))
                        for each in tree.lines if follows)  # fmt: skip
        found.append(Suspect(fault, weight, row, signed, spread, 0.0, effect, by_line, follows))
    total = sum(each.weight_ratio for each in found)
    return LineUp(Suspect(each.fault, each.weight_ratio / total, each.row, each.gain_ratio, each.spread_ratio,
                          each.loose_kw, each.effect, each.by_line, each.follows) for each in found)  # fmt: skip


def _effect(fault: Fault, line: str, channel: str, gain_ratio: float) -> Effect:
    """What shows: sign and size of the real power of one conductor. A shared neutral keeps its voltage as well."""
    if line == "N":
        return Effect(fault.place, f"N on {channel}", gain_ratio < 0, fault.gain)
    shows = gain_ratio * math.cos(math.radians(120.0 * (_place_of(line) - _place_of(channel))))
    size = "low" if abs(shows) < LOW_RATIO else "high" if abs(shows) > HIGH_RATIO else ""
    return Effect(fault.place, fault.line, shows < 0, size)


def _one_line(stretch: Stretch) -> bool:
    return len(stretch.lines) == 1


def _places(clamp: Clamp, tree: SingleLine) -> list[tuple[Stretch, str, float]]:
    """Conductors with their weights: the right one, the other lines of the same stretch, then everything else."""
    home = next((each for each in tree.stretches if each.name == HOME_OF[clamp.sensor.watches]), None)
    everywhere = [(each, line) for each in tree.stretches for line in (*each.lines, *_neutral(each))]
    own_line = clamp.line if home and clamp.line in home.lines else (home.lines[0] if home else "")
    beside = [(each, line) for each, line in everywhere if each == home and line != own_line]
    others = [(each, line) for each, line in everywhere if each != home]
    found = [(each, line, OTHER_LINE_RATIO / len(beside)) for each, line in beside]
    found += [(each, line, OTHER_PLACE_RATIO / len(others)) for each, line in others]
    if home is None:
        return found
    return [(home, own_line, 1 - sum(weight for _, _, weight in found)), *found]


def _neutral(stretch: Stretch) -> tuple[str, ...]:
    """The neutral is a conductor of its own only where lines share it; else it is the line turned round."""
    return () if _one_line(stretch) else ("N",)


def _channels(clamp: Clamp, tree: SingleLine) -> list[tuple[str, float]]:
    others = [line for line in tree.lines if line != clamp.line]
    return [(clamp.line, 1 - CHANNEL_RATIO * len(others)), *((line, CHANNEL_RATIO) for line in others)]


def _gains() -> list[tuple[float, str, float, float | None]]:
    """Gain, its name, its weight, and its standard error. Half is a ratio set wrong, or a core that is not shut: both
    read low, and readings cannot tell them apart.
    """
    return [(1.0, "", 1 - 2 * SCALE_RATIO - HALF_OPEN_RATIO, None), (0.5, "low", SCALE_RATIO, None),
            (2.0, "high", SCALE_RATIO, None), *((gain, "low", HALF_OPEN_RATIO / len(HALF_OPEN), HALF_OPEN_SPREAD_RATIO)
                                               for gain in HALF_OPEN)]  # fmt: skip


def _row(stretch: Stretch, line: str, channel: str, parts: tuple[tuple[str, str, str], ...]) -> Floats:
    """How much of each part of the house runs, away from the meter, in one conductor, on one voltage channel.

    A cable with one line carries that line whichever it is. The neutral carries the sum of the lines, back.
    """
    row = np.zeros(len(parts))
    for place, (draw, own, kind) in enumerate(parts):
        if draw not in stretch.draws:
            continue
        for each in LINES if own == EVERY else (own,):
            if line in (each, "N") or _one_line(stretch):
                angle = math.radians(120.0 * (_place_of(each) - _place_of(channel)))
                turn = math.cos(angle) if kind == "real" else -math.sin(angle)
                row[place] += turn * (-1 if draw in GIVES else 1) * (-1 if line == "N" else 1)
    return row.round(12)


def _place_of(line: str) -> int:
    return LINES.index(line)
