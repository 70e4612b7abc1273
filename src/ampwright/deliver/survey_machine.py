"""A visit list as JSON with a stable shape; `FORMAT` changes when the shape does."""

from __future__ import annotations

from typing import Any

from ampwright.assess.turning_words import safe_if
from ampwright.assess.visit import Item, Survey
from ampwright.assess.visit_money import Decided
from ampwright.job.fields import fields, in_words
from ampwright.job.paths import pattern_of
from ampwright.reading import Reading

FORMAT = 1


def as_json(survey: Survey) -> dict[str, Any]:
    """The whole list, ready for json.dumps; prices are whole pence with VAT."""
    return {
        "format": FORMAT,
        "title": survey.job.title,
        "reference": survey.job.reference,
        "priced": survey.proposal is not None,
        "why_not_priced": survey.why_no_money or None,
        "stages": [{"stage": name, "items": [_item(each) for each in items]} for name, items in survey.by_stage],
        "moves_price": [{"path": path, "decides": [_decided(each) for each in decided]}
                        for path, decided in survey.moves_price],
        "need_not_be_looked_at": list(survey.not_needed),
        "taken_as_usual": list(survey.usual),
        "chosen_with_the_design": list(survey.chosen),
    }  # fmt: skip


def _item(item: Item) -> dict[str, Any]:
    asked, unknown = fields().get(pattern_of(item.path)), item.unknown
    return {
        "path": item.path,
        "what": in_words(item.path),
        "how": asked.how if asked else None,
        "instrument": asked.instrument if asked else None,
        "asked_by": list(unknown.asked_by),
        "settles": list(unknown.settles),
        "may_settle": list(unknown.may_settle),
        "asked_by_a_design": item.of_designs,
        "decides": [_decided(each) for each in item.decided],
        "turns": [{"rule": each.rule, "says": safe_if(each)} for each in item.turnings],
        "cautions": list(item.stage.cautions),
    }


def _decided(each: Decided) -> dict[str, Any]:
    return {
        "from": _value(each.low),
        "to": _value(each.high),
        "price_pence": list(each.pence) if each.pence else None,
        "choices": {axis: choice.id for axis, choice in each.design.choices.items()} if each.design else None,
        "cables": [cable.id for cable in each.design.cables] if each.design else None,
    }


def _value(value: Any) -> Any:
    return [value.low, value.high] if isinstance(value, Reading) else value
