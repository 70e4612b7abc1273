"""Marks on paper in millimetres, and words that keep off one another and off lines. Black, with dashes, not colour."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, field
from xml.sax.saxutils import escape, quoteattr

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

XY = tuple[float, float]
Box = tuple[float, float, float, float]
TEXT_MM = 2.8
WIDE_RATIO = 0.56
INK_STEP_MM, INK_COST, FAR_COST, HEAVY_MM = 0.7, 0.6, 0.3, 0.3
GRID_COUNT = 15
LEADER_MM = 3.0
HALO = 'paint-order="stroke" stroke="white" stroke-width="0.8"'
SPOTS = tuple((across, down) for down in (1.0, 2.4, 3.8) for across in (1, -1) for down in (-down, down))


@dataclass(slots=True)
class Pen:
    """Collects marks; what is lettered next keeps clear of what was lettered and, where it can, of lines."""

    marks: list[str] = field(default_factory=list)
    lettered: list[Box] = field(default_factory=list)
    inked: list[XY] = field(default_factory=list)

    def begin(self, name: str) -> None:
        """Open a group that is read out by this name."""
        self.marks.append(f"<g><title>{escape(name)}</title>")

    def end(self) -> None:
        """Close the group."""
        self.marks.append("</g>")

    def line(self, points: list[XY], width_mm: float = 0.25, dash: str = "", closed: bool = False,
             fill: str = "none", title: str = "", ink: str = "black") -> None:  # fmt: skip
        """A line through points, or an area."""
        path = "M" + " L".join(f"{x:.2f} {y:.2f}" for x, y in points) + (" Z" if closed else "")
        dashed = f" stroke-dasharray={quoteattr(dash)}" if dash else ""
        said = f"<title>{escape(title)}</title>" if title else ""
        self.marks.append(f'<path d="{path}" fill="{fill}" stroke="{ink}" stroke-width="{width_mm:g}"{dashed} '
                          f'stroke-linejoin="round">{said}</path>')  # fmt: skip
        if width_mm >= HEAVY_MM:
            self._ink([*points, points[0]] if closed else points)

    def area(self, rings: list[list[XY]], fill: str) -> None:
        """An area with holes in it."""
        path = " ".join("M" + " L".join(f"{x:.2f} {y:.2f}" for x, y in ring) + " Z" for ring in rings)
        self.marks.append(f'<path d="{path}" fill="{fill}" fill-rule="evenodd" stroke="black" stroke-width="0.3"/>')
        for ring in rings:
            self._ink([*ring, ring[0]])

    def dot(self, at: XY, radius_mm: float, letter: str = "", fill: str = "white", title: str = "") -> None:
        """A ring with a letter in it."""
        said = f"<title>{escape(title)}</title>" if title else ""
        self.marks.append(f'<circle cx="{at[0]:.2f}" cy="{at[1]:.2f}" r="{radius_mm:g}" fill="{fill}" stroke="black" '
                          f'stroke-width="0.35">{said}</circle>')  # fmt: skip
        if letter:
            self.marks.append(f'<text x="{at[0]:.2f}" y="{at[1] + 0.9:.2f}" font-size="2.5" text-anchor="middle">'
                              f"{escape(letter)}</text>")  # fmt: skip
        self.lettered.append((at[0] - radius_mm, at[1] - radius_mm, at[0] + radius_mm, at[1] + radius_mm))

    def box(self, low: XY, high: XY, width_mm: float = 0.35, fill: str = "white", title: str = "") -> None:
        """A rectangle."""
        (x, y), (xx, yy) = low, high
        self.line([(x, y), (xx, y), (xx, yy), (x, yy)], width_mm, closed=True, fill=fill, title=title)

    def text(self, at: XY, words: str, size_mm: float = TEXT_MM, anchor: str = "start", bold: bool = False) -> None:
        """Words where they are put."""
        weight = ' font-weight="bold"' if bold else ""
        self.marks.append(f'<text x="{at[0]:.2f}" y="{at[1]:.2f}" font-size="{size_mm:g}" text-anchor="{anchor}"'
                          f"{weight} {HALO}>{escape(words)}</text>")  # fmt: skip
        left = at[0] - {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * width_mm(words, size_mm)
        self.lettered.append((left, at[1] - size_mm, left + width_mm(words, size_mm), at[1] + 0.4))

    def label(self, at: XY, words: str, within: Box) -> None:
        """Words beside a point, at the clearest spot on the view; with a leader where that is far."""
        wide_mm, found = width_mm(words), []
        for far in (1.0, 2.2, 3.6, 5.5, 8.0):
            for across, down in SPOTS:
                x = at[0] + 1.6 * far if across > 0 else at[0] - 1.6 * far - wide_mm
                found.append((x, at[1] + down * TEXT_MM * 0.8 * far + 0.9))
        x, y = self._clearest(found, wide_mm, within, at)
        near = (min(max(at[0], x), x + wide_mm), y - TEXT_MM / 3)
        if abs(near[1] - at[1]) > 1.5 * TEXT_MM or abs(near[0] - at[0]) > LEADER_MM:
            self.line([at, near], 0.12)
        self.text((x, y), words)

    def inside(self, low: XY, high: XY, words: str, within: Box) -> None:
        """Words in the middle of a box that holds them, in one line or a line for each, else beside it."""
        middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
        for lines in ([words], words.split()):
            tall = len(lines) * 1.2 * TEXT_MM
            if max(map(width_mm, lines)) + 0.4 < abs(high[0] - low[0]) and tall < abs(high[1] - low[1]):
                for number, line in enumerate(lines):
                    y = middle[1] - tall / 2 + (number + 0.85) * 1.2 * TEXT_MM
                    self.text((middle[0], y), line, anchor="middle")
                return
        self.label(middle, words, within)

    def within(self, area: BaseGeometry, words: str, view: Box) -> None:
        """Words at the clearest spot within an area of the paper that holds them; else beside a point of it."""
        at, wide_mm = area.representative_point(), width_mm(words)
        left, top, right, bottom = area.bounds
        spots = [(x, y) for x in np.linspace(left, right, GRID_COUNT) for y in np.linspace(top, bottom, GRID_COUNT)
                 if area.contains(shapely.box(x - 0.5, y - TEXT_MM - 0.5, x + wide_mm + 0.5, y + 0.9))]  # fmt: skip
        if spots:
            middle = (area.centroid.x - wide_mm / 2, area.centroid.y + TEXT_MM / 3)
            self.text(self._clearest(spots, wide_mm, near=middle), words)
        else:
            self.label((at.x, at.y), words, view)

    def dimension(self, a: XY, b: XY, words: str) -> None:
        """A dimension line with its words."""
        self.dimension_line(a, b)
        self.dimension_words(a, b, words)

    def dimension_line(self, a: XY, b: XY) -> None:
        """A dimension line with a stroke at each end."""
        self.line([a, b], 0.15)
        for x, y in (a, b):
            self.line([(x - 0.9, y + 0.9), (x + 0.9, y - 0.9)], 0.25)

    def dimension_words(self, a: XY, b: XY, words: str) -> None:
        """The words of a dimension, on either side of its line or beyond an end."""
        (x, y), wide_mm = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), width_mm(words)
        upright = abs(a[0] - b[0]) < abs(a[1] - b[1])
        ends = sorted((a, b), key=lambda end: end[1 if upright else 0])
        spots = [(x + 0.8, y + 0.9), (x - 0.8 - wide_mm, y + 0.9), (x - wide_mm / 2, ends[0][1] - 1.4),
                 (x - wide_mm / 2, ends[1][1] + 3.2), (x - 0.8 - wide_mm, ends[1][1] + 3.2)] if upright else [
                 (x - wide_mm / 2, y - 0.7), (x - wide_mm / 2, y + TEXT_MM), (ends[1][0] + 1.4, y + 0.9),
                 (ends[0][0] - 1.4 - wide_mm, y + 0.9), (ends[1][0] + 1.4, y + 3.9)]  # fmt: skip
        self.text(self._clearest(spots, wide_mm), words)

    def _clearest(self, spots: list[XY], wide_mm: float, within: Box | None = None, near: XY | None = None) -> XY:
        """The spot where words cover least; of equal ones the first."""
        ink = np.array(self.inked, dtype=float).reshape(-1, 2)

        def cost(spot: XY) -> float:
            box = (spot[0] - 0.3, spot[1] - TEXT_MM, spot[0] + wide_mm + 0.3, spot[1] + 0.6)
            covered = (ink[:, 0] > box[0]) & (ink[:, 0] < box[2]) & (ink[:, 1] > box[1]) & (ink[:, 1] < box[3])
            far = FAR_COST * math.dist(spot, near) if near else 0.0
            return (3 * sum(_shared(box, other) for other in self.lettered) + INK_COST * int(covered.sum()) + far
                    + (_outside(box, within) if within else 0.0))  # fmt: skip

        return min(spots, key=cost)

    def _ink(self, points: list[XY]) -> None:
        for p, q in itertools.pairwise(points):
            steps = max(int(math.dist(p, q) / INK_STEP_MM), 1)
            self.inked += [(p[0] + n / steps * (q[0] - p[0]), p[1] + n / steps * (q[1] - p[1]))
                           for n in range(steps + 1)]  # fmt: skip


def width_mm(words: str, size_mm: float = TEXT_MM) -> float:
    """How wide words are, about."""
    return len(words) * size_mm * WIDE_RATIO


def _shared(one: Box, two: Box) -> float:
    """The area that two boxes have in common."""
    wide_mm, tall = min(one[2], two[2]) - max(one[0], two[0]), min(one[3], two[3]) - max(one[1], two[1])
    return wide_mm * tall if wide_mm > 0 and tall > 0 else 0.0


def _outside(box: Box, within: Box) -> float:
    """How far a box hangs over the edge of a view, dearly."""
    return 20 * sum(max(0.0, each) for each in (within[0] - box[0], within[1] - box[1], box[2] - within[2],
                                                box[3] - within[3]))  # fmt: skip
