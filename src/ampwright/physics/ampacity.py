"""How many amperes a cable carries, from how its heat gets away: IEC 60287 without losses in the armour.

I = sqrt(rise / (R (T1 + n (T2 + T3 + T4)))). A cross-check on a published rating, not a substitute for it:
steady current, one cable alone, no sun upon it, no thermal insulation round it.
"""

import math
from dataclasses import dataclass

from ampwright.physics import sane
from ampwright.physics.conductors import resistance_factor_ratio
from ampwright.physics.heatpath import HeatPath


@dataclass(frozen=True, kw_only=True)
class Conductor:
    """What makes the heat, and how hot it may be (IEC 60228; the insulation's limit for `max_c`)."""

    r20_ohm_per_km: float
    alpha20_per_k: float
    max_c: float

    @property
    def hot_ohm_per_m(self) -> float:
        """Resistance of a metre of one core at `max_c`."""
        sane.positive(r20_ohm_per_km=self.r20_ohm_per_km)
        factor = resistance_factor_ratio(at_c=self.max_c, alpha20_per_k=self.alpha20_per_k)
        return self.r20_ohm_per_km / 1000 * factor


@dataclass(frozen=True, kw_only=True)
class AirCooling:
    """Constants Z, E and g of IEC 60287-2-1 for a way of fixing: h = Z / De^g + E, De in m.

    Z and E belong with W/m2 per K^(5/4).
    """

    z_w_per_m2_k: float
    e_w_per_m2_k: float
    g_ratio: float


@dataclass(frozen=True, kw_only=True)
class Duct:
    """A duct in the ground, with the constants U, V and Y of IEC 60287-2-1 for the air inside it."""

    inner_mm: float
    outer_mm: float
    wall_k_m_per_w: float
    u_k_m_per_w: float
    v_per_mm: float
    y_per_mm_k: float


def rating_in_air_a(*, path: HeatPath, conductor: Conductor, ambient_c: float, cooling: AirCooling) -> float:
    """Amperes in each loaded core of one cable in still air, in shade.

    T4 = 1 / (pi De h rise^(1/4)), the surface's rise found by halving. Raises ValueError if the air is as
    hot as the conductor may be. Source: IEC 60287-2-1 clause on cables in free air.
    """
    rise_k = _rise_k(conductor, ambient_c)
    overall_m = path.overall_mm / 1000
    h = cooling.z_w_per_m2_k / overall_m**cooling.g_ratio + cooling.e_w_per_m2_k
    inside_k_m_per_w = path.t1_k_m_per_w / path.loaded_count + path.outer_k_m_per_w
    low_k, high_k = 0.0, rise_k
    for _ in range(100):
        surface_k = (low_k + high_k) / 2
        heat_w_per_m = math.pi * overall_m * h * surface_k**1.25
        if heat_w_per_m * inside_k_m_per_w + surface_k > rise_k:
            high_k = surface_k
        else:
            low_k = surface_k
    return math.sqrt(heat_w_per_m / (path.loaded_count * conductor.hot_ohm_per_m))


def rating_buried_a(
    *, path: HeatPath, conductor: Conductor, ground_c: float, depth_m: float, soil_k_m_per_w: float
) -> float:
    """Amperes in each loaded core of one cable laid straight in the ground, `depth_m` to its middle.

    T4 = rho / (2 pi) ln(u + sqrt(u^2 - 1)), u = 2 L / De; the soil does not dry out. Raises ValueError if
    the cable is not wholly buried or the ground is as hot as the conductor may be. Source: IEC 60287-2-1.
    """
    t4 = _ground_k_m_per_w(depth_m, path.overall_mm, soil_k_m_per_w)
    return _rating_a(path, conductor, _rise_k(conductor, ground_c), t4)


def rating_in_duct_a(
    *,
    path: HeatPath,
    conductor: Conductor,
    ground_c: float,
    depth_m: float,
    soil_k_m_per_w: float,
    duct: Duct,
) -> float:
    """Amperes in each loaded core of one cable alone in a buried duct, `depth_m` to the duct's middle.

    T4 = air in the duct, U / (1 + 0.1 (V + Y tm) De), + duct wall + ground. The air constants were made for
    cables of 25 to 100 mm: below that, as most at a house are, this is an extrapolation.
    Raises ValueError if the cable does not fit in the duct or the duct is not wholly buried.
    Source: IEC 60287-2-1 clause on cables in ducts.
    """
    sane.positive(wall_k_m_per_w=duct.wall_k_m_per_w, u_k_m_per_w=duct.u_k_m_per_w)
    if not path.overall_mm < duct.inner_mm < duct.outer_mm:
        raise ValueError(
            f"a cable of {path.overall_mm:g} mm wants a duct larger inside, and that larger outside, "
            f"but {duct.inner_mm:g} mm and {duct.outer_mm:g} mm were given"
        )
    rise_k = _rise_k(conductor, ground_c)
    wall = duct.wall_k_m_per_w / (2 * math.pi) * math.log(duct.outer_mm / duct.inner_mm)
    around = wall + _ground_k_m_per_w(depth_m, duct.outer_mm, soil_k_m_per_w)
    low_c, high_c = ground_c, conductor.max_c
    for _ in range(100):
        air_c = (low_c + high_c) / 2
        air = duct.u_k_m_per_w / (1 + 0.1 * (duct.v_per_mm + duct.y_per_mm_k * air_c) * path.overall_mm)
        current_a = _rating_a(path, conductor, rise_k, around + air)
        heat_w_per_m = path.loaded_count * current_a**2 * conductor.hot_ohm_per_m
        if ground_c + heat_w_per_m * (around + air / 2) > air_c:
            low_c = air_c
        else:
            high_c = air_c
    return current_a


def _rise_k(conductor: Conductor, ambient_c: float) -> float:
    rise_k = conductor.max_c - ambient_c
    if not (math.isfinite(rise_k) and rise_k > 0):
        raise ValueError(f"{ambient_c:g} C around it cannot cool a conductor allowed {conductor.max_c:g} C")
    return rise_k


def _rating_a(path: HeatPath, conductor: Conductor, rise_k: float, t4_k_m_per_w: float) -> float:
    shared = path.loaded_count * (path.outer_k_m_per_w + t4_k_m_per_w)
    return math.sqrt(rise_k / (conductor.hot_ohm_per_m * (path.t1_k_m_per_w + shared)))


def _ground_k_m_per_w(depth_m: float, outer_mm: float, soil_k_m_per_w: float) -> float:
    sane.positive(depth_m=depth_m, outer_mm=outer_mm, soil_k_m_per_w=soil_k_m_per_w)
    u = 2 * depth_m / (outer_mm / 1000)
    if u <= 1:
        raise ValueError(f"{outer_mm:g} mm is not wholly buried with its middle at {depth_m:g} m")
    return soil_k_m_per_w / (2 * math.pi) * math.acosh(u)
