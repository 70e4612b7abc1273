"""Of which design a paper is, said in the same words on every paper that prices it or buys for it."""

from __future__ import annotations

from collections.abc import Iterator

from ampwright.deliver.documents.blocks import Block, Heading, Listing, Text
from ampwright.deliver.documents.pack import Pack
from ampwright.working import capital

OWN = "This is the design in the record."
FIRST = "The record has not decided; this is the first design that `ampwright design` prints."
NONE = "No design is priced yet, so this is of the job as entered."
OTHERWISE = "Some of it is otherwise in the record. Decide before anything is bought:"


def offered(pack: Pack) -> Iterator[Block]:
    """For the firm: the design, whose it is, and what the record holds otherwise."""
    yield Heading("The design")
    if pack.offer is None:
        yield Text(NONE)
        return
    yield Text(f"{capital(pack.offer.design.words)}.")
    yield Text(OWN if pack.own is not None else FIRST)
    if pack.otherwise:
        yield Text(OTHERWISE)
        yield Listing(pack.otherwise)
