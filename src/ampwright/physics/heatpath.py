"""The heat's way out of a cable: thermal resistance from conductor to outer surface, by IEC 60287."""

import cmath
import math
from dataclasses import dataclass

from ampwright.physics import sane


@dataclass(frozen=True, kw_only=True)
class HeatPath:
    """Thermal resistances in K m/W of a cable: `t1` for each loaded core, `outer` shared by them all."""

    loaded_count: int
    t1_k_m_per_w: float
    outer_k_m_per_w: float
    overall_mm: float


def round_path(
    *,
    cores_count: int,
    loaded_count: int,
    conductor_mm: float,
    insulation_mm: float,
    under_armour_mm: float,
    bedding_mm: float,
    armour_mm: float,
    overall_mm: float,
    insulation_k_m_per_w: float,
    sheath_k_m_per_w: float,
) -> HeatPath:
    """Heat path of a round cable of one to five circular cores, armoured or not.

    All in mm: diameter of conductor, of bedding (`under_armour_mm`) and overall; thickness of insulation,
    bedding and one armour wire (the last two 0 without armour). Bedding and sheath are of one material, the
    filler counts as insulation, and the armour as perfect metal. Conductors are taken as line sources in
    a cylinder at one temperature, near 2.5 % cautious in current. Not for shaped conductors.
    Raises ValueError if the parts do not fit in each other. Source: IEC 60287-2-1, T1 to T3.
    """
    sane.positive(conductor_mm=conductor_mm, insulation_mm=insulation_mm, under_armour_mm=under_armour_mm)
    sane.positive(insulation_k_m_per_w=insulation_k_m_per_w, sheath_k_m_per_w=sheath_k_m_per_w)
    sane.not_negative(bedding_mm=bedding_mm, armour_mm=armour_mm)
    _check_cores(cores_count, loaded_count)
    inner_mm = under_armour_mm - 2 * bedding_mm
    over_armour_mm = under_armour_mm + 2 * armour_mm
    if inner_mm <= 0 or overall_mm <= over_armour_mm:
        raise ValueError(f"overall_mm of {overall_mm:g} leaves no room for the layers given")
    t1 = _line_sources_k_m_per_w(
        sources=_core_centres(cores_count, conductor_mm / 2 + insulation_mm)[:loaded_count],
        conductor_radius_mm=conductor_mm / 2,
        cylinder_radius_mm=inner_mm / 2,
        rho_k_m_per_w=insulation_k_m_per_w,
    )
    layers = math.log(under_armour_mm / inner_mm) + math.log(overall_mm / over_armour_mm)
    outer = sheath_k_m_per_w / (2 * math.pi) * layers
    return HeatPath(loaded_count=loaded_count, t1_k_m_per_w=t1, outer_k_m_per_w=outer, overall_mm=overall_mm)


def flat_path(
    *, conductor_mm: float, centres_mm: float, width_mm: float, height_mm: float, plastic_k_m_per_w: float
) -> HeatPath:
    """Heat path of flat twin and earth, both live cores loaded, as a round cable of the same girth.

    `centres_mm` is the distance between the live conductors' centres. Insulation and sheath count as one
    plastic and the bare cpc as plastic too. An approximation of ours: clipped, it comes within 3 % of the
    BS 7671 table 4D5 ratings up to 6 mm2, but is up to 6 % too hopeful at 10 and 16 mm2. A cross-check
    only: never rate a cable above its table by it. Raises ValueError if the cores do not fit.
    """
    sane.positive(conductor_mm=conductor_mm, centres_mm=centres_mm, plastic_k_m_per_w=plastic_k_m_per_w)
    sane.positive(height_mm=height_mm)
    if width_mm < height_mm or width_mm <= centres_mm + conductor_mm:
        raise ValueError(f"cores {centres_mm:g} mm apart do not fit {width_mm:g} mm by {height_mm:g} mm")
    girth_mm = 2 * (width_mm - height_mm) + math.pi * height_mm
    overall_mm = girth_mm / math.pi
    t1 = _line_sources_k_m_per_w(
        sources=(complex(centres_mm / 2), complex(-centres_mm / 2)),
        conductor_radius_mm=conductor_mm / 2,
        cylinder_radius_mm=overall_mm / 2,
        rho_k_m_per_w=plastic_k_m_per_w,
    )
    return HeatPath(loaded_count=2, t1_k_m_per_w=t1, outer_k_m_per_w=0.0, overall_mm=overall_mm)


def _check_cores(cores_count: int, loaded_count: int) -> None:
    if not 1 <= loaded_count <= cores_count <= 5:
        raise ValueError(f"one to five cores are wanted, not {cores_count} with {loaded_count} loaded")


def _core_centres(cores_count: int, core_radius_mm: float) -> tuple[complex, ...]:
    """Centres, in mm from the middle of the cable, of round cores laid touching in a ring."""
    if cores_count == 1:
        return (0j,)
    ring_mm = core_radius_mm / math.sin(math.pi / cores_count)
    return tuple(cmath.rect(ring_mm, 2 * math.pi * core / cores_count) for core in range(cores_count))


def _line_sources_k_m_per_w(
    *,
    sources: tuple[complex, ...],
    conductor_radius_mm: float,
    cylinder_radius_mm: float,
    rho_k_m_per_w: float,
) -> float:
    """T1 of the hottest of line sources, of equal heat, in a cylinder held at one temperature (images)."""
    radius = cylinder_radius_mm
    if any(abs(source) + conductor_radius_mm >= radius for source in sources):
        raise ValueError("the conductors do not fit inside the cable's inner diameter")
    logs = []
    for own in sources:
        rise = math.log((radius**2 - abs(own) ** 2) / (radius * conductor_radius_mm))
        for other in sources:
            if other != own:
                to_image = abs(radius**2 - own * other.conjugate())
                rise += math.log(to_image / (radius * abs(own - other)))
        logs.append(rise)
    return rho_k_m_per_w / (2 * math.pi) * max(logs)
