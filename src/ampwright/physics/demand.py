"""Demand: power into amperes, and how much of several loads to count at once."""

import math
from collections.abc import Sequence

from ampwright.physics import sane


def single_phase_a(*, power_w: float, voltage_v: float, power_factor_ratio: float = 1.0) -> float:
    """Amperes on one phase: P / (U cos phi), with U line to neutral.

    Raises ValueError if the power is negative, or voltage or power factor make no sense. Source: Ohm.
    """
    _check_power(power_w, voltage_v, power_factor_ratio)
    return power_w / (voltage_v * power_factor_ratio)


def three_phase_a(*, power_w: float, line_voltage_v: float, power_factor_ratio: float = 1.0) -> float:
    """Amperes in each line of a balanced three-phase load: P / (sqrt(3) UL cos phi), with UL line to line.

    Raises ValueError if the power is negative, or voltage or power factor make no sense. Source: Ohm.
    """
    _check_power(power_w, line_voltage_v, power_factor_ratio)
    return power_w / (math.sqrt(3) * line_voltage_v * power_factor_ratio)


def _check_power(power_w: float, voltage_v: float, power_factor_ratio: float) -> None:
    sane.not_negative(power_w=power_w)
    sane.positive(voltage_v=voltage_v, power_factor_ratio=power_factor_ratio)
    sane.ratio(power_factor_ratio=power_factor_ratio)


def all_a(*, loads_a: Sequence[float]) -> float:
    """Amperes with no diversity: the plain sum. Raises ValueError if a load is negative."""
    return sum(_checked(loads_a))


def first_then_rest_a(*, loads_a: Sequence[float], full_a: float, rest_ratio: float, socket_a: float = 0.0) -> float:
    """Amperes with the first `full_a` of the sum counted whole, `rest_ratio` of what is over, and a socket.

    `full_a` of zero counts a plain share of the sum; `socket_a` is added where the control has a socket.
    Raises ValueError if a load is negative or the ratio is outside 0 to 1.
    Source: the form of On-Site Guide appendix A, table A2 (the figures are the caller's).
    """
    sane.not_negative(full_a=full_a, socket_a=socket_a)
    sane.ratio(rest_ratio=rest_ratio)
    total_a = all_a(loads_a=loads_a)
    return min(total_a, full_a) + rest_ratio * max(total_a - full_a, 0.0) + socket_a


def largest_then_rest_a(*, loads_a: Sequence[float], rest_ratio: float) -> float:
    """Amperes with the largest load counted whole and `rest_ratio` of each other.

    Raises ValueError if a load is negative or the ratio is outside 0 to 1.
    Source: the form of On-Site Guide appendix A, table A2.
    """
    return _whole_then_rest_a(loads_a, rest_ratio, whole_count=1)


def two_largest_then_rest_a(*, loads_a: Sequence[float], rest_ratio: float) -> float:
    """Amperes with the two largest loads counted whole and `rest_ratio` of each other.

    Raises ValueError if a load is negative or the ratio is outside 0 to 1.
    Source: the form of On-Site Guide appendix A, table A2.
    """
    return _whole_then_rest_a(loads_a, rest_ratio, whole_count=2)


def _whole_then_rest_a(loads_a: Sequence[float], rest_ratio: float, whole_count: int) -> float:
    sane.ratio(rest_ratio=rest_ratio)
    ranked = sorted(_checked(loads_a), reverse=True)
    return sum(ranked[:whole_count]) + rest_ratio * sum(ranked[whole_count:])


def _checked(loads_a: Sequence[float]) -> Sequence[float]:
    for number, load_a in enumerate(loads_a, start=1):
        sane.not_negative(**{f"load {number} in A": load_a})
    return loads_a


def half_hour_mean_a(*, energy_kwh: float, voltage_v: float) -> float:
    """Mean amperes over a half hour from the energy a meter counted in it: 2000 E / U, at unity power factor.

    A mean: the current inside the half hour has been higher. Raises ValueError if the energy is negative or
    the voltage is not above zero. Source: energy is power by time.
    """
    sane.not_negative(energy_kwh=energy_kwh)
    sane.positive(voltage_v=voltage_v)
    return energy_kwh / 0.5 * 1000 / voltage_v
