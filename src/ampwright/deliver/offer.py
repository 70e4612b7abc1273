"""A design that was picked to be priced: the record's own, or one of a search."""


from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from ampwright.assess.catalogue import Catalogue
from ampwright.assess.design import STANDS_JUDGED, STANDS_NOT, STANDS_SAFE, Design, Picked, Proposal
from ampwright.assess.paperwork.priced import chosen_of
from ampwright.assess.quote.book import PriceBook
from ampwright.assess.quote.lines import Chosen
from ampwright.assess.quote.quote import Quote, Saving, extra_gross_gbp, quoted, savings
from ampwright.assess.visit import Survey
from ampwright.job.record import Job

SAFE = (STANDS_SAFE, STANDS_JUDGED)


class Priced:
    """A design that was picked to be priced, by this catalogue and this price book."""

    catalogue: Catalogue
    book: PriceBook

    @property
    def design(self) -> Picked:
        """The design that is priced."""
        raise NotImplementedError

    @property
    def instead(self) -> tuple[tuple[int, str, Quote], ...]:
        """The other designs worth a look, by number, each with its price."""
        return ()

    @property
    def chosen(self) -> Chosen:
        """Its choices."""
        return self._chosen(self.design)

    @cached_property
    def quote(self) -> Quote:
        """Its price."""
        return quoted(self.design.job, self.chosen, self.book)

    @cached_property
    def savings(self) -> tuple[Saving, ...]:
        """What narrows it."""
        return savings(self.design.job, self.chosen, self.book)

    @property
    def extras(self) -> tuple[tuple[str, Decimal | None], ...]:
        """What may be added, in words, and what each adds to what is to pay."""
        return tuple((each.words, extra_gross_gbp(each, self.design.job, self.chosen, self.book))
                     for each in self.book.extras)  # fmt: skip

    @property
    def exit_status(self) -> int:
        """2 if the price hangs on what is not known yet, else 0."""
        safe = self.design.standing in SAFE
        dated = self.design.job.date is not None
        return 0 if safe and dated and not self.quote.missing and not self.quote.unpriced else 2

    @property
    def until(self) -> datetime.date | None:
        """The day until which the price stands; None where the job has no date."""
        day = self.design.job.date
        return None if day is None else day + datetime.timedelta(days=int(self.book.firm["valid_days"]))

    def priced(self, design: Picked) -> Quote:
        """The quote of any design of the catalogue."""
        return quoted(design.job, self._chosen(design), self.book)

    def _chosen(self, design: Picked) -> Chosen:
        return Chosen(self.catalogue, tuple(design.choices.values()), tuple(design.cables))


@dataclass(frozen=True)
class AsRecorded(Priced):
    """The design that the record holds already."""

    picked: Picked
    catalogue: Catalogue
    book: PriceBook

    @property
    def design(self) -> Picked:
        """The record's own."""
        return self.picked


@dataclass(frozen=True)
class Offer(Priced):
    """A design of a search, by the number that `ampwright design` prints, and the others beside it.

    With a visit list it is told reading by reading what the visit decides.
    """

    proposal: Proposal
    number: int
    catalogue: Catalogue
    book: PriceBook
    visit: Survey | None = None

    @property
    def why(self) -> str:
        """Why this design is worth a look."""
        return self.proposal.best[self.number - 1][0]

    @property
    def design(self) -> Design:
        """The design of that number."""
        return self.proposal.best[self.number - 1][1]

    @cached_property
    def instead(self) -> tuple[tuple[int, str, Quote], ...]:
        """The other designs worth a look, by number, each with its price."""
        others = [(number, *best) for number, best in enumerate(self.proposal.best, start=1) if number != self.number]
        return tuple((number, why, self.priced(other)) for number, why, other in others)

    @cached_property
    def surest(self) -> Quote | None:
        """The cheapest design at this power that is safe whatever the survey finds; None where there is none, or where
        this one is safe."""
        if self.design.standing in SAFE:
            return None
        safe = [each for each in self.proposal.front if each.standing in SAFE
                and each.power_kw == self.design.power_kw]  # fmt: skip
        best = min(safe, key=lambda each: each.price.net_high_pence, default=None)
        return self.priced(best) if best else None


def as_recorded(job: Job, catalogue: Catalogue, book: PriceBook) -> AsRecorded | None:
    """The price of the record's own design; None where the catalogue has no such design, or it does not stand."""
    chosen = chosen_of(job, catalogue)
    if chosen is None:
        return None
    picked = Picked({each.axis: each for each in chosen.choices}, chosen.cables, job)
    return None if picked.standing == STANDS_NOT else AsRecorded(picked, catalogue, book)
