"""One line of a supply under a load cap, as an opponent sees it: what he may do, and what the cap does in reply.

What is admissible:
- The house may draw anything within the ratings of its listed loads at any second, but by itself no more than the
  supply may carry: a house that overloads its fuse alone is judged apart, for no cap can mend that.
- The sensor reads low by the whole of its error, all the time, and by what the car's cable induces in its lead.
  Every other error gives the car less. Beyond the current to which its class holds it reads no more than it does there.
- A reading is the mean over the time since the last one. It takes effect one response time later.
- Of all readings no more than a tenth are lost, or old ones sent again, which is the same; as many may be lost
  running as fit into the watchdog's time. Beyond it the car falls to the fallback current, for as long as he likes.
- The car takes all that it is given.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

import numpy as np
import numpy.typing as npt

Current = TypeVar("Current", float, npt.NDArray[np.float64])
LEAST_STEP_A = 0.5  # a full sensor that asks for less than this is not counted to let the car down, our own choice


@dataclass(frozen=True, kw_only=True)
class Situation:
    """One line: the house's largest current that the sensor sees and that it does not, the car's, and the cap's ways.

    Below `least_car_a` the car is paused. `error_ratio` is the whole error of sensor and meter, `rounding_a` half a
    display step, `pick_up_a` what the car's cable takes off the reading at the car's full current (in step with it,
    which is the worst), `sensor_full_a` what the sensor can tell apart, `lost_ratio` the share of readings that may
    be lost. Times are in whole seconds, rounded up; the response counts in whole messages, upwards.
    """

    cap_a: float
    dead_band_a: float
    rounding_a: float
    pick_up_a: float
    error_ratio: float
    house_a: float
    unseen_a: float
    car_a: float
    least_car_a: float
    sensor_full_a: float
    fallback_a: float
    message_s: int
    response_s: int
    watchdog_s: int
    lost_ratio: float

    @property
    def shown_most_a(self) -> float:
        """The most that the cap lets stand, as the sensor would read it without what it picks up and rounds away."""
        return self.cap_a + self.dead_band_a + self.rounding_a + self.pick_up_a

    @property
    def full_step_a(self) -> float:
        """By how much each reading of a full sensor lets the car down; a full one may ask for nothing at all."""
        return (1 - self.error_ratio) * self.sensor_full_a - self.shown_most_a

    @property
    def steady_a(self) -> float:
        """The most that can truly flow once everything has settled, were the cap alone to hold it."""
        if self.full_step_a < LEAST_STEP_A - 1e-9:
            return math.inf
        return self.shown_most_a / (1 - self.error_ratio) + self.unseen_a

    @property
    def peak_a(self) -> float:
        """House and car both at their most: nothing larger can flow for a second."""
        return self.house_a + self.unseen_a + self.car_a

    @property
    def response_messages_count(self) -> int:
        """Messages that pass before one takes effect."""
        return math.ceil(self.response_s / self.message_s)

    @property
    def lag_messages_count(self) -> int:
        """Messages from a reading's time to the time in which it governs the car."""
        return 1 + self.response_messages_count

    @property
    def held_messages_count(self) -> int:
        """The most readings that may be lost running before the watchdog acts; none where none may be lost."""
        return math.ceil(self.watchdog_s / self.message_s) if self.lost_ratio > 0 else 0

    def picked_up(self, taken_a: Current) -> Current:
        """What the lead takes off the reading while the car takes so much, A: it grows with the car's current."""
        return taken_a * (self.pick_up_a / self.car_a)

    @cached_property
    def room_a(self) -> float:
        """What a reading of the house may leave for house and car together, at the sensor's worst."""
        return self.shown_most_a + self.error_ratio * (self.house_a + self.car_a)

    def allowed_a(self, seen_house_a: float, taken_a: float) -> float:
        """The most that the car can be given after a reading of this much house while it took so much: never less
        than the truth. A sensor that is full lets the car down by steps."""
        by_step_a = taken_a - (self.full_step_a if self.full_step_a >= LEAST_STEP_A else 0.0)
        return min(self.car_a, max(0.0, self.room_a - seen_house_a, by_step_a))

    @property
    def tempting_a(self) -> float:
        """The most house that still leaves the car its full current: to show less gains the opponent nothing."""
        return min(self.house_a, max(0.0, self.room_a - self.car_a))
