"""A job as YAML text: only what differs from an empty record, in the record's order."""

from __future__ import annotations

import dataclasses
import datetime
import re
from typing import Any

from ampwright.job.record import Job
from ampwright.reading import Reading

_PLAIN = re.compile(r"[^\W\d_](?:[\w .'’()/+-]*[\w.'’()/+])?")
_READ_OTHERWISE = {"null", "true", "false", "yes", "no", "on", "off", "y", "n"}


def dump(job: Job) -> str:
    """Text that `parse` reads back to an equal job.

    Raises ValueError for a range without its reason, which a job file does not allow.
    """
    rest = "\n".join(_fields(job, "", skip="version"))
    return f"version: {job.version}\n{rest}\n" if rest else f"version: {job.version}\n"


def _fields(group: Any, indent: str, skip: str = "") -> list[str]:
    lines: list[str] = []
    for each in dataclasses.fields(group):
        value = getattr(group, each.name)
        if each.name == skip or value == _default(each):
            continue
        if dataclasses.is_dataclass(value) and not isinstance(value, Reading):
            lines += [f"{indent}{each.name}:", *_fields(value, f"{indent}  ")]
        elif isinstance(value, tuple) and value and dataclasses.is_dataclass(value[0]):
            lines.append(f"{indent}{each.name}:")
            for item in value:
                first, *others = _fields(item, f"{indent}    ") or ["{}"]  # an item that says nothing yet
                lines += [f"{indent}  - {first.lstrip()}", *others]
        else:
            lines.append(f"{indent}{each.name}: {_leaf(value)}")
    return lines


def _default(each: dataclasses.Field[Any]) -> Any:
    return each.default if each.default_factory is dataclasses.MISSING else each.default_factory()


def _leaf(value: Any) -> str:
    if isinstance(value, Reading):
        return _reading(value)
    if isinstance(value, tuple):
        return f"[{', '.join(_leaf(item) for item in value)}]"
    if isinstance(value, str):
        return quoted(value)
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    return value.isoformat() if isinstance(value, datetime.date) else _number(value)


def _reading(reading: Reading) -> str:
    notes = {"with": reading.with_what, "when": reading.when, "because": reading.because}
    parts = [f"{name}: {_leaf(note)}" for name, note in notes.items() if note]
    if not reading.exact:
        if not reading.because:
            raise ValueError(f"the range {reading.low:g} to {reading.high:g} has no reason")
        parts = [f"low: {_number(reading.low)}", f"high: {_number(reading.high)}", *parts]
    elif parts:
        parts = [f"value: {_number(reading.low)}", *parts]
    return f"{{{', '.join(parts)}}}" if parts else _number(reading.low)


def _number(value: float) -> str:
    whole = abs(value) < 1e15 and value == int(value)
    return str(int(value)) if whole else repr(value)


def quoted(text: str) -> str:
    """Text as it may stand in YAML: bare where nothing could take it for something else, else in double quotes."""
    if _PLAIN.fullmatch(text) and text.isprintable() and text.lower() not in _READ_OTHERWISE:
        return text
    signs = (sign if sign.isprintable() and sign not in '"\\' else _escape(sign) for sign in text)
    return f'"{"".join(signs)}"'


def _escape(sign: str) -> str:
    if sign in '"\\':
        return f"\\{sign}"
    return f"\\u{ord(sign):04x}" if ord(sign) < 0x10000 else f"\\U{ord(sign):08x}"
