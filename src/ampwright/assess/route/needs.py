"""The design that a route needs, whether it was found on a sketch or typed by hand."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ampwright.assess.catalogue import Catalogue
from ampwright.assess.design import Design, Proposal, propose
from ampwright.assess.route.sections import gathered
from ampwright.assess.search.space import NOT_CHOSEN, CannotSearch
from ampwright.job.record import Cable, Job


@dataclass(frozen=True)
class Needs:
    """What was found for a route. `cables` has the cable of each stretch, empty where no design stands; `among_few`
    says that not the whole catalogue was searched; where none could be sought, `why_none` says what is missing."""

    proposal: Proposal | None = None
    cables: tuple[Cable, ...] = ()
    among_few: bool = False
    why_none: str = ""

    @property
    def design(self) -> Design | None:
        """The first of the best designs."""
        return self.proposal.best[0][1] if self.proposal and self.proposal.best else None


def needs_of(job: Job, catalogue: Catalogue | None, first: Needs | None) -> Needs:
    """The design for the job's route; without a catalogue none is sought.

    With the needs of another route, it is sought among what came out best there, and if none of that stands in the
    whole catalogue: routes of one job mostly ask for the same, and the whole search takes seconds.
    """
    if catalogue is None:
        return Needs()
    sections, where = gathered(job.route)
    laid = replace(job, route=sections)
    try:
        few = _among_few(laid, catalogue, first)
        proposal = few or propose(laid, catalogue)
    except CannotSearch as missing:
        return Needs(why_none=str(missing))
    if not proposal.best:
        return Needs(proposal)
    chosen = proposal.best[0][1].job.route
    return Needs(proposal, tuple(chosen[place].cable for place in where), among_few=few is not None)


def _among_few(job: Job, catalogue: Catalogue, first: Needs | None) -> Proposal | None:
    """The proposal of what stood among the best of another route, and every cable that was one of them."""
    if first is None or first.proposal is None:
        return None
    best = {id(choice) for _, design in first.proposal.best for choice in (*design.choices.values(), *design.cables)}
    kept = tuple(each for each in catalogue.choices
                 if id(each) in best or (each.axis in NOT_CHOSEN and each.axis != "cable"))  # fmt: skip
    try:
        few = propose(job, Catalogue(kept))
    except CannotSearch:  # some stretch takes none of these cables; the whole catalogue is asked next
        return None
    return few if few.best else None
