"""A turning value said to the electrician: "safe if the length of this stretch (route, no. 2) is 23.41 m or less"."""

from __future__ import annotations

import math
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from itertools import groupby
from typing import Any, Literal, NamedTuple

from ampwright.assess.turning import Stretch, Turning
from ampwright.job.fields import bare, in_words, leaves
from ampwright.job.paths import pattern_of
from ampwright.working import Verdict

FIGURES_COUNT = 4
FIGURES_MOST_COUNT = 17
Kind = Literal["safe", "open", "judged", "not safe"]
KIND: dict[Verdict, Kind] = {
    Verdict.MET: "safe", Verdict.DOES_NOT_APPLY: "safe", Verdict.NOT_YET_KNOWN: "open",
    Verdict.FOR_THE_DESIGNER: "judged", Verdict.NOT_MET: "not safe",
}  # fmt: skip
ASKING = ("whether", "what", "which", "where", "when", "who", "how", "why")  # a label that is a question itself
ORDER: tuple[Kind, ...] = ("safe", "not safe", "judged", "open")
UNITS = {
    "per_kwh": "", "gbp": "pounds",
    "ohm_m": "Ω m", "k_m_per_w": "K m/W", "mm2": "mm²", "m3": "m³", "mm": "mm", "m": "m", "km": "km",
    "ma": "mA", "ka": "kA", "a": "A", "v": "V", "ohm": "Ω", "megohm": "MΩ", "kw": "kW", "w": "W", "kwh": "kWh",
    "c": "°C", "percent": "%", "deg": "°", "ms": "ms",
    "s": "s", "min": "min", "h": "h", "mv_per_a": "mV/A",
}  # fmt: skip


class _Part(NamedTuple):
    """A run of one kind, and its neighbours (None at an end of the range)."""

    kind: Kind
    low: float
    high: float
    before: Stretch[Verdict] | None
    after: Stretch[Verdict] | None

    @property
    def listed(self) -> bool:
        """Whether the field takes only some values, so that the neighbours do not touch."""
        return (self.before is not None and math.nextafter(self.before.high, math.inf) != self.low) or (
            self.after is not None and math.nextafter(self.after.low, -math.inf) != self.high)


def safe_if(turning: Turning) -> str:
    """Under which values the check is met, not met, or hangs on something else; bounds to four figures.

    A bound is rounded so that it claims too little, never too much: what is called safe or not safe is so.
    """
    return "; ".join(_answers_said(turning) if turning.answers else _numbers_said(turning))


def with_unit(path: str, number: str) -> str:
    """ "23.41 m": a number with the unit that the field's name ends in; a count or a year has none."""
    name = path.rsplit(".", 1)[-1]
    unit = next((words for suffix, words in UNITS.items() if name == suffix or name.endswith(f"_{suffix}")), "")
    return f"{number}{'' if unit in ('', '°') else ' '}{unit}"


def rounded(value: float, rounding: str, figures_count: int = FIGURES_COUNT) -> str:
    """A number in so many figures (and whole above them), rounded the way asked: ROUND_FLOOR or ROUND_CEILING."""
    exact = Decimal(repr(value))
    places = max(0, figures_count - 1 - exact.adjusted()) if exact else 0
    text = f"{exact.quantize(Decimal(1).scaleb(-places), rounding=rounding):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _numbers_said(turning: Turning) -> list[str]:
    parts = _parts(turning)
    if len(parts) == 1:
        return [_always(parts[0].kind, in_words(turning.path))]
    said: list[str] = []
    for kind in ORDER:
        ranges = [_range(turning.path, part) for part in parts if part.kind == kind]
        if ranges:
            said.append(_said(kind, f"{_subject(turning.path, bool(said))} {' or '.join(ranges)}"))
    return said


def _subject(path: str, again: bool) -> str:
    """ "the length of this stretch (route, no. 2) is", or "it is" once it was named."""
    name = in_words(path)
    first = name.split()[0]
    if first in ASKING:
        return "it is" if again else f"the answer to “{name}” is"
    if first.endswith("s") and not first.endswith("ss"):
        return "they are" if again else f"the {name} are"
    return "it is" if again else f"the {name} is"


