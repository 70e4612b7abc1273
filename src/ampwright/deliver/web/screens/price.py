"""The price of a design, line by line, with what narrows it, what may be added and what it leaves out."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from fastapi import APIRouter, Request, Response

from ampwright.assess.price import CannotPrice
from ampwright.deliver.figures import Figures
from ampwright.deliver.firm_figures import figures_in_use
from ampwright.deliver.offer import Offer
from ampwright.deliver.quote import band, headline, material_rows, note, sections, sum_rows, vat_words
from ampwright.deliver.web.contexts import Head
from ampwright.deliver.web.look import error_page, show
from ampwright.deliver.web.screens.proposals import Designs, designs_of
from ampwright.deliver.web.site import Here, head

KEPT_COUNT = 32
Row = tuple[str, str, str]
router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, slots=True)
class PricePage:
    """The price once a design was searched, or why there is none; `instead` are the numbers of the other designs."""

    head: Head
    headline: str
    which: str
    rows: tuple[Row, ...]
    sums: tuple[Row, ...]
    vat: str
    sections: tuple[tuple[str, list[str]], ...]
    instead: tuple[int, ...]
    figures: Figures
    cannot: tuple[str, ...] = ()

    @property
    def note(self) -> str:
        """What the sheet is, and whose prices it has."""
        return note(self.figures.prices_say)


@router.get("/jobs/{name}/price")
def price(request: Request, site: Here, name: str, design: str = "1") -> Response:
    """The price of one of the designs, if they were searched for the job as it stands."""
    job, _ = site.store.read(name)
    figures = figures_in_use(site.store, name)
    found = designs_of(site, job, figures)
    number = int(design) if design.isdecimal() and len(design) < 3 else 0
    if not isinstance(found, Designs) or not found.proposal.best:
        says = ("No design of the catalogue stands, so there is nothing to price: the choice of design says why.",)
        cannot = tuple(found.splitlines()) if isinstance(found, str) else says if found else ()
        return show(request, "price", _without(head(name, job), figures, cannot))
    if not 1 <= number <= len(found.proposal.best):
        return error_page(request, 404, "There is no such design", "The choice of design lists those that there are.")
    try:
        return show(request, "price", _page(head(name, job), found, number))
    except CannotPrice as bad:
        return show(request, "price", _without(head(name, job), figures, (str(bad),)))


def _without(of: Head, figures: Figures, cannot: tuple[str, ...]) -> PricePage:
    return PricePage(of, "", "", (), (), "", (), (), figures, cannot)


@lru_cache(maxsize=KEPT_COUNT)
def _page(of: Head, found: Designs, number: int) -> PricePage:
    offer = Offer(found.proposal, number, found.figures.catalogue, found.figures.book)
    which = f"Design {offer.number}, {offer.why}: {offer.design.words}."
    with found.figures.in_use():
        rows, sums = (tuple((words, many, band(cost)) for words, many, cost in each)
                      for each in (material_rows(offer.quote), sum_rows(offer.quote)))  # fmt: skip
        return PricePage(of, headline(offer), which, rows, sums, vat_words(offer),
                         tuple((heading, said) for heading, said in sections(offer) if said),
                         tuple(each for each, _, _ in offer.instead), found.figures)  # fmt: skip
