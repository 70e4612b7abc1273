"""The price of the job as it stands: the rows of the catalogue that the record was made of, priced by the quote."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from ampwright.assess.catalogue import Catalogue, read_catalogue
from ampwright.assess.price import CannotPrice
from ampwright.assess.quote.book import PriceBook, read_price_book
from ampwright.assess.quote.lines import Chosen
from ampwright.assess.quote.quote import Quote, quoted
from ampwright.assess.quote.work import first_held
from ampwright.job.record import Job

ONCE = ("charging", "protection", "earthing", "load cap", "tails", "main switch", "main bonding", "board")


@dataclass(frozen=True, slots=True)
class Prices:
    """By what the job is priced."""

    catalogue: Catalogue
    book: PriceBook


@lru_cache(maxsize=1)
def shipped() -> Prices:
    """The catalogue and the price book shipped; every price in them is invented."""
    return Prices(read_catalogue(), read_price_book())


def invented(prices: Prices) -> tuple[str, ...]:
    """Which of the two are those shipped."""
    ours = shipped()
    told = (("catalogue", prices.catalogue == ours.catalogue), ("price book", prices.book == ours.book))
    return tuple(name for name, same in told if same)


def as_it_stands(job: Job, prices: Prices) -> Quote | None:
    """The quote of the job's own design; None where the catalogue has it not, or a length is not known yet, or no rate
    of VAT is held for the day.
    """
    chosen = chosen_of(job, prices.catalogue)
    if chosen is None:
        return None
    try:
        found = quoted(job, chosen, prices.book)
    except CannotPrice:
        return None
    return None if found.missing else found


def chosen_of(job: Job, of: Catalogue) -> Chosen | None:
    """The first row on each axis that fixes only what the record has; None where an axis or a stretch has none."""
    choices = [first_held(job, of.axis(axis)) for axis in ONCE]
    cables = [first_held(job, of.axis("cable"), number) for number in range(len(job.route))]
    if not cables or None in choices or None in cables:
        return None
    return Chosen(of, tuple(each for each in choices if each), tuple(each for each in cables if each))
