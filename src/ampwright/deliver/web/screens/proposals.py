"""The designs of the catalogue for a job: searched once for each state of it, for every screen that shows them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from fastapi import APIRouter, Request, Response

from ampwright.assess.assessment import assess
from ampwright.assess.catalogue import Catalogue
from ampwright.assess.design import Proposal, propose
from ampwright.assess.price import CannotPrice
from ampwright.assess.ruled_out import RuledOut, ruled_out
from ampwright.assess.search.space import CannotSearch
from ampwright.assess.take import what_would_it_take
from ampwright.deliver.design_screen import left_open, remedy_words
from ampwright.deliver.figures import Figures
from ampwright.deliver.firm_figures import figures_in_use
from ampwright.deliver.web.runs import Told, begun
from ampwright.deliver.web.screens.forms import changes_to
from ampwright.deliver.web.site import Form, Here, Site
from ampwright.job.record import Job
from ampwright.working import Check

router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, eq=False)
class Designs:
    """What the search found by these figures, in words where they take long: what each of the best leaves open, what is
    ruled out, what would mend what is not met, and what each of the best changes in the record: what was read on site
    stays there."""

    figures: Figures
    proposal: Proposal
    left_open: tuple[tuple[str, ...], ...]
    ruled_out: tuple[RuledOut, ...]
    remedies: tuple[tuple[Check, tuple[str, ...]], ...]
    changes: tuple[dict[str, Any], ...]


def designs_of(site: Site, job: Job, figures: Figures) -> Designs | str | None:
    """The designs for a job by these figures, or why none can be sought, in words; None while nobody asked for them."""
    run = site.runs.found(("designs", job, figures))
    found: Designs | str | None = None if run is None else run.answer()
    return found


@router.post("/jobs/{name}/designs/search")
def search(request: Request, site: Here, name: str, typed: Form) -> Response:
    """Search the catalogue, and go on to the page that asked for it."""
    job, _ = site.store.read(name)
    after, figures = typed.get("for", ""), figures_in_use(site.store, name)
    run = site.runs.begin(("designs", job, figures), lambda told: _sought(job, figures, told))
    return begun(request, run, f"/jobs/{name}/{after if after in ('design', 'price') else 'design'}")


def _sought(job: Job, figures: Figures, told: Told) -> Designs | str:
    catalogue = figures.catalogue
    try:
        proposal = propose(job, catalogue, told)
    except (CannotSearch, CannotPrice) as bad:
        return str(bad)
    left = []
    for number, (_, design) in enumerate(proposal.best):
        told("what each leaves open", number, len(proposal.best))
        left.append(tuple(left_open(design)))
    told("why others are out", 0, 0)
    others = ruled_out(proposal, proposal.best[0][1]) if proposal.best else ()
    told("what would mend what is not met", 0, 0)
    changes = tuple(changes_to(job, replace(design.job, tests=job.tests)) for _, design in proposal.best)
    return Designs(figures, proposal, tuple(left), others, _remedies(job, catalogue), changes)


def _remedies(job: Job, catalogue: Catalogue) -> tuple[tuple[Check, tuple[str, ...]], ...]:
    assessment = assess(job)
    taken = what_would_it_take(assessment, catalogue)
    return tuple((check, tuple(map(remedy_words, taken[check.rule]))) for check in assessment.checks
                 if check.rule in taken)  # fmt: skip
