"""Money in whole pence, always as Decimal pounds, and bands of it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

PENNY = Decimal("0.01")
NOTHING = Decimal("0.00")


def to_pence(pounds_gbp: Decimal) -> Decimal:
    """Pounds to the nearest penny, a half counted up."""
    return pounds_gbp.quantize(PENNY, ROUND_HALF_UP)


@dataclass(frozen=True, slots=True)
class Band:
    """A sum at both ends of what the survey allows, GBP."""

    low_gbp: Decimal
    high_gbp: Decimal

    def __add__(self, other: Band) -> Band:
        return Band(self.low_gbp + other.low_gbp, self.high_gbp + other.high_gbp)

    def share(self, percent: Decimal) -> Band:
        """So much per cent of each end, to the penny."""
        return Band(*(to_pence(each * percent / 100) for each in (self.low_gbp, self.high_gbp)))

    @property
    def width_gbp(self) -> Decimal:
        """How far the ends are apart."""
        return self.high_gbp - self.low_gbp


def total(bands: list[Band]) -> Band:
    """The sum, end by end."""
    return sum(bands, Band(NOTHING, NOTHING))
