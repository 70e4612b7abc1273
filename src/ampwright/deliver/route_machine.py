"""Routes as JSON with a stable shape; `FORMAT` changes when the shape does."""

from __future__ import annotations

from typing import Any

from ampwright.assess.route.holes import End, Hole
from ampwright.assess.route.needs import Needs
from ampwright.assess.route.routes import Route, Routes, SensorRun
from ampwright.job.record import Section
from ampwright.reading import Reading

FORMAT = 1


def as_json(routes: Routes) -> dict[str, Any]:
    """All that was found, ready for json.dumps."""
    return {
        "format": FORMAT,
        "title": routes.job.title,
        "reference": routes.job.reference,
        "routes": [_route(each) for each in routes.found],
        "typed": None if routes.typed is None else {"sections": [_section(each) for each in routes.job.route],
                                                    **_needs(routes.typed)},
        "sensors": [_sensor(each) for each in routes.sensors],
        "remarks": list(routes.remarks),
    }  # fmt: skip


def _route(route: Route) -> dict[str, Any]:
    return {
        "length_mm": round(route.way.length_mm, 1),
        "effort_min": round(route.way.effort_min, 1),
        "bends": route.way.bends_count,
        "points_mm": [[round(each, 1) for each in point] for point in route.way.points],
        "sections": [_section(each) for each in route.job.route],
        "gas_pipe_to_cable_mm": _reading(route.job.site.gas.pipe_to_cable_mm),
        "holes": [_hole(each) for each in route.holes],
        **_needs(route.needs),
    }  # fmt: skip


def _needs(needs: Needs) -> dict[str, Any]:
    design = needs.design
    return {
        "design": None if design is None else {
            "words": design.words, "standing": design.standing,
            "choices": {axis: choice.id for axis, choice in design.choices.items()},
            "price_pence": {"net": [design.price.net_low_pence, design.price.net_high_pence],
                            "vat_percent": float(design.price.vat_percent),
                            "with_vat": [design.price.low_pence, design.price.high_pence]}},
        "design_sought_among_few": needs.among_few,
        "no_design_because": needs.why_none or None,
    }  # fmt: skip


def _section(section: Section) -> dict[str, Any]:
    return {
        "name": section.name,
        "length_m": _reading(section.length_m),
        "method": section.method,
        "outdoors": section.outdoors,
        "insulation_mm": _reading(section.insulation_mm),
        "depth_m": _reading(section.depth_m),
        "through": list(section.through),
        "cable": {"kind": section.cable.kind, "size_mm2": section.cable.size_mm2,
                  "cores_count": section.cable.cores_count},
    }  # fmt: skip


def _hole(hole: Hole) -> dict[str, Any]:
    return {
        "name": hole.name,
        "wall": hole.wall,
        "entry": _end(hole.entry),
        "breakout": _end(hole.breakout),
        "fall_deg": hole.fall_deg,
        "length_mm": _reading(hole.length_mm),
        "drop_mm": hole.drop_mm,
        "error_mm": hole.error_mm,
        "cable_mm": hole.cable_mm,
        "sleeve_mm": hole.sleeve_mm,
        "bit_mm": hole.bit_mm,
        "bit_usable_mm": hole.bit_usable_mm,
        "pilot_mm": hole.pilot_mm,
        "bends": [{"where": each.where, "turn_deg": each.turn_deg, "radius_mm": each.radius_mm, "by": each.by,
                   "others": [list(pair) for pair in each.others_mm], "stand_off_mm": each.stand_off_mm,
                   "flat_radius_mm": each.flat_radius_mm, "fits_flat": each.fits_flat} for each in hole.bends],
        "near": [{"name": each.name, "gap_mm": each.gap_mm, "wanted_mm": each.wanted_mm} for each in hole.near],
        "behind": list(hole.behind),
    }  # fmt: skip


def _end(end: End) -> dict[str, Any]:
    return {"room": end.room, "along_mm": end.along_mm, "height_mm": end.height_mm, "set_out": end.set_out}


def _sensor(run: SensorRun) -> dict[str, Any]:
    return {"name": run.name, "length_mm": None if run.way is None else round(run.way.length_mm, 1),
            "holes": None if run.way is None else len(run.way.holes), "says": run.says or None}  # fmt: skip


def _reading(reading: Reading | None) -> list[float] | None:
    return None if reading is None else [reading.low, reading.high]
