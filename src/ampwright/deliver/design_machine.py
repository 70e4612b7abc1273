"""A proposal as JSON with a stable shape; `FORMAT` changes when the shape does."""

from __future__ import annotations

from typing import Any

from ampwright.assess.assessment import assess
from ampwright.assess.design import Design, Proposal
from ampwright.assess.ruled_out import ruled_out
from ampwright.assess.take import what_would_it_take
from ampwright.deliver.design_screen import conditions
from ampwright.deliver.machine import as_json as assessment_as_json
from ampwright.reading import Reading

FORMAT = 1


def as_json(proposal: Proposal, *, everything: bool = False) -> dict[str, Any]:
    """The whole proposal, ready for json.dumps; with `everything` all designs on the front stand in it."""
    space = proposal.search.space
    best = proposal.best
    return {
        "format": FORMAT,
        "title": space.job.title,
        "reference": space.job.reference,
        "status": proposal.exit_status,
        "combinations": proposal.count,
        "questions_worked_out": proposal.judged_count,
        "best": [{"why": why, **_design(design)} for why, design in best],
        "front": [_design(design) for design in proposal.front] if everything else None,
        "ruled_out": [{"axis": each.axis, "choice": each.choice.words, "rule": each.check.rule,
                       "verdict": each.check.verdict.value, "says": each.check.says}
                      for each in (ruled_out(proposal, best[0][1]) if best else ())],
        "impossible": {charge: list(rules) for charge, rules in proposal.search.impossible.items()},
        "what_it_would_take": {
            rule: [{"words": each.words, "changes": {path: _value(value) for path, value in each.changes.items()},
                    "breaks": list(each.breaks), "unsettles": list(each.unsettles), "mends": list(each.also_mends)}
                   for each in remedies]
            for rule, remedies in what_would_it_take(assess(space.job), space.catalogue).items()},
    }  # fmt: skip


def _design(design: Design) -> dict[str, Any]:
    price = design.price
    return {
        "choices": {axis: choice.id for axis, choice in design.choices.items()},
        "cables": [cable.id for cable in design.cables],
        "words": design.words,
        "price_pence": {"net": [price.net_low_pence, price.net_high_pence], "vat_percent": float(price.vat_percent),
                        "with_vat": [price.low_pence, price.high_pence]},
        "minutes": list(design.minutes),
        "power_kw": design.power_kw,
        "left_for_car_a": design.left_for_car_a,
        "mind": list(design.minds),
        "lost_kwh_per_mwh": design.lost_kwh_per_mwh,
        "standing": design.standing,
        "conditions": list(conditions(design)),
        "assessment": assessment_as_json(design.assessment),
    }  # fmt: skip


def _value(value: Any) -> Any:
    return [value.low, value.high] if isinstance(value, Reading) else value
