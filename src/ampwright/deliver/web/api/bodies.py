"""What a program sends: one JSON object, read strictly, then held against the shape that is wanted."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Awaitable, Callable, Iterable
from difflib import get_close_matches
from typing import Any, NoReturn, TypeVar

from fastapi import Request
from pydantic import BaseModel, ConfigDict, ValidationError

from ampwright.deliver.web.api.problems import Refused
from ampwright.job.faults import Fault, shortened, written
from ampwright.job.tree import DEEPEST_COUNT, MOST_COUNT

LONGEST_NUMBER_COUNT = 30
ROOM_COUNT = 4  # what stands around a record: the object, its field
WANTED = {
    "missing": "this must be given", "string_type": "this must be text", "int_type": "this must be a whole number",
    "bool_type": "this must be true or false", "dict_type": "this must be an object", "too_short": "name at least one",
    "too_long": "these are too many at once", "model_type": "this must be an object",
    "int_parsing": "this must be a whole number", "float_parsing": "this must be a number",
    "bool_parsing": "this must be true or false", "string_pattern_mismatch": "this is not written as it must be",
    "date_from_datetime_parsing": "this is not a day; write it as 2026-06-03",
}  # fmt: skip


class Body(BaseModel):
    """What may be sent: these fields and no others."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


T = TypeVar("T", bound=Body)


def body_of(shape: type[T]) -> Callable[[Request], Awaitable[T]]:
    """The dependency that reads a body of this shape. Raises Refused."""

    async def read(request: Request) -> T:
        _check_kind(request)
        return held_against(shape, strictly(await request.body()))

    return read


def strictly(sent: bytes) -> Any:
    """The JSON in some bytes, with nothing guessed. Raises Refused with what is wrong."""
    if not sent.strip():
        raise Refused("not-json", "nothing was sent; send a JSON object")
    try:
        value = json.loads(sent.decode("utf-8"), object_pairs_hook=_once, parse_constant=_no_number, parse_int=_whole,
                           parse_float=_decimal)  # fmt: skip
    except UnicodeDecodeError as wrong:
        raise Refused("not-json", f"byte {wrong.start + 1} is not UTF-8; send text in UTF-8") from wrong
    except json.JSONDecodeError as wrong:
        where = f"line {wrong.lineno}, sign {wrong.colno}"
        raise Refused("not-json", f"it cannot be read from {where} on; look for a comma, quote or bracket") from wrong
    except RecursionError as wrong:
        raise Refused("not-json", _TOO_DEEP) from wrong
    _check_size(value)
    return value


def held_against(shape: type[T], value: Any) -> T:
    """The body of that shape. Raises Refused with all faults."""
    try:
        return shape.model_validate(value)
    except ValidationError as wrong:
        found = wrong.errors(include_url=False)
        faults = [Fault(None, written(error["loc"]), says(error, shape.model_fields)) for error in found]
        raise Refused("not-understood", *faults) from wrong


_TOO_DEEP = f"the values are nested deeper than {DEEPEST_COUNT}; a job never is"


def _check_kind(request: Request) -> None:
    kind, _, rest = request.headers.get("content-type", "").partition(";")
    charset = re.search(r"charset\s*=\s*\"?([\w-]+)", rest, re.IGNORECASE)
    if kind.strip().lower() != "application/json":
        raise Refused("wrong-type", f"it came as {shortened(kind) or 'nothing named'}; send application/json")
    if charset and charset[1].lower() not in ("utf-8", "utf8"):
        raise Refused("wrong-type", f"it came in {shortened(charset[1])}; JSON is sent in UTF-8")
    if request.headers.get("content-encoding", "identity").lower() != "identity":
        raise Refused("wrong-type", "it came compressed; send it as it is")


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise Refused("not-json", f"'{shortened(twice)}' is written twice in one object; keep one")
    return found


def _no_number(word: str) -> NoReturn:
    raise Refused("not-json", f"{word} is no number that JSON has; leave the field out, or write null")


def _whole(text: str) -> int:
    if len(text) > LONGEST_NUMBER_COUNT:
        raise Refused("not-json", f"a number of {len(text)} figures stands here; no reading has so many")
    return int(text)


def _decimal(text: str) -> float:
    found = float(text)
    if not math.isfinite(found):
        raise Refused("not-json", f"{shortened(text)} is too large for a number")
    return found


def _check_size(value: Any) -> None:
    """Depth and count, without recursion; half of a sign is in no text."""
    left, count = [(value, 1)], 0
    while left:
        here, depth = left.pop()
        count += 1
        if depth > DEEPEST_COUNT + ROOM_COUNT:
            raise Refused("not-json", _TOO_DEEP)
        if count > MOST_COUNT:
            raise Refused("not-json", f"it holds more than {MOST_COUNT} values; that is no job")
        texts = [here] if isinstance(here, str) else list(here) if isinstance(here, dict) else []
        if any("\ud800" <= sign <= "\udfff" for text in texts for sign in text):
            raise Refused("not-json", "a \\u escape stands for half a sign; write the whole one")
        inner = here.values() if isinstance(here, dict) else here if isinstance(here, list) else ()
        left.extend((each, depth + 1) for each in inner)


def says(error: Any, known: Iterable[str] = ()) -> str:
    """One fault that pydantic found, in plain words."""
    kind = error["type"]
    if kind == "extra_forbidden":
        name = str(error["loc"][-1])
        close = get_close_matches(name, list(known), n=1, cutoff=0.5)
        return "this is not asked for here" + (f"; did you mean {close[0]}?" if close else "; leave it out")
    if kind == "literal_error":
        return f"this must be {error['ctx']['expected']}"
    if kind in ("value_error", "assertion_error"):
        return str(error["ctx"]["error"])
    told: str = WANTED.get(kind) or error["msg"]
    return told[:1].lower() + told[1:]
