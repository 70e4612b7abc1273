"""What a survey knows of one number: exactly, within a range and why, or (None) not looked at."""

from __future__ import annotations

import datetime
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Reading:
    """A survey value between `low` and `high` (equal when exact).

    `because` gives the reason for a range or where an exact value comes from; `when` and `with_what` say
    when it was read and with what instrument. Raises ValueError if the ends are the wrong way round.
    """

    low: float
    high: float
    because: str = ""
    when: datetime.date | None = None
    with_what: str = ""

    def __post_init__(self) -> None:
        if self.low > self.high:
            raise ValueError(f"the low end ({self.low:g}) is above the high end ({self.high:g})")

    @property
    def exact(self) -> bool:
        """Whether both ends are the same number."""
        return self.low == self.high

    @property
    def basis(self) -> str:
        """Where the value comes from, in a few words, for the sheet."""
        source = self.because or (f"read with {self.with_what}" if self.with_what else "the job")
        return source if self.exact else f"{self.ends}: {source}"

    @property
    def ends(self) -> str:
        """The number, or both ends of the range, without a unit."""
        return f"{self.low:g}" if self.exact else f"{self.low:g} to {self.high:g}"


def measured(value: float, with_what: str = "", when: datetime.date | None = None) -> Reading:
    """An exact reading."""
    return Reading(value, value, "", when, with_what)


def assumed(low: float, high: float, because: str = "") -> Reading:
    """A range that the survey allows, with its reason."""
    return Reading(low, high, because)


class End:
    """One end of everything that the survey leaves open: the worst for the rule that asks, or the best.

    A rule says of each reading which way hurts: `end.more_hurts(length)` is the high end on the worst side.
    """

    def __init__(self, *, worst: bool) -> None:
        self.worst = worst

    def more_hurts(self, reading: Reading) -> float:
        """The value at this end of a reading whose larger values make the answer worse."""
        return reading.high if self.worst else reading.low

    def less_hurts(self, reading: Reading) -> float:
        """The value at this end of a reading whose smaller values make the answer worse."""
        return reading.low if self.worst else reading.high


WORST = End(worst=True)
BEST = End(worst=False)
