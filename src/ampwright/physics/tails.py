"""How warm conductors in air become when their current changes: one body of copper, warmed and cooled.

The insulation's own heat is left out, so that the conductor follows a change sooner than a real one does, and a
short peak is never made too cool. Resistance rises with temperature.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ampwright.physics import sane
from ampwright.physics.conductors import resistance_factor_ratio


@dataclass(frozen=True, slots=True, kw_only=True)
class Conductor:
    """What its rating says of it: `rated_a` for ever takes it from `around_c` to `rated_c`, with this time constant.

    `zero_c` is the temperature below zero, sign dropped, at which the metal's resistance would vanish (IEC 60287).
    """

    rated_a: float
    rated_c: float
    around_c: float
    zero_c: float
    constant_s: float


def time_constant_s(*, size_mm2: float, r20_ohm_per_km: float, alpha20_per_k: float, heat_j_per_k_mm3: float,
                    rated_a: float, rated_c: float, around_c: float) -> float:  # fmt: skip
    """Seconds of the exponential rise of the copper alone: heat taken up over heat lost, both for a metre at rating.

    c A (Tr - Ta) / (Ir^2 R). Too short, for the insulation is left out. Raises ValueError if anything is not above
    zero, or the rated temperature not above that around. Source: heat balance of IEC 60287 with copper's heat.
    """
    sane.positive(size_mm2=size_mm2, r20_ohm_per_km=r20_ohm_per_km, heat_j_per_k_mm3=heat_j_per_k_mm3,
                  rated_a=rated_a, rise_c=rated_c - around_c)  # fmt: skip
    warm_ohm_per_km = r20_ohm_per_km * resistance_factor_ratio(at_c=rated_c, alpha20_per_k=alpha20_per_k)
    return heat_j_per_k_mm3 * size_mm2 * 1e6 * (rated_c - around_c) / (rated_a**2 * warm_ohm_per_km)


def steady_c(*, current_a: float, conductor: Conductor) -> float:
    """Temperature in C that a current brings the conductor to in the end; infinite where it would run away.

    (Ta + q Z) / (1 - q), q = (Tr - Ta) (I / Ir)^2 / (Z + Tr): loss falls with the rise, resistance grows with it.
    Raises ValueError for a negative current. Source: the heat balance that IEC 60287 rests on.
    """
    sane.not_negative(current_a=current_a)
    share = _share(current_a, conductor)
    return (conductor.around_c + share * conductor.zero_c) / (1 - share) if share < 1 else math.inf


def hottest_c(*, currents_a: Sequence[float], start_c: float, conductor: Conductor) -> float:
    """The highest temperature in C while `currents_a` flow, one a second, each second solved exactly.

    Raises ValueError for a negative current. Source: the first-order heat balance.
    """
    at_c = highest_c = start_c
    for current_a in currents_a:
        at_c = _after_c(at_c, current_a, conductor)
        highest_c = max(highest_c, at_c)
    return highest_c


def temperatures_c(*, currents_a: Sequence[float], start_c: float, conductor: Conductor) -> list[float]:
    """The temperature in C at the end of each second. Raises ValueError for a negative current."""
    found, at_c = [], start_c
    for current_a in currents_a:
        at_c = _after_c(at_c, current_a, conductor)
        found.append(at_c)
    return found


def never_above_c(*, lengths_s: Sequence[int], let_through_a2s: Sequence[float], conductor: Conductor) -> float:
    """A temperature in C that no current with these largest I2t in a stretch of each length can pass.

    The rise is a mean of I2 that fades with age: a mixture of plain means over the last w seconds, the length w
    weighing w e^(-w / tau) / tau^2. Resistance is taken as at the rated temperature, so that an answer up to
    `rated_c` is a bound, and one above it says only that the rating cannot be shown to hold.
    Raises ValueError for no lengths. Source: the same heat balance, integrated by parts.
    """
    if not lengths_s:
        raise ValueError("never_above_c wants at least one length")
    tau_s = conductor.constant_s
    sum_a2, before_s = 0.0, 0
    for length, through_a2s in zip(lengths_s, let_through_a2s, strict=True):
        sum_a2 += through_a2s / tau_s * (math.exp(-before_s / tau_s) - math.exp(-length / tau_s))
        before_s = length
    longer_a2 = max(through / length for length, through in zip(lengths_s, let_through_a2s, strict=True)
                    if 2 * length >= before_s)  # fmt: skip
    sum_a2 += longer_a2 * (before_s / tau_s + 1) * math.exp(-before_s / tau_s)
    return conductor.around_c + (conductor.rated_c - conductor.around_c) * sum_a2 / conductor.rated_a**2


def _after_c(at_c: float, current_a: float, conductor: Conductor) -> float:
    """One second on. Where the heat runs away the exponential grows."""
    sane.not_negative(current_a=current_a)
    share = _share(current_a, conductor)
    if math.isclose(share, 1.0, abs_tol=1e-12):
        return at_c + (conductor.around_c + share * conductor.zero_c) / conductor.constant_s
    end_c = (conductor.around_c + share * conductor.zero_c) / (1 - share)
    return end_c + (at_c - end_c) * math.exp(-(1 - share) / conductor.constant_s)


def _share(current_a: float, conductor: Conductor) -> float:
    """q above: the rise over what it would be without loss."""
    rise_c = conductor.rated_c - conductor.around_c
    return rise_c * (current_a / conductor.rated_a) ** 2 / (conductor.zero_c + conductor.rated_c)
