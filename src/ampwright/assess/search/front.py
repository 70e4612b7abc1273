"""The designs that no other beats in everything: less is better in every figure compared."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import product
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

T = TypeVar("T")
Figures = tuple[float, ...]
Columns = tuple[NDArray[np.float64], ...]


def beats(one: Figures, other: Figures) -> bool:
    """Whether `one` is no worse than `other` in any figure; of two alike each beats the other."""
    return all(mine <= yours for mine, yours in zip(one, other, strict=True))


def front(designs: Iterable[T], figures: Callable[[T], Figures]) -> list[T]:
    """Those that no other beats, in order of their figures; of several alike the first stays."""
    kept: list[T] = []
    for each in sorted(designs, key=figures):
        if not any(beats(figures(other), figures(each)) for other in kept):
            kept.append(each)
    return kept


def unbeaten(rows: NDArray[np.int64], columns: Columns) -> list[int]:
    """Those of `rows` that no other of them beats. `rows` must stand in order of the columns, the first leading."""
    rows = _thinned(rows, columns)
    kept = []
    left, rest = rows, tuple(column[rows] for column in columns[1:])
    while len(left):
        kept.append(int(left[0]))
        better = rest[0] < rest[0][0]
        for column in rest[1:]:
            better |= column < column[0]
        left, rest = left[better], tuple(column[better] for column in rest)
    return kept


def _thinned(rows: NDArray[np.int64], columns: Columns) -> NDArray[np.int64]:
    """The same without most of what is beaten: by the rows that are best when the figures are weighed together."""
    mine = tuple(column[rows] for column in columns)
    for shares in product((1.0, 8.0), repeat=len(columns)):
        if not len(rows):
            break
        weighed = [share * column / (np.ptp(column) or 1.0) for share, column in zip(shares, mine, strict=True)]
        best = int(np.argmin(np.sum(weighed, axis=0)))
        better, alike = np.zeros(len(rows), dtype=bool), np.ones(len(rows), dtype=bool)
        for column in mine:
            better |= column < column[best]
            alike &= column == column[best]
        better[np.flatnonzero(alike)[0]] = True
        rows, mine = rows[better], tuple(column[better] for column in mine)
    return rows
