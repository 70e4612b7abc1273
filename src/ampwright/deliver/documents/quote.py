"""The quote, for the customer, and the costs behind it, for the firm alone."""

from __future__ import annotations

import re
from collections.abc import Iterator

from ampwright.deliver.documents.blocks import Block, Heading, Listing, Note, Paper, Table, Text
from ampwright.deliver.documents.offered import offered
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.who import about
from ampwright.deliver.offer import Priced
from ampwright.deliver.quote import NOTE, band, headline, note, sections, sums, vat_words
from ampwright.working import capital

SAYS = "What is offered, what is to pay, what that hangs on, and what is not in it."
COSTS_SAYS = "For the firm alone: what the work costs, line by line, with overhead and margin."
SUMS = ("material and work", "net price", "to pay")


FOR_THE_FIRM = ("The work", "What the visit would save", "No price is held for")
OUR_COMMAND = re.compile(r" \(`ampwright [a-z]+`\)")
LAW = ("What consumer law wants told before a contract, and how long the contract may be cancelled, does not stand on "
       "this paper.")  # fmt: skip
NOT_IN_RECORD = ("Before it goes out: the record holds some of this design otherwise, as costs and materials list "
                 "say. Decide, and put it into the record.")  # fmt: skip


def quote(pack: Pack) -> Paper:
    """The quote of the first design that `ampwright design` prints, without the firm's own costs."""
    offer = pack.offer
    if offer is None:
        return _none(pack, "quote", "Quote", SAYS)
    of = offer.quote
    vat = ((f"VAT at {of.vat_percent:f} %", band(of.vat)),) if of.charges_vat else ()
    blocks: list[Block] = [
        about(pack), Heading("What is offered"), Text(f"{capital(offer.design.words)}."), Text(headline(offer, "")),
        Heading("The price"),
        Table(("What", "Price"), (("Material and work", band(of.net)), *vat, ("To pay", band(of.gross))),
              (3, 1), (1,), ("To pay",)),
    ]  # fmt: skip
    said = _said(offer, for_the_firm=False)
    before = (Note(NOT_IN_RECORD),) if pack.otherwise else ()
    return Paper("quote", "Quote", SAYS, (*blocks, *said, Note(vat_words(offer)), Note(LAW), *before))


def costs(pack: Pack) -> Paper:
    """The firm's own sheet behind the quote."""
    offer = pack.offer
    if offer is None:
        return _none(pack, "costs", "Costs", COSTS_SAYS)
    rows = tuple((words, band(each)) for words, each in sums(offer.quote))
    table = Table(("Net of VAT until the last line", "Price"), rows, (3, 1), (1,), SUMS)
    blocks = (about(pack), *offered(pack), Text(headline(offer)), Heading("What it costs"), table,
              Note(vat_words(offer)))  # fmt: skip
    under = note(pack.figures.prices_say) if pack.figures.own else NOTE
    return Paper("costs", "Costs", COSTS_SAYS, (*blocks, *_said(offer), Note(under)))


def _none(pack: Pack, name: str, title: str, says: str) -> Paper:
    _, why = pack.sought
    told = (Heading("No price yet"), Text(why), Text("`ampwright design` says what is missing or does not stand."))
    return Paper(name, title, says, (about(pack), *told))


def _said(offer: Priced, *, for_the_firm: bool = True) -> Iterator[Block]:
    for heading, said in sections(offer, with_rules=for_the_firm):
        if said and (for_the_firm or heading not in FOR_THE_FIRM):
            yield Heading(heading)
            yield Listing(tuple(each if for_the_firm else OUR_COMMAND.sub("", each) for each in said))
