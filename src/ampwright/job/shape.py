"""The record's shape as pydantic-core checks it: strict types, closed lists of words, no field that it has not.

pydantic's own TypeAdapter(Job) makes the same judge in five times the time, most of it import; a test holds
the two to each other.
"""

from __future__ import annotations

import dataclasses
import datetime
import typing
from functools import lru_cache
from typing import Any

from pydantic_core import SchemaValidator, core_schema

from ampwright.job.fields import bare, hints, item_of
from ampwright.job.record import Job

_PLAIN: dict[Any, Any] = {
    bool: core_schema.bool_schema(strict=True),
    int: core_schema.int_schema(strict=True),
    float: core_schema.float_schema(strict=True, allow_inf_nan=False),
    str: core_schema.str_schema(strict=True),
    datetime.date: core_schema.date_schema(strict=True),
}


@lru_cache(maxsize=1)
def judge() -> SchemaValidator:
    """What `validate_json` a job goes through. It raises pydantic_core.ValidationError with every fault."""
    return SchemaValidator(_shape(Job))


def _shape(hint: Any) -> Any:
    plain = bare(hint)
    if plain is not hint:
        return core_schema.nullable_schema(_shape(plain))
    if dataclasses.is_dataclass(plain) and isinstance(plain, type):
        return _group(plain)
    if typing.get_origin(plain) is tuple:
        return core_schema.tuple_schema([_shape(item_of(plain))], variadic_item_index=0, strict=True)
    if typing.get_origin(plain) is typing.Literal:
        return core_schema.literal_schema(list(typing.get_args(plain)))
    return _PLAIN[plain]


def _group(group: type) -> Any:
    fields = [core_schema.dataclass_field(each.name, _with_default(each, hints(group)[each.name]), kw_only=True)
              for each in dataclasses.fields(group)]  # fmt: skip
    arguments = core_schema.dataclass_args_schema(group.__name__, fields, extra_behavior="forbid")
    names = [each.name for each in dataclasses.fields(group)]
    post_init = hasattr(group, "__post_init__")
    return core_schema.dataclass_schema(group, arguments, names, post_init=post_init, slots=True)


def _with_default(each: dataclasses.Field[Any], hint: Any) -> Any:
    if each.default_factory is not dataclasses.MISSING:
        return core_schema.with_default_schema(_shape(hint), default_factory=each.default_factory)
    if each.default is not dataclasses.MISSING:
        return core_schema.with_default_schema(_shape(hint), default=each.default)
    return _shape(hint)
