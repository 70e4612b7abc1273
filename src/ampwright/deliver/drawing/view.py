"""A view: what part of the world it shows, at what scale, and where on the paper."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ampwright.deliver.drawing.pen import XY, Pen

SCALES = (10, 20, 25, 50, 75, 100, 125, 150, 200, 250, 500, 1000, 2000, 5000, 10000)
BAR_STEPS_MM = (100, 200, 500, 1000, 2000, 5000, 10000, 20000, 50000)


@dataclass(frozen=True, slots=True)
class View:
    """World millimetres (up is up) to paper millimetres (down is down), 1 to `scale`.

    `turned` by a quarter, what is up in the world is to the right on paper; `paper_bottom_mm` is then where the left of
    the world lies, at the top.
    """

    left_mm: float
    bottom_mm: float
    paper_left_mm: float
    paper_bottom_mm: float
    scale: int
    turned: bool = False

    def at(self, x_mm: float, y_mm: float) -> XY:
        """A point of the world on the paper."""
        if self.turned:
            return (self.paper_left_mm + (y_mm - self.bottom_mm) / self.scale,
                    self.paper_bottom_mm + (x_mm - self.left_mm) / self.scale)  # fmt: skip
        return (self.paper_left_mm + (x_mm - self.left_mm) / self.scale,
                self.paper_bottom_mm - (y_mm - self.bottom_mm) / self.scale)  # fmt: skip

    def world(self, across_mm: float, down_mm: float) -> XY:
        """A point of the paper in the world."""
        right = (across_mm - self.paper_left_mm) * self.scale
        up = (self.paper_bottom_mm - down_mm) * self.scale
        if self.turned:
            return (self.left_mm - up, self.bottom_mm + right)
        return (self.left_mm + right, self.bottom_mm + up)

    def long(self, world_mm: float) -> float:
        """A length of the world on the paper."""
        return world_mm / self.scale


def scale_for(wide_mm: float, tall_mm: float, room_wide_mm: float, room_tall_mm: float) -> int:
    """The largest usual scale at which a thing fits into the room given; a rounder one than any listed if it must."""
    need = max(wide_mm / room_wide_mm, tall_mm / room_tall_mm)
    fitting = [each for each in SCALES if each >= need]
    return fitting[0] if fitting else int(math.ceil(need / 10000) * 10000)


def scale_bar(pen: Pen, view: View, at: XY) -> None:
    """A bar of a round length, so that the scale can be read from a print of any size."""
    whole_mm = next((each for each in BAR_STEPS_MM if each / view.scale >= 20), BAR_STEPS_MM[-1])
    wide = view.long(whole_mm)
    pen.box(at, (at[0] + wide / 2, at[1] + 1.2), 0.2, "black")
    pen.box((at[0] + wide / 2, at[1]), (at[0] + wide, at[1] + 1.2), 0.2)
    pen.text((at[0] + wide + 1.5, at[1] + 1.6), f"{whole_mm / 1000:g} m   1:{view.scale} at full size")
