"""A field of the record as a form asks for it, and what a form says about it."""

from __future__ import annotations

import datetime
import re
import typing
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from ampwright.deliver.store.values import Values, plain, value_at
from ampwright.job.fields import bare, fields, item_of, leaves
from ampwright.job.paths import pattern_of
from ampwright.reading import Reading

UNITS = {
    "v": "V", "a": "A", "ma": "mA", "ka": "kA", "ohm": "Ω", "mohm": "mΩ", "megohm": "MΩ", "w": "W", "kw": "kW",
    "kwh": "kWh", "mm": "mm", "mm2": "mm²", "m3": "m³", "m": "m", "km": "km", "c": "°C", "s": "s", "ms": "ms",
    "min": "min", "h": "h", "percent": "%", "gbp": "£", "deg": "°",
}  # fmt: skip
PER = {"gbp_per_kwh": "£ for a kWh", "k_m_per_w": "K m/W", "mv_per_a": "mV for an A", "miles_per_kwh": "miles",
       "soil_ohm_m": "Ω m"}  # fmt: skip
_NUMBER = re.compile(r"[-+]?(\d+(\.\d*)?|\.\d+)")
_SAID = ((r"^bs(\d+)_(\d)$", r"BS \1-\2"), (r"^bs(\d+)$", r"BS \1"), (r"_(\d\d)c$", r", \1 °C"), (r"^mcb$", "MCB"),
         (r"^rcbo$", "RCBO"))  # fmt: skip
NOTES = ("low", "high", "because", "with")


@dataclass(frozen=True, slots=True)
class Control:
    """One question of a form. `typed` are the texts in its boxes; `asked` whether a check waits for it."""

    path: str
    kind: str
    asks: str
    how: str
    instrument: str
    unit: str
    now: str
    asked: bool
    typed: Mapping[str, str]
    options: tuple[tuple[str, str], ...] = ()
    faults: tuple[str, ...] = field(default=())


def control(values: Values, path: str, *, asked: bool, typed: Mapping[str, str] | None = None,
            faults: tuple[str, ...] = ()) -> Control:  # fmt: skip
    """The question for a path, filled in with what stands there, or with what somebody typed."""
    known = fields()[pattern_of(path)]
    value = value_at(values, path)
    kind = kind_of(path)
    instrument = "" if known.instrument in ("none", "eye", "installer", "customer", "operator") else known.instrument
    options = tuple((str(each), said(each)) for each in typing.get_args(_hint(path))) if kind == "choice" else ()
    return Control(path, kind, known.asks, known.how, instrument, unit_of(path), in_words_now(path, value),
                   asked, boxes(kind, value) if typed is None else typed, options, faults)  # fmt: skip


def kind_of(path: str) -> str:
    """What sort of question a path is: reading, yes, choice, date, lines, numbers, number or text."""
    hint = _hint(path)
    if (item := item_of(hint)) is not None:
        return "numbers" if item in (float, int) else "lines"
    if typing.get_origin(hint) is typing.Literal:
        return "choice"
    return {Reading: "reading", bool: "yes", datetime.date: "date", float: "number", int: "number"}.get(hint, "text")


def boxes(kind: str, value: Any) -> dict[str, str]:
    """The texts that a question's boxes hold for a plain value."""
    if kind == "reading":
        given = value if isinstance(value, dict) else {} if value is None else {"value": value}
        kept = {"low": given.get("value", given.get("low")), "high": given.get("high"),
                "because": given.get("because"), "with": given.get("with")}  # fmt: skip
        which = "unseen" if value is None else "range" if "high" in given else "exact"
        return {"kind": which, **{name: text_of(each) for name, each in kept.items()}}
    if isinstance(value, list):
        return {"": (" " if kind == "numbers" else "\n").join(text_of(each) for each in value)}
    return {"": text_of(value)}


def value_of(kind: str, typed: Mapping[str, str], before: Any) -> Any:
    """The plain value that the boxes say. What cannot be read stays the text that it is, for the door to refuse."""
    if kind == "reading":
        return _reading(typed, before)
    text = typed.get("", "").strip()
    if not text:
        return None
    if kind == "yes":
        return {"true": True, "false": False}.get(text, text)
    if kind == "lines":
        return [line.strip() for line in text.splitlines() if line.strip()]
    if kind == "numbers":
        return [number(each) for each in text.split()]
    return text if kind in ("text", "date") else number(text)


def number(text: str) -> Any:
    """A text as a number, or as it is where it is none."""
    stripped = text.strip()
    if not _NUMBER.fullmatch(stripped):
        return stripped
    return int(stripped) if re.fullmatch(r"[-+]?\d{1,15}", stripped) else float(stripped)


def said(choice: Any) -> str:
    """A word of a closed list as a person would say it: `bs88_3` is BS 88-3."""
    text = str(choice)
    for pattern, words in _SAID:
        text = re.sub(pattern, words, text)
    return text.replace("_", " ")


def unit_of(path: str) -> str:
    """The unit that a field's name wears, as printed."""
    name = path.rsplit(".", 1)[-1]
    for end, unit in PER.items():
        if name.endswith(end):
            return unit
    return UNITS.get(name.rsplit("_", 1)[-1], "") if "_" in name else ""


def in_words_now(path: str, value: Any) -> str:
    """What stands at a path in the record, in a few words."""
    unit = unit_of(path) if pattern_of(path) in fields() else ""
    if value is None or value == []:
        return "not seen"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if pattern_of(path) not in fields():
        return f"{len(value)} entries" if isinstance(value, list) else str(value.get("name", "an entry"))
    if isinstance(value, list):
        return ", ".join(text_of(each) for each in value)
    if isinstance(value, dict):
        reach = text_of(value["value"]) if "value" in value else f"{text_of(value['low'])} to {text_of(value['high'])}"
        note = value.get("because") or (f"read with {value['with']}" if value.get("with") else "")
        return f"{reach} {unit}".strip() + (f" ({note})" if note else "")
    if pattern_of(path) in fields() and kind_of(path) == "choice":
        return said(value)
    return f"{text_of(value)} {unit}".strip()


def text_of(value: Any) -> str:
    """A plain value as it stands in a box."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return f"{value:.12g}" if isinstance(value, float) else str(value)


def _reading(typed: Mapping[str, str], before: Any) -> Any:
    texts = {name: typed.get(name, "").strip() for name in NOTES}
    which, stood = typed.get("kind", "unseen"), boxes("reading", before)
    if which == "unseen":
        if texts["low"] and texts["low"] != stood["low"]:
            return f"{texts['low']} typed, and marked as not seen"
        return None
    if stood == {"kind": which, **texts}:
        return before
    if which == "exact" and stood["kind"] == "range" and texts["because"] == stood["because"]:
        texts["because"] = ""  # why it was a range is not where the reading comes from
    new: dict[str, Any] = {name: texts[name] for name in ("because", "with") if texts[name]}
    new |= {"value": number(texts["low"])} if which == "exact" else {each: number(texts[each]) for each in
                                                                     ("low", "high") if texts[each]}  # fmt: skip
    if new.get("value") == "":
        new["value"] = None
    if texts["with"]:
        new["when"] = datetime.date.today().isoformat()
    return plain(new)


def _hint(path: str) -> Any:
    return bare(leaves()[pattern_of(path)])
