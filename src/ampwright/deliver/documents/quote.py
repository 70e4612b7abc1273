"""The quote: what is to pay, line by line, what it hangs on and what it leaves out."""

from __future__ import annotations

from ampwright.deliver.documents.blocks import Block, Heading, Listing, Note, Paper, Table, Text
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.who import about
from ampwright.deliver.quote import NOTE, band, headline, sections, sums, vat_words

SAYS = "What the work costs, line by line, as a band while the survey has ranges."
SUMS = ("material and work", "net price", "to pay")


def quote(pack: Pack) -> Paper:
    """The quote of the first design that `ampwright design` prints."""
    offer = pack.offer
    if offer is None:
        _, why = pack.sought
        told = (Heading("No price yet"), Text(why), Text("`ampwright design` says what is missing or does not stand."))
        return Paper("quote", "Quote", SAYS, (about(pack), *told))
    rows = tuple((words, band(each)) for words, each in sums(offer.quote))
    blocks: list[Block] = [
        about(pack), Heading("What is offered"), Text(f"{offer.design.words}."), Text(headline(offer)),
        Heading("What it costs"), Table(("Net of VAT until the last line", "£"), rows, (3, 1), (1,), SUMS),
        Note(vat_words(offer)),
    ]  # fmt: skip
    for heading, said in sections(offer):
        if said:
            blocks += [Heading(heading.capitalize()), Listing(tuple(said))]
    return Paper("quote", "Quote", SAYS, (*blocks, Note(NOTE)))
