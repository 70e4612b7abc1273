"""Earthing: rods in the ground, and what a broken PEN conductor puts on the earthing of a house."""

import math
from collections.abc import Sequence

from ampwright.physics import sane
from ampwright.physics.phasors import lines_v


def rod_ohm(*, soil_ohm_m: float, length_m: float, diameter_m: float) -> float:
    """Resistance in ohm to Earth of one driven rod: rho / (2 pi L) (ln(8 L / d) - 1).

    `soil_ohm_m` in ohm metre, taken alike all round: real ground dries, freezes and lies in layers, so this
    plans and a test decides. Raises ValueError if a number is not above zero or the rod is not long and
    thin. Source: BS 7430.
    """
    sane.positive(soil_ohm_m=soil_ohm_m, length_m=length_m, diameter_m=diameter_m)
    if length_m < 10 * diameter_m:
        raise ValueError(f"a rod {length_m:g} m long and {diameter_m:g} m thick is too stout to reckon")
    return soil_ohm_m / (2 * math.pi * length_m) * (math.log(8 * length_m / diameter_m) - 1)


def rods_in_line_ohm(
    *, single_ohm: float, soil_ohm_m: float, spacing_m: float, rods_count: int, lambda_ratio: float
) -> float:
    """Resistance in ohm of rods alike in a straight line: R (1 + lambda a) / n, a = rho / (2 pi R s).

    `lambda_ratio` is the group factor for `rods_count` rods (0 for one). Meant for spacing of a rod length or
    more. Raises ValueError if a number makes no sense. Source: BS 7430.
    """
    sane.positive(single_ohm=single_ohm, soil_ohm_m=soil_ohm_m, spacing_m=spacing_m, rods_count=rods_count)
    sane.not_negative(lambda_ratio=lambda_ratio)
    a_ratio = soil_ohm_m / (2 * math.pi * single_ohm * spacing_m)
    return single_ohm * (1 + lambda_ratio * a_ratio) / rods_count


def open_pen_touch_v(*, loads_w: Sequence[float], nominal_v: float, electrode_ohm: float) -> float:
    """Volts between the protective conductor and true Earth once the PEN is broken.

    V = |sum(Yk Uk)| / (sum(Yk) + 1 / RE), Yk = Pk / U0^2. `loads_w` is the load beyond the break on each
    phase, one or three of them; `electrode_ohm` is every earth beyond the break in parallel. Loads are taken
    as plain resistances: one that holds its current or its power, as a car's charger does, can put more
    volts on the PEN than this, so a figure under the limit is not proof of safety. Raises ValueError for
    another count of phases or a negative load. Source: Millman.
    """
    return abs(_open_pen_v(loads_w, nominal_v, electrode_ohm))


def open_pen_lines_v(*, loads_w: Sequence[float], nominal_v: float, electrode_ohm: float) -> tuple[float, ...]:
    """Volts from each line to the broken PEN: |Uk - V|, with V as in `open_pen_touch_v`.

    What a device that watches line to neutral would see. Errors and source as `open_pen_touch_v`.
    """
    pen_v = _open_pen_v(loads_w, nominal_v, electrode_ohm)
    return tuple(abs(line_v - pen_v) for line_v in lines_v(nominal_v=nominal_v, phases_count=len(loads_w)))


def _open_pen_v(loads_w: Sequence[float], nominal_v: float, electrode_ohm: float) -> complex:
    sane.positive(nominal_v=nominal_v, electrode_ohm=electrode_ohm)
    for number, load_w in enumerate(loads_w, start=1):
        sane.not_negative(**{f"load on L{number} in W": load_w})
    lines = lines_v(nominal_v=nominal_v, phases_count=len(loads_w))
    siemens = [load_w / nominal_v**2 for load_w in loads_w]
    pushed_a = sum(y * line_v for y, line_v in zip(siemens, lines, strict=True))
    return pushed_a / (sum(siemens) + 1 / electrode_ohm)


def electrode_for_touch_limit_ohm(*, touch_limit_v: float, voltage_v: float, load_a: float) -> float:
    """Greatest electrode in ohm that holds a broken PEN to the touch limit: Ut U0 / (I (U0 - Ut)).

    One phase only; `load_a` is what the load takes at `voltage_v`. Raises ValueError if a number is not
    above zero or the limit is not below the voltage. Source: BS 7671 annex A722 (memory), and it agrees
    with `open_pen_touch_v`.
    """
    sane.positive(touch_limit_v=touch_limit_v, voltage_v=voltage_v, load_a=load_a)
    if touch_limit_v >= voltage_v:
        raise ValueError(f"touch_limit_v of {touch_limit_v:g} V must be below voltage_v of {voltage_v:g} V")
    return touch_limit_v * voltage_v / (load_a * (voltage_v - touch_limit_v))


def neutral_current_a(*, l1_a: float, l2_a: float, l3_a: float) -> float:
    """Neutral amperes of three line currents at unity power factor, without harmonics.

    sqrt((I1 - (I2 + I3) / 2)^2 + (3 / 4) (I2 - I3)^2). Raises ValueError if a current is negative.
    Source: BS 7671 annex A722.1.
    """
    sane.not_negative(l1_a=l1_a, l2_a=l2_a, l3_a=l3_a)
    return math.hypot(l1_a - 0.5 * (l2_a + l3_a), math.sqrt(3) / 2 * (l2_a - l3_a))


def pen_shift_v(*, l1_n_v: float, l2_n_v: float, l3_n_v: float, source_v: float) -> float:
    """Volts the neutral stands off the star point, from three readings: sqrt(mean(V^2) - U0^2).

    The readings are line to neutral; `source_v` must be the true line voltage of the source at that
    moment, not the declared one: a healthy supply 10 V above what is entered looks like a shift of some
    69 V. A mean below U0 gives zero, which proves nothing.
    Raises ValueError if a reading is negative. Source: geometry of three balanced phasors.
    """
    sane.not_negative(l1_n_v=l1_n_v, l2_n_v=l2_n_v, l3_n_v=l3_n_v)
    sane.positive(source_v=source_v)
    mean_v2 = (l1_n_v**2 + l2_n_v**2 + l3_n_v**2) / 3
    return math.sqrt(max(mean_v2 - source_v**2, 0.0))
