"""The take-off in the making: each part of it adds what it needs, and what it cannot say yet."""

from __future__ import annotations

import math
from dataclasses import replace

from ampwright.assess.materials.items import Cut, Fill, Item, TakeOff, Tool, item, tool
from ampwright.reading import Reading


class Gathering:
    """What the parts of a take-off write into; like adds up with like."""

    def __init__(self) -> None:
        self._items: dict[tuple[str, str], Item] = {}
        self._tools: dict[tuple[str, str], Tool] = {}
        self._missing: dict[str, None] = {}
        self._remarks: dict[str, None] = {}
        self.cuts: list[Cut] = []
        self._fills: list[Fill] = []

    def item(self, code: str, name: str, need: Reading, why: str, *of: str) -> None:
        """Something to buy, by the metre in whole centimetres. Needs of the same code and name are added; each reason
        and path stands once."""
        new = item(code, name, need, why, *of)
        if new.unit == "m":
            new = replace(new, need=whole_cm(need))
        old = self._items.get((code, name))
        if old is not None:
            new = replace(new, need=plus(old.need, need), why=_joined(old.why, why),
                          of=tuple(dict.fromkeys((*old.of, *of))))  # fmt: skip
        self._items[code, name] = new

    def load(self, code: str, why: str, name: str = "") -> None:
        """A tool for the van."""
        new = tool(code, why, name)
        old = self._tools.get((code, new.name))
        self._tools[code, new.name] = new if old is None else replace(old, why=_joined(old.why, why))

    def cut(self, new: Cut) -> None:
        """A length of cable to cut off, which is to be bought too."""
        self.cuts.append(new)
        self.item(new.code, new.name, new.length_m, "by the cut list", *new.of)

    def fill(self, new: Fill) -> None:
        """A conduit or trunking and how full it is."""
        self._fills.append(new)

    def unknown(self, *paths: str) -> None:
        """What must be found out before this part can be said."""
        self._missing.update(dict.fromkeys(paths))

    def remark(self, says: str) -> None:
        """What a person is to know."""
        self._remarks[says] = None

    def done(self) -> TakeOff:
        """The take-off, in the order in which its parts were written."""
        return TakeOff(tuple(self._items.values()), tuple(self._missing), tuple(self.cuts),
                       tuple(self._tools.values()), tuple(self._remarks), tuple(self._fills))  # fmt: skip


def plus(*reading: Reading) -> Reading:
    """The sum of readings, end by end; each reason stands once."""
    because = "; ".join(dict.fromkeys(each.because for each in reading if each.because))
    return Reading(_clean(sum(each.low for each in reading)), _clean(sum(each.high for each in reading)), because)


def scaled(reading: Reading, by_ratio: float) -> Reading:
    """A reading times a number that is not negative."""
    return Reading(_clean(reading.low * by_ratio), _clean(reading.high * by_ratio), reading.because)


def whole(reading: Reading) -> Reading:
    """Each end rounded up to a whole piece."""
    return Reading(_up(reading.low), _up(reading.high), reading.because)


def whole_cm(length_m: Reading) -> Reading:
    """Each end of a length in m rounded up to the centimetre: nothing is cut finer."""
    return Reading(_clean(_up(100 * length_m.low) / 100), _clean(_up(100 * length_m.high) / 100), length_m.because)


def _up(value: float) -> float:
    return float(math.ceil(value - 1e-9))


def _clean(value: float) -> float:
    """A tenth of a millimetre is the finest that a tape or a sum of lengths is written to."""
    return round(value, 4)


def _joined(old: str, new: str) -> str:
    return old if new in old.split("; ") else f"{old}; {new}"