def _always(kind: Kind, name: str) -> str:
    if kind == "open":
        return f"not settled by this alone: {name}"
    return f"{'yours to judge' if kind == 'judged' else kind} whatever is found: {name}"


def _said(kind: Kind, clause: str) -> str:
    if kind == "open":
        return f"if {clause}, it depends on the other readings"
    return f"{'yours to judge' if kind == 'judged' else kind} if {clause}"


def _parts(turning: Turning) -> list[_Part]:
    """The runs of one kind. A nought that only makes the rule ask again is left out: it is no reading."""
    stretches = turning.stretches
    if len(stretches) > 1 and stretches[0].high == 0 and KIND[stretches[0].verdict] == "open":
        stretches = (stretches[1]._replace(low=0.0), *stretches[2:])
    runs = [list(run) for _, run in groupby(stretches, key=lambda each: KIND[each.verdict])]
    return [_Part(KIND[run[0].verdict], run[0].low, run[-1].high,
                  runs[place - 1][-1] if place else None, runs[place + 1][0] if place + 1 < len(runs) else None)
            for place, run in enumerate(runs)]  # fmt: skip


def _range(path: str, part: _Part) -> str:
    """The values of one part. A claim is drawn in, what claims nothing is drawn out."""
    if part.low == part.high or part.listed:
        return _whole_range(path, part)
    if part.kind in ("not safe", "open"):
        low, high = _beyond(part)
        if part.before is None or part.after is None:
            return f"below {with_unit(path, high)}" if part.before is None else f"above {with_unit(path, low)}"
        return f"between {low} and {with_unit(path, high)}"
    low, high = _drawn(part.low, part.high, ROUND_CEILING, ROUND_FLOOR)
    if part.before is None or part.after is None:
        return f"{with_unit(path, high)} or less" if part.before is None else f"{with_unit(path, low)} or more"
    return f"from {low} to {with_unit(path, high)}"


def _whole_range(path: str, part: _Part) -> str:
    low, high = _plain(part.low), _plain(part.high)
    if low == high:
        return with_unit(path, low)
    if part.before is None or part.after is None:
        return f"{with_unit(path, high)} or less" if part.before is None else f"{with_unit(path, low)} or more"
    return f"from {low} to {with_unit(path, high)}"


def _beyond(part: _Part) -> tuple[str, str]:
    """Bounds for "above" and "below", taken from the neighbours."""
    below = part.low if part.before is None else part.before.high
    above = part.high if part.after is None else part.after.low
    if part.kind == "open":
        return _drawn(below, above, ROUND_FLOOR, ROUND_CEILING)
    return _drawn(below, above, ROUND_CEILING, ROUND_FLOOR)


def _drawn(low: float, high: float, at_low: str, at_high: str) -> tuple[str, str]:
    """Both ends in as few figures, four or more, as leave something between them."""
    for figures_count in range(FIGURES_COUNT, FIGURES_MOST_COUNT):
        ends = rounded(low, at_low, figures_count), rounded(high, at_high, figures_count)
        if float(ends[0]) < float(ends[1]):
            return ends
    return _plain(low), _plain(high)


def _plain(value: float) -> str:
    return f"{Decimal(repr(value)):f}".removesuffix(".0")


def _answers_said(turning: Turning) -> list[str]:
    kinds = {kind: [each.value for each in turning.answers if KIND[each.verdict] == kind] for kind in ORDER}
    found = {kind: values for kind, values in kinds.items() if values}
    if len(found) == 1:
        return [_always(kind, in_words(turning.path)) for kind in found]
    said: list[str] = []
    for kind, values in found.items():
        said.append(_said(kind, _clause(turning.path, values, bool(said))))
    return said


def _clause(path: str, values: list[Any], again: bool) -> str:
    if bare(leaves()[pattern_of(path)]) is bool:
        answer = "yes" if values[0] else "no"
        return f"it is {answer}" if again else f"the answer to “{in_words(path)}” is {answer}"
    return f"{_subject(path, again)} {' or '.join(str(value) for value in values)}"
