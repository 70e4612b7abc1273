"""The published shape of the job file: JSON Schema, draft 2020-12, with the words and bounds of fields.csv."""

from __future__ import annotations

import dataclasses
import datetime
import typing
from typing import Any

from ampwright.job.fields import bare, fields, hints, is_group, item_of
from ampwright.job.record import VERSION, Job
from ampwright.reading import Reading

_DRAFT = "https://json-schema.org/draft/2020-12/schema"
_TEXTS: dict[str, Any] = {
    "because": {"type": "string", "description": "why, or who says so"},
    "with": {"type": "string", "description": "the instrument"},
    "when": {"type": "string", "format": "date", "description": "the day it was read"},
}


def schema() -> dict[str, Any]:
    """The schema of a job file of the newest version."""
    top = _group(Job, "")
    top["properties"]["version"] = {"const": VERSION, "description": fields()["version"].asks}
    return {"$schema": _DRAFT, "title": "Job", **top, "required": ["version"]}


def _group(group: type, above: str) -> dict[str, Any]:
    declared = hints(group)
    properties = {name: _any(hint, f"{above}.{name}".lstrip(".")) for name, hint in declared.items()}
    found: dict[str, Any] = {"type": "object", "additionalProperties": False, "properties": properties}
    must = [each.name for each in dataclasses.fields(group)
            if each.default is dataclasses.MISSING and each.default_factory is dataclasses.MISSING]  # fmt: skip
    for each in dataclasses.fields(group):
        if each.name not in must:
            properties[each.name] = {**_or_nothing(properties[each.name])}
    return {**found, "required": must} if must else found


def _or_nothing(shape: dict[str, Any]) -> dict[str, Any]:
    """A field that has a default may stand empty, which is as good as left out."""
    words = {"description": shape.pop("description")} if "description" in shape else {}
    return {**words, "anyOf": [*shape.pop("anyOf", [shape] if shape else []), {"type": "null"}]}


def _any(hint: Any, path: str) -> dict[str, Any]:
    plain = bare(hint)
    if is_group(plain):
        return _group(plain, path)
    item = item_of(plain)
    if is_group(item):
        return {"type": "array", "items": _group(item, f"{path}[]")}
    words = {"description": f"{fields()[path].asks}; {fields()[path].how}"}
    if item is not None:
        return {**words, "type": "array", "items": _leaf(item, path)}
    return {**words, **_leaf(plain, path)}


def _leaf(plain: Any, path: str) -> dict[str, Any]:
    if typing.get_origin(plain) is typing.Literal:
        listed = typing.get_args(plain)
        return {"enum": [*listed, *(int(each) for each in listed if isinstance(each, str) and each.isdecimal())]}
    if plain is bool:
        return {"type": "boolean"}
    if plain is datetime.date:
        return {"type": "string", "format": "date"}
    if plain is str:
        return {"type": "string"}
    number = {"type": "number" if plain is not int else "integer",
              "minimum": fields()[path].low, "maximum": fields()[path].high}  # fmt: skip
    return _reading(number) if plain is Reading else number


def _reading(number: dict[str, Any]) -> dict[str, Any]:
    exact = {"value": number, **_TEXTS}
    ends = {"low": number, "high": number, **_TEXTS, "because": {**_TEXTS["because"], "minLength": 1}}
    group = {"type": "object", "additionalProperties": False}
    return {
        "anyOf": [
            number,
            {**group, "properties": ends, "required": ["low", "high", "because"]},
            {**group, "properties": exact, "required": ["value"]},
        ]
    }
