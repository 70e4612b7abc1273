"""What one answer decides: which designs it rules out, and so the cheapest that is left and its price."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property, partial
from typing import Any

from ampwright.assess.assessment import assess, possible_answers
from ampwright.assess.book import BOOK
from ampwright.assess.catalogue_cells import Condition
from ampwright.assess.design import Design, Proposal, designed
from ampwright.assess.search.bench import FAILED, JUDGED, OPEN, Bench
from ampwright.assess.search.search import Found, Search
from ampwright.assess.search.space import CannotSearch, Space
from ampwright.assess.turning import among, as_field, scanned
from ampwright.job.fields import field
from ampwright.job.paths import at, changed, pattern_of, replaced
from ampwright.job.record import Job
from ampwright.reading import Reading
from ampwright.rules.regulation import Regulation

LENGTH = "route[].length_m"
FAILURE_WEIGHT = 100
Cheapest = tuple[Any, Any, int | None]


@dataclass(frozen=True, slots=True)
class Decided:
    """From `low` to `high` (one word twice where there are no numbers) this design is the cheapest that stands.

    None where none stands. `pence`: its price with VAT at both ends, at the longest of what else is a range.
    """

    low: Any
    high: Any
    design: Design | None
    pence: tuple[int, int] | None


@dataclass(frozen=True)
class Variant:
    """A design, or the job as entered, on the bench: its job, its values, and the paths that its choices fix."""

    job: Job
    values: dict[str, Any]
    fixed: frozenset[str]
    design: Design | None


class Front:
    """The designs of a proposal, or the job as entered where there is none, asked what they hang on.

    `paths` are what nobody looked at and what is a range.
    """

    def __init__(self, job: Job, paths: tuple[str, ...], proposal: Proposal | None) -> None:
        space = proposal.search.space if proposal else None
        self.proposal = proposal
        self._not_known = frozenset(paths)
        self._as_found = {path: at(job, path) for path in dict.fromkeys((*(space.decided if space else ()), *paths))}
        self._bench = Bench(space.job if space else job, tuple(self._as_found))
        self._under: dict[tuple[str, Any], Design | None] = {}
        self.variants: tuple[Variant, ...] = (Variant(job, self._as_found, frozenset(), None),)
        if space and proposal and proposal.front:
            self.variants = tuple(self._variant(space, design) for design in proposal.front)
        self._failed = {id(each) for each in self.variants for rule in BOOK.regulations
                        if self._bench.rank(rule, each.values) == FAILED}  # fmt: skip

    @cached_property
    def _varied(self) -> Search:
        """A search that may be asked under other answers."""
        if self.proposal is None:
            raise LookupError("without a proposal there is nothing to search")
        space = self.proposal.search.space
        return Search(changed(space.job, self._hopeful), space.catalogue, tuple(sorted(self._not_known)))

    @cached_property
    def _hopeful(self) -> dict[str, Any]:
        """All that an open check of the cheapest design asks for, but the lengths, at the answer that leaves least
        against it."""
        first = self.contenders[0]
        asked = {each.path for each in assess(first.job).to_find_out} & self._not_known
        tried = {path: possible_answers(self._of(path), path) for path in sorted(asked - first.fixed)
                 if pattern_of(path) != LENGTH}  # fmt: skip
        hoped: dict[str, Any] = {}
        for path, answers in [*tried.items(), *tried.items()]:  # twice: one answer may wait for another
            if answers:
                hoped[path] = min(answers, key=partial(self._hope, path, tried, first.values | hoped))
        return hoped

    def _hope(self, path: str, tried: dict[str, tuple[Any, ...]], known: dict[str, Any],
              answer: Any) -> tuple[int, int]:  # fmt: skip
        """What stands against the design under this answer, and under it and the best of one other answer besides."""
        values = known | {path: answer}
        asked = {each for rule in self._rules(path) for each in self._bench.reads(rule)}
        besides = [self._against(path, values | {other: each})
                   for other in asked & tried.keys() for each in tried[other]]  # fmt: skip
        alone = self._against(path, values)
        return alone, min(besides, default=alone)

    def _against(self, path: str, values: dict[str, Any]) -> int:
        """How much the rules that read this path have against a design: a failure outweighs all that is open."""
        ranks = [self._bench.rank(rule, values) for rule in self._rules(path)]
        return sum(FAILURE_WEIGHT if rank == FAILED else rank > 0 for rank in ranks)

    @cached_property
    def contenders(self) -> tuple[Variant, ...]:
        """The designs at the highest power of the front that no check rules out, the cheapest first."""
        designs = [(each, each.design) for each in self.variants if each.design and id(each) not in self._failed]
        most_kw = max((design.power_kw for _, design in designs), default=0.0)
        full = [(each, design) for each, design in designs if design.power_kw == most_kw]
        return tuple(each for each, _ in sorted(full, key=lambda pair: pair[1].price.net_high_pence))

    @cached_property
    def read(self) -> frozenset[str]:
        """The paths that some rule reads of some design."""
        return frozenset().union(*(self._bench.reads(rule) for rule in BOOK.regulations))

    @cached_property
    def fixed(self) -> frozenset[str]:
        """The paths that the choices of every design fix."""
        return frozenset.intersection(*(each.fixed for each in self.variants))

    def situations(self, rule: Regulation) -> tuple[Variant, ...]:
        """One variant of each kind that the rule can tell apart."""
        read = sorted(self._bench.reads(rule))
        kinds = {tuple(each.values[path] for path in read): each for each in reversed(self.variants)}
        return tuple(kinds.values())

    def open_situations(self, rule: Regulation) -> Iterator[Variant]:
        """Those of them that leave the rule open."""
        return (each for each in self.situations(rule) if self._bench.rank(rule, each.values) == OPEN)

    def matters(self, path: str) -> bool:
        """Whether an answer at this path, of those that can be tried, makes a check of a design stand worse.

        True as well for what cannot be tried, and for what a check that is left to the designer reads.
        """
        answers = possible_answers(self._of(path), path)
        asked = [(rule, each) for rule in self._rules(path) for each in self.situations(rule) if path not in each.fixed]
        return not answers or any(
            self._bench.rank(rule, each.values) == JUDGED or self._worse(rule, each, path, answer)
            for rule, each in asked for answer in answers)  # fmt: skip

    def decided(self, path: str) -> tuple[Decided, ...]:
        """The cheapest design at the front's highest power that no check rules out, over all that a look may find, if
        all else turns out well.

        Numbers give stretches with exact ends. Where the cheapest of the front is ruled out the search is asked under
        that answer, at both ends of the stretch, whether the catalogue has anything cheaper than what is left of the
        front. Empty where there are no contenders or the path cannot be tried.
        """
        answers = possible_answers(self._of(path), path) if self.contenders else ()
        rivals = list(self.contenders)
        while answers:
            prices = self._prices_pence(path, rivals)
            found = self._stretches(path, answers, rivals, prices)
            cheapest = None if pattern_of(path) == LENGTH else min(range(len(rivals)), key=lambda place: prices[place])
            failing = [each for each in found if each[2] is None or cheapest not in (None, each[2])]
            new = self._searched(path, failing, rivals)
            if not new:
                return tuple(self._decided(path, low, high, rivals, place) for low, high, place in found)
            rivals += new
        return ()

    def hangs_on_offer(self) -> frozenset[str]:
        """The paths on which it hangs whether what the designs are made of may be had here."""
        asked = {path for each in self.variants if each.design for path, _ in _offers(each.design)}
        return frozenset(asked & self._not_known)

    def price_pence(self, variant: Variant, path: str, answer: Any) -> int:
        """The price with VAT at its upper end; with that length where the path is one."""
        return _with_length(self.proposal, variant.design, path, answer) if self.proposal and variant.design else 0

    def _variant(self, space: Space, design: Design) -> Variant:
        picked = tuple(design.choices.values())
        fixed = {path for choice in picked for path in choice.changes()}
        fixed |= {path for number, cable in enumerate(design.cables) for path in cable.changes(number)}
        values = self._as_found | space.values(picked, design.cables)
        for rule in BOOK.regulations:
            self._bench.rank(rule, values)  # so that the bench knows all that a rule reads of this design
        return Variant(design.job, values, frozenset(fixed), design)

    def _of(self, path: str) -> Job:
        """A job with that path as the survey has it."""
        return next((each.job for each in self.variants if path not in each.fixed), self.variants[0].job)

    def _rules(self, path: str) -> tuple[Regulation, ...]:
        return tuple(rule for rule in BOOK.regulations if path in self._bench.reads(rule))

    def _worse(self, rule: Regulation, variant: Variant, path: str, answer: Any) -> bool:
        return self._bench.rank(rule, variant.values | {path: answer}) > self._bench.rank(rule, variant.values)

    @staticmethod
    def _ends(job: Job, path: str) -> tuple[float, float] | None:
        value, asked = at(job, path), field(path)
        if isinstance(value, Reading):
            return value.low, value.high
        return None if asked.low is None or asked.high is None else (asked.low, asked.high)

    def _stretches(self, path: str, answers: tuple[Any, ...], rivals: list[Variant],
                   prices: list[tuple[int, int]]) -> list[Cheapest]:  # fmt: skip
        """The cheapest of the rivals that stands, by its place among them, answer by answer or stretch by stretch."""
        ends = self._ends(self._of(path), path)
        if ends is None or not all(isinstance(each, float | Reading) for each in answers):
            return [(each, each, self._cheapest(path, each, rivals, prices)) for each in answers]
        found = scanned(lambda tried: self._cheapest(path, as_field(path, tried), rivals, prices), *ends,
                        among=among(path, *ends))  # fmt: skip
        return [(low, high, place) for low, high, place in found]

    def _searched(self, path: str, failing: list[Cheapest], rivals: list[Variant]) -> list[Variant]:
        """Designs that a search finds under the answers at the ends of these stretches, none of them a rival yet."""
        new: list[Variant] = []
        axes = self.proposal.search.space.axis_of if self.proposal else {}
        rules = self._rules(path)
        if rules and not any(self._bench.reads(rule) & axes.keys() for rule in rules):
            return new  # no choice mends what no rule reads together with a choice
        for end in dict.fromkeys(end for low, high, _ in failing for end in (low, high)):
            number = isinstance(end, float | int) and not isinstance(end, bool)
            design = self._best_under(path, as_field(path, end) if number else end)
            known = [each.design for each in (*rivals, *new) if each.design]
            if design and not any(_alike(design, each) for each in known):
                new.append(self._variant(self._varied.space, design))
        return new

    def _best_under(self, path: str, answer: Any) -> Design | None:
        """None too where the catalogue offers nothing of some axis under that answer."""
        if (path, answer) not in self._under:
            first = self.contenders[0].design
            try:
                search = self._varied.variant(path, answer)
                found = search.cheapest_at(first.power_kw, OPEN) if first else None
            except CannotSearch:
                found = None
            self._under[path, answer] = designed(search, found) if found else None
        return self._under[path, answer]

    def _cheapest(self, path: str, answer: Any, rivals: list[Variant],
                  prices: list[tuple[int, int]]) -> int | None:  # fmt: skip
        """The place of the cheapest that stands under this answer."""
        known = at(self._of(path), path)
        places = sorted(range(len(rivals)), key=lambda place: _between(*prices[place], answer, known))
        return next((place for place in places if self._stands(rivals[place], path, answer)), None)

    def _stands(self, variant: Variant, path: str, answer: Any) -> bool:
        offers = _offers(variant.design) if variant.design else ()
        if not all(where.holds(answer) for asked, where in offers if asked == path):
            return False
        found = {where: what for where, what in (self._hopeful | {path: answer}).items() if where not in variant.fixed}
        return all(self._bench.rank(rule, variant.values | found) < FAILED for rule in BOOK.regulations)

    def _decided(self, path: str, low: Any, high: Any, rivals: list[Variant], place: int | None) -> Decided:
        if place is None:
            return Decided(low, high, None, None)
        variant = rivals[place]
        ends = (self.price_pence(variant, path, low), self.price_pence(variant, path, high))
        return Decided(low, high, variant.design, ends)

    def _prices_pence(self, path: str, rivals: list[Variant]) -> list[tuple[int, int]]:
        """What each costs with VAT at both ends of a length; twice the same where the path is none."""
        length = at(self._of(path), path)
        low, high = (length.low, length.high) if pattern_of(path) == LENGTH else (None, None)
        return [(self.price_pence(each, path, low), self.price_pence(each, path, high)) for each in rivals]


def _offers(design: Design) -> tuple[tuple[str, Condition], ...]:
    """The paths on which it hangs whether its choices and cables may be had, each with what is asked of it."""
    choices = tuple((where.path, where) for choice in design.choices.values() for where in choice.offered_where)
    return choices + tuple((where.path.replace("[]", f"[{number}]"), where)
                           for number, cable in enumerate(design.cables) for where in cable.offered_where)  # fmt: skip


def _alike(one: Design, other: Design) -> bool:
    ids = [[choice.id for choice in (*each.choices.values(), *each.cables)] for each in (one, other)]
    return ids[0] == ids[1]


def _between(low_pence: int, high_pence: int, answer: Any, length: Any) -> float:
    if low_pence == high_pence:
        return low_pence
    share = (answer.low - length.low) / (length.high - length.low)
    return low_pence + (high_pence - low_pence) * float(share)


def _with_length(proposal: Proposal, design: Design, path: str, answer: Any) -> int:
    if pattern_of(path) != LENGTH:
        return design.price.high_pence
    length = answer if isinstance(answer, Reading) else Reading(answer, answer)
    search = copy.copy(proposal.search)
    search.space = replace(search.space, job=replaced(search.space.job, path, length))
    search.routes = replace(search.routes, space=search.space)
    figures = (0.0, 0.0, design.lost_kwh_per_mwh, -design.power_kw)
    return designed(search, Found(tuple(design.choices.values()), design.cables, design.way, figures)).price.high_pence
