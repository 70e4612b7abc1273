"""Conductors: resistance, temperature and the voltage lost along them."""

import math

from ampwright.physics import sane


def resistance_factor_ratio(*, at_c: float, alpha20_per_k: float) -> float:
    """How many times its 20 C resistance a conductor has at `at_c`: 1 + alpha20 (T - 20).

    `alpha20_per_k` is per kelvin at 20 C. Straight-line law of IEC 60228 / IEC 60287-1-1.
    Raises ValueError where the line would give no resistance at all.
    """
    sane.positive(alpha20_per_k=alpha20_per_k)
    factor = 1 + alpha20_per_k * (at_c - 20)
    if not (math.isfinite(factor) and factor > 0):
        raise ValueError(f"at_c is {at_c:g} C, outside what the straight-line law of resistance can serve")
    return factor


def resistance_ohm(*, r20_ohm_per_km: float, length_m: float, at_c: float, alpha20_per_k: float) -> float:
    """Resistance in ohm of one conductor, one way: r20 / 1000 x L x (1 + alpha20 (T - 20)).

    Raises ValueError if r20 is not above zero or the length is negative. Source: IEC 60228.
    """
    sane.positive(r20_ohm_per_km=r20_ohm_per_km)
    sane.not_negative(length_m=length_m)
    factor = resistance_factor_ratio(at_c=at_c, alpha20_per_k=alpha20_per_k)
    return r20_ohm_per_km / 1000 * length_m * factor


def resistance_at_20_ohm(*, measured_ohm: float, at_c: float, alpha20_per_k: float) -> float:
    """Bring a resistance in ohm, measured at `at_c`, to 20 C: R / (1 + alpha20 (T - 20)).

    Raises ValueError if the reading is negative. Source: IEC 60228.
    """
    sane.not_negative(measured_ohm=measured_ohm)
    return measured_ohm / resistance_factor_ratio(at_c=at_c, alpha20_per_k=alpha20_per_k)


def parallel_ohm(*paths_ohm: float) -> float:
    """Resistance in ohm of several paths side by side: 1 / sum(1 / R).

    A path of zero ohm gives zero. Raises ValueError for no path or a negative one. Source: Kirchhoff.
    """
    if not paths_ohm:
        raise ValueError("parallel_ohm wants at least one path")
    for number, ohm in enumerate(paths_ohm, start=1):
        sane.not_negative(**{f"path {number}": ohm})
    if 0 in paths_ohm:
        return 0.0
    return 1 / sum(1 / ohm for ohm in paths_ohm)


def single_phase_drop_v(*, one_way_ohm: float, current_a: float) -> float:
    """Volts lost out and back on one phase: 2 R I, with R one way and line and neutral alike.

    Resistance only: reactance is small at 16 mm2 and below. Raises ValueError if either is negative.
    Source: Ohm.
    """
    sane.not_negative(one_way_ohm=one_way_ohm, current_a=current_a)
    return 2 * one_way_ohm * current_a


def three_phase_drop_v(*, one_way_ohm: float, current_a: float) -> float:
    """Volts lost between lines on three balanced phases: sqrt(3) R I, with R one way.

    Compare with the line-to-line voltage. Resistance only. Raises ValueError if either is negative.
    Source: Ohm.
    """
    sane.not_negative(one_way_ohm=one_way_ohm, current_a=current_a)
    return math.sqrt(3) * one_way_ohm * current_a


def operating_temperature_c(*, ambient_c: float, rated_c: float, load_a: float, rating_a: float) -> float:
    """Conductor temperature in C under a steady load: ta + (tp - ta) (Ib / It)^2.

    `rating_a` is the current that brings the conductor to `rated_c` in this same ambient. A load over the
    rating gives a temperature over `rated_c`: the caller judges it. Heat rises with the square of current
    (the growth of resistance is left out, as BS 7671 appendix 4 section 6.1 leaves it out).
    Raises ValueError if `rated_c` is not above `ambient_c` or a current makes no sense.
    """
    sane.positive(rating_a=rating_a)
    sane.not_negative(load_a=load_a)
    if not rated_c > ambient_c:
        raise ValueError(f"rated_c must be above ambient_c, but {rated_c:g} and {ambient_c:g} were given")
    return ambient_c + (rated_c - ambient_c) * (load_a / rating_a) ** 2


def charging_loss_ratio(*, line_ohm: float, current_a: float, voltage_v: float, phases_count: int) -> float:
    """Energy lost in the cable over energy taken at its source, at a steady current and power factor 1.

    `line_ohm` is one line conductor, `voltage_v` line to neutral. On one phase line and neutral both lose, 2 R I / U;
    on three balanced phases the neutral carries nothing, R I / U. Raises ValueError for values no circuit can have.
    """
    sane.positive(voltage_v=voltage_v)
    sane.not_negative(line_ohm=line_ohm, current_a=current_a)
    return (2 if phases_count == 1 else 1) * line_ohm * current_a / voltage_v
