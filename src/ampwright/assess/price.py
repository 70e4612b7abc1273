"""What a design costs: material and labour in whole pence, with VAT, as a band while the survey has ranges."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from ampwright.facts import Row, rows
from ampwright.working import written_day

SUPPLIES = ("charge_point_at_home", "standard_rated")
HUNDRED = Decimal(100)


class CannotPrice(ValueError):
    """Why a design cannot be priced, in the electrician's words."""


@dataclass(frozen=True, slots=True)
class Price:
    """Net pence at both ends of what the survey allows, and the rate of VAT."""

    net_low_pence: int
    net_high_pence: int
    vat_percent: Decimal

    def vat_pence(self, net_pence: int) -> int:
        """The VAT on a net price, to the nearest penny, a half counted up."""
        return int((net_pence * self.vat_percent / HUNDRED).quantize(Decimal(1), ROUND_HALF_UP))

    @property
    def low_pence(self) -> int:
        """The lower end with VAT."""
        return self.net_low_pence + self.vat_pence(self.net_low_pence)

    @property
    def high_pence(self) -> int:
        """The upper end with VAT."""
        return self.net_high_pence + self.vat_pence(self.net_high_pence)


def vat_percent(day: datetime.date | None) -> Decimal:
    """The rate of VAT for fitting a charge point at a home on that day. Raises CannotPrice before the first rate."""
    return Decimal(vat_row(day)["rate_percent"])


def vat_row(day: datetime.date | None) -> Row:
    """The dated rule of VAT for fitting a charge point at a home on that day (the newest known where none is given).

    The rule for that supply goes before the standard rate, which holds on days that have no rule of its own. Raises
    CannotPrice for a day before the first rate held.
    """
    on = day or datetime.date.max
    valid = [row for supply in SUPPLIES for row in rows("gb/vat") if row["supply"] == supply
             and row["from"] <= on.isoformat() <= (row["until"] or "9999-12-31")]  # fmt: skip
    if not valid:
        first = datetime.date.fromisoformat(min(row["from"] for row in rows("gb/vat")))
        raise CannotPrice(f"No rate of VAT is held for work dated {written_day(on)}; the first is that of "
                          f"{written_day(first)}. Look at the job's date.")  # fmt: skip
    return valid[0]
