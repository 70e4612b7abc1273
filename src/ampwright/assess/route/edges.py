"""Ways between neighbouring points: many at once, each with its effort, length, kind, and what stands in it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

INSIDE, OUTSIDE, TRUNKING, HOLE, GROUND, CROSSING, BEND, RISE, START = range(9)
Numbers = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(slots=True)
class Edges:
    """Columns that grow. `about` is a wall, a face, a trunking or an area by number; `blocker` is 0 where free."""

    one: list[Whole] = field(default_factory=list)
    two: list[Whole] = field(default_factory=list)
    effort_min: list[Numbers] = field(default_factory=list)
    length_mm: list[Numbers] = field(default_factory=list)
    kind: list[Whole] = field(default_factory=list)
    about: list[Whole] = field(default_factory=list)
    blocker: list[Whole] = field(default_factory=list)
    names: list[str] = field(default_factory=lambda: [""])

    def add(self, one: Any, two: Any, effort: Any, length: Any, kind: Any, about: Any, blocker: Any = 0) -> None:
        """Add ways; each argument is one value for all or one for each."""
        whole = np.broadcast_arrays(one, two, kind, about, blocker)
        size = (whole[0].size,)
        for column, values in zip((self.one, self.two, self.kind, self.about, self.blocker), whole, strict=True):
            column.append(np.asarray(values, dtype=np.int64).reshape(size))
        for numbers, value in ((self.effort_min, effort), (self.length_mm, length)):
            numbers.append(np.broadcast_to(np.asarray(value, dtype=float), whole[0].shape).reshape(size))

    def named(self, name: str) -> int:
        """The number of a blocker."""
        if name not in self.names:
            self.names.append(name)
        return self.names.index(name)

    def done(self) -> Table:
        """The columns joined."""
        one, two, kind, about, blocker = map(np.concatenate, (self.one, self.two, self.kind, self.about, self.blocker))
        return Table(one, two, kind, about, blocker, np.concatenate(self.effort_min), np.concatenate(self.length_mm),
                     tuple(self.names))  # fmt: skip


@dataclass(frozen=True, slots=True)
class Table:
    """All ways of a sketch."""

    one: Whole
    two: Whole
    kind: Whole
    about: Whole
    blocker: Whole
    effort_min: Numbers
    length_mm: Numbers
    names: tuple[str, ...]
