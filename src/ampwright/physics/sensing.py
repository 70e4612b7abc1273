"""Current sensors: what they read on a wrong voltage channel, what their lead costs, what a cable beside it induces."""

import math

MU0_OVER_2PI = 2e-7  # henry per metre; the ampere's old definition, within 1e-9 of today's value


def seen_kw(*, power_kw: float, reactive_kva: float = 0.0, ahead_deg: float = 0.0) -> float:
    """Real power shown when the current of one line is paired with a voltage `ahead_deg` in front of its own.

    `reactive_kva` is positive where the current lags. 180 degrees is a sensor that faces the wrong way.
    Re[(P + jQ) e^(j d)], IEEE 1459 quantities.
    """
    angle = math.radians(ahead_deg)
    return power_kw * math.cos(angle) - reactive_kva * math.sin(angle)


def lead_loop_ohm(*, r20_ohm_per_km: float, lead_m: float) -> float:
    """Resistance of both cores of a sensor lead at 20 degrees, there and back."""
    return 2 * r20_ohm_per_km / 1000 * lead_m


def burden_growth_percent(*, lead_ohm: float, burden_ohm: float) -> float:
    """By how much the lead raises the burden, and so the magnetising error, of a sensor with a current output.

    The magnetising current is proportional to the voltage that the winding must drive, so to its whole burden.
    """
    if burden_ohm <= 0:
        raise ValueError(f"a burden is above zero, but {burden_ohm:g} ohm was given")
    return 100 * lead_ohm / burden_ohm


def induced_v(*, current_a: float, cycles_per_s: float, beside_m: float, apart_mm: float, cores_apart_mm: float,
               lead_apart_mm: float) -> float:  # fmt: skip
    """Voltage that a go-and-return cable induces in an untwisted pair beside it, all four conductors in one plane.

    `apart_mm` is from the middle of the cable to the middle of the lead; `cores_apart_mm` and `lead_apart_mm` are
    between the conductors of each. One plane is the worst lie. Faraday's law
    over the flux of two long straight wires, integrated exactly. Raises ValueError if the pairs would overlap.
    """
    near_mm = apart_mm - lead_apart_mm / 2 - cores_apart_mm / 2
    if near_mm <= 0:
        raise ValueError(f"at {apart_mm:g} mm from middle to middle the lead would lie inside the cable")
    far_mm = near_mm + cores_apart_mm
    log_near, log_far = (math.log((each + lead_apart_mm) / each) for each in (near_mm, far_mm))
    flux = MU0_OVER_2PI * current_a * beside_m * (log_near - log_far)
    return 2 * math.pi * cycles_per_s * flux


def false_a(*, induced_v: float, output_mv_per_a: float) -> float:
    """Current that an induced voltage makes a sensor show where none flows."""
    if output_mv_per_a <= 0:
        raise ValueError(f"a sensor gives something above zero for an ampere, but {output_mv_per_a:g} mV was given")
    return 1000 * induced_v / output_mv_per_a
