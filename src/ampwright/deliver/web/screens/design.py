"""The choice of design: the few worth a look with price and time, what each leaves open, and why others are out."""

from __future__ import annotations

import re
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from ampwright.assess.design import Design
from ampwright.assess.ruled_out import RuledOut
from ampwright.deliver.design_screen import ends_words, left_words, lost_words, no_design, note, price_words
from ampwright.deliver.figures import Figures
from ampwright.deliver.firm_figures import figures_in_use
from ampwright.deliver.screen import tally
from ampwright.deliver.store.store import OperationReused
from ampwright.deliver.web.contexts import Head
from ampwright.deliver.web.look import error_page, show
from ampwright.deliver.web.screens.proposals import Designs, designs_of
from ampwright.deliver.web.site import Form, Here, base_of, head, how, kept, operation_of
from ampwright.job.files import BadJobFile
from ampwright.working import capital

CATALOGUE = {False: "those of the catalogue that comes with the program are invented.",
             True: "the catalogue is your own."}  # fmt: skip
LOOKS = {"safe whatever the survey finds": "met", "safe if": "not-known", "not safe": "not-met"}
router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, slots=True)
class Offered:
    """One design with its words; `own` is what it alone leaves open."""

    number: int
    why: str
    design: Design
    own: tuple[str, ...]
    stands: bool

    @property
    def price(self) -> str:
        """What it costs."""
        return f"{price_words(self.design.price)} with VAT at {self.design.price.vat_percent:g} %"

    @property
    def figures(self) -> str:
        """Time, power and loss, and what a load cap leaves the car."""
        hours = ends_words(self.design.minutes, lambda minutes: f"{minutes / 60:.1f}")
        return f"{hours} h on site; {self.design.power_kw:.1f} kW; {lost_words(self.design)}.{left_words(self.design)}"

    @property
    def standing(self) -> str:
        """How it stands, and the answers of its checks."""
        return f"{capital(self.design.standing)}: {tally(self.design.assessment)}."

    @property
    def look(self) -> str:
        """The class of its colour; the same is said in words."""
        return LOOKS.get(self.design.standing, "yours")


@dataclass(frozen=True, slots=True)
class DesignPage:
    """The designs once they were searched, or why they cannot be."""

    head: Head
    searched: str
    offered: tuple[Offered, ...]
    shared: tuple[str, ...]
    none: str
    ruled_out: tuple[RuledOut, ...]
    remedies: tuple[tuple[str, tuple[str, ...]], ...]
    cannot: tuple[str, ...]
    base: int
    operation: str
    figures: Figures

    @property
    def note(self) -> str:
        """What holds for every design, and whose prices they are."""
        return note(CATALOGUE["catalogue" in self.figures.own])


@router.get("/jobs/{name}/design")
def design(request: Request, site: Here, name: str) -> Response:
    """The page; with the designs if they were searched for the job as it stands."""
    job, base = site.store.read(name)
    figures = figures_in_use(site.store, name)
    found = designs_of(site, job, figures)
    if isinstance(found, Designs):
        return show(request, "design", _page(head(name, job), base, found))
    cannot = tuple(found.splitlines()) if isinstance(found, str) else ()
    return show(request, "design", DesignPage(head(name, job), "", (), (), "", (), (), cannot, base, operation_of(),
                                                figures))  # fmt: skip


@router.post("/jobs/{name}/design")
def choose(request: Request, site: Here, name: str, typed: Form) -> Response:
    """Write what one design chooses into the record."""
    base = base_of(typed)
    job, _ = site.store.read(name, base)
    found = designs_of(site, job, figures_in_use(site.store, name))
    number = int(typed["number"]) if re.fullmatch(r"\d{1,2}", typed.get("number", "")) else 0
    if not isinstance(found, Designs) or not 1 <= number <= len(found.proposal.best):
        return error_page(request, 409, "The designs must be searched again",
                          "The server was started anew, or the job or your figures are others since. Nothing was "
                          "changed.")  # fmt: skip
    new = found.changes[number - 1]
    try:
        site.store.change(name, new, base=base, **how(site, typed))
    except (BadJobFile, OperationReused) as wrong:
        return error_page(request, 409, "This design cannot be taken", capital(str(wrong)) + ".")
    return kept(name, typed)


def _page(of: Head, base: int, found: Designs) -> DesignPage:
    proposal, said = found.proposal, found.left_open
    shared = tuple(each for each in said[0] if all(each in other for other in said)) if len(said) > 1 else ()
    offered = tuple(Offered(number, why, each, tuple(line for line in said[number - 1] if line not in shared),
                            not found.changes[number - 1])
                    for number, (why, each) in enumerate(proposal.best, start=1))  # fmt: skip
    searched = (f"{proposal.count:,} combinations of the catalogue searched, {proposal.judged_count:,} questions put "
                f"to the rules; {len(proposal.front)} designs stand that no other beats.")  # fmt: skip
    remedies = tuple((f"{check.asks} {check.says}", words) for check, words in found.remedies)
    return DesignPage(of, searched, offered, shared, "" if proposal.front else no_design(proposal), found.ruled_out,
                      remedies, (), base, operation_of(), found.figures)  # fmt: skip
