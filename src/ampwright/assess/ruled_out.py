"""Why the obvious choice is not there: one choice of a good design changed for another, and the check that it fails."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ampwright.assess.book import BOOK
from ampwright.assess.catalogue import Choice
from ampwright.assess.design import Design, Proposal
from ampwright.assess.search.bench import FAILED, JUDGED
from ampwright.assess.search.space import HUB, Cables
from ampwright.assess.search.ways import costs_of
from ampwright.working import Check


@dataclass(frozen=True, slots=True)
class RuledOut:
    """A choice that no design on the front has, or a cable cheaper than the one taken, and the check against it."""

    axis: str
    choice: Choice
    check: Check


def ruled_out(proposal: Proposal, design: Design) -> tuple[RuledOut, ...]:
    """Every choice that no design on the front has and that a check speaks against, the dearest first."""
    found = []
    for axis, choice, picked, cables in _others(proposal, design):
        check = _against(proposal, design, picked, cables)
        if check is not None:
            found.append(RuledOut(axis, choice, check))
    return tuple(found)


def _others(proposal: Proposal, design: Design) -> Iterator[tuple[str, Choice, tuple[Choice, ...], Cables]]:
    """The design with one choice changed, or with a cheaper cable throughout."""
    space = proposal.search.space
    for axis, own in design.choices.items():
        if axis == HUB:
            continue
        used = {each.choices[axis].id for each in proposal.front}
        others = [each for each in space.choices[axis] if each is not own and each.id not in used]
        for other in sorted(others, key=lambda each: -_cost(proposal, each)):
            picked = tuple(other if each is own else each for each in design.choices.values())
            yield axis, other, picked, design.cables
    search, routes = proposal.search, proposal.search.routes
    pence, _ = search.route_costs(routes, costs_of({}, design.choices.values()).lead)
    for way in sorted(search.bounds.uniform_ways(), key=lambda each: -pence[each]):
        if pence[way] < pence[design.way]:
            yield "cable", routes.of(way)[0], tuple(design.choices.values()), routes.of(way)


def _cost(proposal: Proposal, choice: Choice) -> int:
    return proposal.search.priced(costs_of({}, (choice,))).pence


def _against(proposal: Proposal, design: Design, picked: tuple[Choice, ...], cables: Cables) -> Check | None:
    """The worst check of the changed design that the design itself does not have: not met, else left to a person."""
    space, bench = proposal.search.space, proposal.search.bench
    own = space.values(design.choices.values(), design.cables)
    changed = space.values(picked, cables)
    ranks = {rule: bench.rank(rule, changed) for rule in BOOK.regulations}
    for worst in (FAILED, JUDGED):
        for rule, rank in ranks.items():
            if rank == worst > bench.rank(rule, own):
                return BOOK.judge(space.designed(picked, cables), rule.name)[0]
    return None
