"""How far a sound sensor may be off, in kW, at what it shows: its accuracy class by current, IEC 61869-2."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ampwright.facts import rows
from ampwright.job.record import Sensor

CLASSES = "iec/sensor_class"
CLASS_PERCENT = 3.0  # of a sensor whose class nobody noted: our own choice


@dataclass(frozen=True, slots=True)
class ClassLimits:
    """The limit in percent from each power upwards, in kW. Below the lowest point a class promises nothing; there the
    error in kW is taken to be no larger than at that point (our own choice).
    """

    from_kw: tuple[float, ...]
    percent: tuple[float, ...]

    def most_kw(self, shown_kw: NDArray[np.float64]) -> NDArray[np.float64]:
        """The largest error at these figures, of their shape and sign."""
        size = np.maximum(np.abs(shown_kw), self.from_kw[0])
        reached = np.searchsorted(self.from_kw, size, side="right") - 1
        sign = np.where(shown_kw < 0, -1.0, 1.0)
        return np.asarray(sign * np.array(self.percent)[reached] / 100 * size)


def class_limits(sensor: Sensor, declared_v: float) -> ClassLimits:
    """The limits of one sensor. Where its rated current is not known, or no table has a class as coarse, its class
    counts at every current."""
    percent = sensor.class_percent or CLASS_PERCENT
    points = class_points(percent)
    if sensor.rated_a is None or not points:
        return ClassLimits((0.0,), (percent,))
    return ClassLimits(tuple(at / 100 * sensor.rated_a * declared_v / 1000 for at, _ in points),
                       tuple(limit for _, limit in points))  # fmt: skip


def class_points(class_percent: float) -> tuple[tuple[float, float], ...]:
    """Percent of rated current and the limit in percent from there on, of the listed class at or above; none beyond."""
    listed = sorted({float(row["class_percent"]) for row in rows(CLASSES)})
    of = next((each for each in listed if each >= class_percent), None)
    return tuple(sorted((float(row["at_percent"]), float(row["error_percent"]))
                        for row in rows(CLASSES) if float(row["class_percent"]) == of))  # fmt: skip
