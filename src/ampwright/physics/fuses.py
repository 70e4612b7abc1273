"""Fuses: how soon the weakest fuse that a standard allows could melt, and how near a day's current brings it.

Only two things are used of a standard: the current that a fuse carries without ever melting, and its gates,
points that no conforming fuse may melt before. Between them stand two laws of heat. With loss of heat the energy
that melts a fuse never falls as the current falls; and the hot spot of a steadily fed fuse warms slower and
slower. Resistance is taken as constant: one that rises with heat, set to the same points, bears more.
The time that a fuse takes to *open* cannot be planned on from here: these are times before which it holds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ampwright.physics import sane


@dataclass(frozen=True, slots=True)
class Gate:
    """A point of the zone that a standard sets: at this current no conforming fuse melts before this time."""

    current_a: float
    time_s: float


def prearcing_gate(*, least_a2s: float, at_s: float) -> Gate:
    """The gate that a least pre-arcing energy in A2s, stated at a time in s, stands for: I = sqrt(I2t / t).

    Raises ValueError unless both are above zero. Source: the meaning of I2t.
    """
    sane.positive(least_a2s=least_a2s, at_s=at_s)
    return Gate((least_a2s / at_s) ** 0.5, at_s)


def shortest_melting_s(*, current_a: float, nonfusing_a: float, gates: Sequence[Gate]) -> float:
    """Seconds that a steady current from cold may flow before any conforming fuse melts: t (Ig / I)^2.

    Never (infinite) up to `nonfusing_a`, the conventional non-fusing current; above it the longest time that a
    gate of higher current grants, zero beyond all gates. A lower bound: the energy that melts a fuse is never less
    at a lower current, for more of it is lost. A straight line drawn between gates on logarithmic paper is *not* a
    lower bound: fuse curves sag below it. Raises ValueError for no gates, or one not above `nonfusing_a`.
    Source: heat balance; gates as in IEC 60269-1.
    """
    _check(nonfusing_a, gates)
    sane.not_negative(current_a=current_a)
    if current_a <= nonfusing_a:
        return float("inf")
    granted_s = [gate.time_s * (gate.current_a / current_a) ** 2 for gate in gates if current_a <= gate.current_a]
    return max(granted_s, default=0.0)


def windows_s(*, upto_s: int, each_to_s: int, growth_ratio: float) -> tuple[int, ...]:
    """Lengths of time in s to look at: every second to `each_to_s`, then ever longer by `growth_ratio`.

    Raises ValueError unless 1 <= each_to_s <= upto_s and the ratio is from 0 to 1. Whole seconds.
    """
    sane.ratio(growth_ratio=growth_ratio)
    if not 1 <= each_to_s <= upto_s:
        raise ValueError(f"each_to_s must lie from 1 to {upto_s}, but {each_to_s} was given")
    lengths_s = list(range(1, each_to_s + 1))
    while lengths_s[-1] < upto_s:
        lengths_s.append(min(upto_s, lengths_s[-1] + max(1, int(lengths_s[-1] * growth_ratio))))
    return tuple(lengths_s)


def highest_let_through_a2s(*, currents_a: Sequence[float], lengths_s: Sequence[int]) -> list[float]:
    """The largest I2t in A2s of `currents_a` (one a second) in any stretch of each length. Plain and slow.

    Before the first second nothing flowed. Raises ValueError if a current is not a number of zero or more.
    """
    total_a2s = [0.0]
    for current_a in currents_a:
        sane.not_negative(current_a=current_a)
        total_a2s.append(total_a2s[-1] + current_a * current_a)
    return [max(total_a2s[end] - total_a2s[max(0, end - length)] for end in range(len(total_a2s)))
            for length in lengths_s]  # fmt: skip


def warmed_ratio(*, lengths_s: Sequence[int], let_through_a2s: Sequence[float], nonfusing_a: float,
                 gates: Sequence[Gate]) -> float:  # fmt: skip
    """How near the weakest conforming fuse can have come to melting: 0 is cold, 1 may melt.

    `let_through_a2s` holds, for each length, at least the largest I2t in any stretch of that length. The hot spot's
    memory falls with age, so it is a mixture of plain means over the last w seconds. A mixture may weigh no more
    in all than 1 / nonfusing^2, nor more within a gate's time than 1 / Ig^2; the worst of all such mixtures puts
    its weight on two lengths, so every pair is tried. Cooling is counted, but no faster than those two points allow.
    Each gate gives a bound and the least of them stands. Raises ValueError as `shortest_melting_s` does, and unless
    the lengths begin with one second.
    Source: heat is linear and positive; IEC 60269-1 for what is conforming.
    """
    _check(nonfusing_a, gates)
    if not lengths_s or lengths_s[0] != 1:
        raise ValueError("warmed_ratio wants lengths that begin with one second")
    return min(_by_gate(lengths_s, let_through_a2s, nonfusing_a, gate) for gate in gates)


def _by_gate(lengths_s: Sequence[int], let_through_a2s: Sequence[float], nonfusing_a: float, gate: Gate) -> float:
    """Points (share of the length within the gate's time, mean of I2), and the top of the hull above the gate's own."""
    points = [(min(1.0, gate.time_s / length), mean_a2)
              for length, mean_a2 in _means(lengths_s, let_through_a2s)]  # fmt: skip
    last = lengths_s[-1]
    longer_a2 = max(through / length for length, through in zip(lengths_s, let_through_a2s, strict=True)
                    if 2 * length >= last)  # fmt: skip
    points.append((0.0, longer_a2))
    at = (nonfusing_a / gate.current_a) ** 2
    above = [each for each in points if each[0] >= at]
    below = [each for each in points if each[0] < at]
    best_a2 = max(high + (low - high) * (far - at) / (far - near) for far, high in above for near, low in below)
    return max(best_a2, 0.0) / nonfusing_a**2


def _means(lengths_s: Sequence[int], let_through_a2s: Sequence[float]) -> list[tuple[float, float]]:
    """Length and mean of I2 for each length. Across a leap the longer length stands with the highest mean that any
    between can have: I2t can rise no faster than in the worst second, nor above what it comes to at the far end."""
    peak_a2 = let_through_a2s[0]
    found = [(1.0, peak_a2)]
    for place in range(1, len(lengths_s)):
        before, through_a2s = lengths_s[place - 1], let_through_a2s[place]
        rise_s = (through_a2s - let_through_a2s[place - 1]) / peak_a2 if peak_a2 > 0 else 0.0
        reached_s = lengths_s[place] if lengths_s[place] - before == 1 else before + rise_s
        found.append((lengths_s[place], through_a2s / reached_s))
    return found


def _check(nonfusing_a: float, gates: Sequence[Gate]) -> None:
    sane.positive(nonfusing_a=nonfusing_a)
    if not gates:
        raise ValueError("a fuse is judged by at least one gate of its standard")
    for gate in gates:
        sane.positive(time_s=gate.time_s)
        if gate.current_a <= nonfusing_a:
            raise ValueError(f"a gate at {gate.current_a:g} A lies within the {nonfusing_a:g} A that never melt it")
