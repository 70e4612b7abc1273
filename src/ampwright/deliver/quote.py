"""The quote of a job as text for a terminal and as JSON."""

from __future__ import annotations

import dataclasses
import datetime
import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Any

from ampwright.assess.catalogue import Catalogue
from ampwright.assess.design import STANDS_JUDGED, STANDS_NOT, STANDS_SAFE, Design, Picked, Proposal
from ampwright.assess.paperwork.priced import chosen_of
from ampwright.assess.price import vat_row
from ampwright.assess.quote.book import PriceBook
from ampwright.assess.quote.lines import ONE, Chosen
from ampwright.assess.quote.money import Band
from ampwright.assess.quote.quote import Quote, Saving, extra_gross_gbp, quoted, savings
from ampwright.deliver.design_screen import conditions, ends_words
from ampwright.deliver.materials import need_words
from ampwright.deliver.screen import wrapped
from ampwright.job.fields import in_words
from ampwright.job.record import Job
from ampwright.working import written_day

NO_DATE = "the job's date: without it no day is set until which the price stands, and VAT is by the newest rate held"
NOTE = ("This is your own sheet, with overhead and margin on it, and not the customer's paper. Prices are those of the "
        "catalogue and of the price book; all that come with the program are invented: give your own with --catalogue "
        "and --prices. Not judged here: what consumer law wants told before the contract, and how long it may be "
        "cancelled.")  # fmt: skip


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
        safe = self.design.standing in (STANDS_SAFE, STANDS_JUDGED)
        dated = self.design.job.date is not None
        return 0 if safe and dated and not self.quote.missing and not self.quote.unpriced else 2

    @property
    def until(self) -> datetime.date | None:
        """The day until which the price stands; None where the job has no date."""
        day = self.design.job.date
        return None if day is None else day + datetime.timedelta(days=int(self.book.firm["valid_days"]))

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
    """A design of a search, by the number that `ampwright design` prints, and the others beside it."""

    proposal: Proposal
    number: int
    catalogue: Catalogue
    book: PriceBook

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
        return tuple((number, why, quoted(other.job, self._chosen(other), self.book)) for number, why, other in others)


def as_recorded(job: Job, catalogue: Catalogue, book: PriceBook) -> AsRecorded | None:
    """The price of the record's own design; None where the catalogue has no such design, or it does not stand."""
    chosen = chosen_of(job, catalogue)
    if chosen is None:
        return None
    picked = Picked({each.axis: each for each in chosen.choices}, chosen.cables, job)
    return None if picked.standing == STANDS_NOT else AsRecorded(picked, catalogue, book)


def quote_text(offer: Offer) -> str:
    """The quote with its sums, then what may be added or taken instead, what it leaves out, and what narrows it."""
    quote, job = offer.quote, offer.design.job
    title = job.title or job.reference or "This job"
    heads = [title, *wrapped(f"Design {offer.number}, {offer.why}: {offer.design.words}.", 0)]
    blocks = ["\n".join(heads), "\n".join(wrapped(headline(offer), 0))]
    costs = [row for words, of in sums(quote) for row in _row(words, of)]
    blocks += ["\n".join(["WHAT IT COSTS, net", *costs]), "\n".join(wrapped(vat_words(offer), 0))]
    for heading, said in sections(offer):
        if said:
            blocks.append("\n".join([heading.upper(), *(row for each in said for row in wrapped(f"- {each}", 4))]))
    return "\n\n".join([*blocks, "\n".join(wrapped(NOTE, 0))])


def sections(offer: Priced, *, with_rules: bool = True) -> tuple[tuple[str, list[str]], ...]:
    """What is said beside the sums: what is open, what may be added or taken instead, and what is left out.

    The names of rules and the numbers that `ampwright design` prints are for the firm alone.
    """
    quote, job = offer.quote, offer.design.job
    return (
        ("Find out first", [*(in_words(path) for path in quote.missing), *([NO_DATE] if job.date is None else [])]),
        ("No price is held for", list(quote.unpriced)),
        ("This price hangs on", [*conditions(offer.design, with_rules=with_rules), *offer.design.minds]),
        ("What the visit would save", [saving_words(each) for each in offer.savings]),
        ("Instead", [f"{f'design {number}, ' if with_rules else ''}{why}: {band(other.gross)}"
                     for number, why, other in offer.instead]),
        ("May be added", [f"{words}: {'at cost' if gbp is None else pounds(gbp)}" for words, gbp in offer.extras]),
        ("Not in the price", list(offer.book.exclusions)),
    )


