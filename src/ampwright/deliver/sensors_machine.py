"""Placement and diagnosis as JSON with a stable shape; `FORMAT` changes when the shape does."""

from __future__ import annotations

import dataclasses
from typing import TYPE_CHECKING, Any

from ampwright.assess.sensors.placement import Plan
from ampwright.deliver.machine import step_as_json

if TYPE_CHECKING:
    from ampwright.assess.sensors.diagnosis import Diagnosis

FORMAT = 1


def plan_as_json(plan: Plan) -> dict[str, Any]:
    """Every placement, ready for json.dumps."""
    return {
        "format": FORMAT,
        "assumed": list(plan.tree.assumed),
        "stretches": [{"name": each.name, "words": each.words, "from": each.start, "to": each.end,
                       "lines": list(each.lines), "draws": sorted(each.draws)} for each in plan.tree.stretches],
        "moments": [each.words for each in plan.moments],
        "sensors": [
            {
                "sensor": each.clamp.name, "watches": each.clamp.sensor.watches, "line": each.clamp.line,
                "stretch": each.stretch.name if each.stretch else None, "says": each.says, "arrow": each.arrow,
                "channel": each.channel, "sees": list(each.sees), "misses": list(each.misses), "reach": each.reach,
                "shows_kw": list(each.shows_kw),
                "elsewhere": [dataclasses.asdict(wrong) for wrong in each.elsewhere],
                "lead": {"says": list(each.lead.says), "false_kw": each.lead.false_kw,
                         "working": [step_as_json(step) for step in each.lead.working]},
            }
            for each in plan.placements
        ],
        "cautions": list(plan.cautions),
    }  # fmt: skip


def diagnosis_as_json(found: Diagnosis) -> dict[str, Any]:
    """The whole diagnosis, ready for json.dumps."""
    return {"format": FORMAT, "status": found.exit_status, **dataclasses.asdict(found)}
