"""The quote of a job as text for a terminal and as JSON."""

from __future__ import annotations

import dataclasses
import textwrap
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from ampwright.assess.price import vat_row
from ampwright.assess.quote.lines import ONE
from ampwright.assess.quote.money import Band
from ampwright.assess.quote.quote import Quote, Saving
from ampwright.deliver.design_screen import conditions, ends_words
from ampwright.deliver.materials import need_words, work_says
from ampwright.deliver.offer import SAFE, Offer, Priced
from ampwright.deliver.screen import wrapped
from ampwright.job.fields import in_words
from ampwright.working import written_day

NO_DATE = "the job's date: without it no day is set until which the price stands, and VAT is by the newest rate held"


def note(whose: str) -> str:
    """What stands under the firm's own sheet; `whose` says whose prices they are."""
    return (f"This is your own sheet, with overhead and margin on it, and not the customer's paper. {whose} Not judged "
            "here: what consumer law wants told before the contract, and how long it may be cancelled.")  # fmt: skip


NOTE = note("Prices are those of the catalogue and of the price book; all that come with the program are invented: "
            "give your own with --catalogue and --prices.")  # fmt: skip


def quote_text(offer: Offer, under: str = NOTE) -> str:
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
    return "\n\n".join([*blocks, "\n".join(wrapped(under, 0))])


def sections(offer: Priced, *, with_rules: bool = True) -> tuple[tuple[str, list[str]], ...]:
    """What is said beside the sums: what is open, what may be added or taken instead, and what is left out.

    The names of rules and the numbers that `ampwright design` prints are for the firm alone.
    """
    quote, job = offer.quote, offer.design.job
    return (
        ("Find out first", [*(in_words(path) for path in quote.missing), *([NO_DATE] if job.date is None else [])]),
        ("No price is held for", list(quote.unpriced)),
        ("This price hangs on", [*conditions(offer.design, with_rules=with_rules), *offer.design.minds]),
        ("The work", work_says(quote.operations)),
        ("What the visit would save", [*(saving_words(each) for each in offer.savings), *visit_words(offer)]),
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
    if offer.design.standing not in SAFE:
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


def visit_words(offer: Priced) -> Iterator[str]:
    """What a visit decides, where designs were searched to tell it by."""
    if isinstance(offer, Offer):
        yield from surest_words(offer)
        yield from decided_words(offer)


def decided_words(offer: Offer) -> Iterator[str]:
    """Reading by reading what is to pay for the cheapest design that it leaves, if all else turns out well."""
    for item in offer.visit.items if offer.visit else ():
        designs = {id(each.design): each.design for each in item.decided if each.design}
        to_pay = sorted(offer.priced(each).gross.high_gbp for each in designs.values())
        if len(to_pay) > 1:
            between = f"between {pounds(to_pay[0])} and {pounds(to_pay[-1])}"
            said = f"{between}, or whether there is a design at all" if item.none_stands else between
        elif item.none_stands:
            said = "whether there is a design at all"
        else:
            continue
        yield f"{in_words(item.path)}: decides {said}"


def surest_words(offer: Offer) -> Iterator[str]:
    """What looking at all that this price hangs on saves against a design that asks for none of it."""
    if offer.design.standing in SAFE:
        return
    look = "all that this price hangs on, if it turns out well"
    if offer.surest is None:
        by_reading = "" if offer.visit else " (`ampwright quote --visit`: reading by reading)"
        yield f"{look}: no design of the catalogue is safe at this power without it{by_reading}"
        return
    less_gbp = offer.surest.gross.high_gbp - offer.quote.gross.high_gbp
    if less_gbp > 0:
        yield (f"{look}, saves {pounds(less_gbp)}: the cheapest design at this power that is safe whatever the survey "
               f"finds is {band(offer.surest.gross)}")  # fmt: skip


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
        **({"visit": list(decided_words(offer))} if offer.visit else {}),
    }  # fmt: skip


def _plain(value: Any) -> Any:
    if isinstance(value, Decimal):
        return f"{value:f}"
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {each.name: _plain(getattr(value, each.name)) for each in dataclasses.fields(value)}
    return [_plain(each) for each in value] if isinstance(value, tuple | list) else value