def headline(offer: Priced, see: str = " (`ampwright survey`)") -> str:
    """What is to pay, and until when that stands; `see` says where the rest is told."""
    quote = offer.quote
    says = f"To pay: {band(quote.gross)}"
    if quote.missing or quote.unpriced:
        says = f"To pay: from {pounds(quote.gross.low_gbp)}; the upper end is not known yet"
    if offer.design.standing not in (STANDS_SAFE, STANDS_JUDGED):
        says += (", for this design, if what is open turns out well: what else the survey may make of it is not in "
                 f"this band{see}")  # fmt: skip
    stands = "" if offer.until is None else f"; it stands until {written_day(offer.until)}"
    return f"{says}{stands}."


def sums(quote: Quote) -> Iterator[tuple[str, Band]]:
    """Line by line with both ends, then the sums that follow from them."""
    for words, so_many, of in (*material_rows(quote), *sum_rows(quote)):
        yield f"{words}{': ' if so_many else ''}{so_many}", of


def material_rows(quote: Quote) -> Iterator[tuple[str, str, Band]]:
    """Each line of material: what it is, so much of it at that price where it is not one, and what it costs."""
    for each in quote.lines:
        so_many = f"{need_words(each.need, each.unit)} at {pounds(each.each_gbp)}"
        yield each.words, "" if each.need == ONE else so_many, each.cost


def sum_rows(quote: Quote) -> Iterator[tuple[str, str, Band]]:
    """The sums that follow from the lines, to what is to pay."""
    low, high = (minutes / 60 for minutes in quote.minutes)
    hours = f"{low:.1f} h" if quote.minutes[0] == quote.minutes[1] else f"{low:.1f} to {high:.1f} h"
    vat = ((f"VAT at {quote.vat_percent:f} %", quote.vat),) if quote.charges_vat else ()
    yield "work", hours, quote.labour
    for words, sums in (("material and work", quote.cost), ("overhead", quote.overhead), ("margin", quote.margin),
                        ("net price", quote.net), *vat, ("to pay", quote.gross)):  # fmt: skip
        yield words, "", sums


def _row(words: str, sums: Band) -> Iterator[str]:
    *before, last = textwrap.wrap(words, 66)
    yield from (f"    {each}" for each in before)
    yield f"    {last:<68}{band(sums):>28}"


def vat_words(offer: Priced) -> str:
    """Which rate of VAT is charged and why, or that none is."""
    if not offer.book.firm["charges_vat"]:
        return ("No VAT is charged: the price book says that you are not registered for it. Then the prices of "
                "catalogue and price book must hold the VAT that you pay yourself.")  # fmt: skip
    row = vat_row(offer.design.job.date)
    return f"VAT at {row['rate_percent']} %: {row['note']} ({row['edition']}, {row['where']}; {row['trust']})."


def saving_words(saving: Saving) -> str:
    """What one reading takes off the width of the band."""
    return f"{in_words(saving.path)}, once measured, takes about {pounds(saving.narrows_gbp)} off this band"


def pounds(sum_gbp: Decimal) -> str:
    """Pounds to the penny, thousands parted."""
    return f"£{sum_gbp:,.2f}"


def band(sums: Band) -> str:
    """A sum, or both its ends."""
    return ends_words((sums.low_gbp, sums.high_gbp), pounds)


def quote_json(offer: Offer) -> dict[str, Any]:
    """The quote, ready for json.dumps; money as text in pounds, so that no penny is lost."""
    quote, job = offer.quote, offer.design.job
    return {
        "format": 1, "title": job.title, "reference": job.reference, "design": offer.number, "why": offer.why,
        "standing": offer.design.standing, "stands_until": None if offer.until is None else offer.until.isoformat(),
        **_plain(quote), "cost": _plain(quote.cost), "savings": _plain(offer.savings),
        "instead": [{"design": number, "why": why, "gross": _plain(other.gross)}
                    for number, why, other in offer.instead],
        "extras": [{"words": words, "gross_gbp": _plain(gbp)} for words, gbp in offer.extras],
        "exclusions": list(offer.book.exclusions),
    }  # fmt: skip


def _plain(value: Any) -> Any:
    if isinstance(value, Decimal):
        return f"{value:f}"
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {each.name: _plain(getattr(value, each.name)) for each in dataclasses.fields(value)}
    return [_plain(each) for each in value] if isinstance(value, tuple | list) else value
