"""The visit list: what a look at the site has to find out, why, and what need not be looked at."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache
from importlib import resources

from ampwright.assess.assessment import Assessment, Unknown, assess
from ampwright.assess.book import BOOK
from ampwright.assess.catalogue import Catalogue
from ampwright.assess.design import Proposal, propose
from ampwright.assess.price import CannotPrice
from ampwright.assess.search.space import CannotSearch
from ampwright.assess.turning import Turning, turning_values
from ampwright.assess.visit_money import LENGTH, Decided, Front
from ampwright.job.fields import fields
from ampwright.job.paths import at, loose, pattern_of, spread
from ampwright.job.record import Job
from ampwright.working import Verdict

NOT_LOOKED_AT = ("installer", "none")
TESTS = "tests."
READ_AFTER = "tests.sensing["  # of sensors that hang there; a design is of those that will
NO_FRONT = "No design of the catalogue stands; `ampwright design` says why."


@dataclass(frozen=True, slots=True)
class Stage:
    """A row of visit_stages.csv: where on the visit a reading is taken, and the cautions (by id) that stand there."""

    name: str
    prefix: str
    instrument: str
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Item:
    """One thing to find out on the visit.

    `unknown` says which checks ask, which it settles whatever it is and which it may settle; `of_designs` whether a
    design of the front asks, not only the job as entered. `decided` is what the answer decides in money, empty
    where that is not known; `turnings` where the checks of the cheapest design turn.
    """

    unknown: Unknown
    stage: Stage
    of_designs: bool
    decided: tuple[Decided, ...]
    turnings: tuple[Turning, ...]

    @property
    def path(self) -> str:
        """The path of the field."""
        return self.unknown.path

    @property
    def prices(self) -> tuple[int, ...]:
        """The different prices that the answer decides between, in pence with VAT, rising."""
        return tuple(sorted({pence for each in self.decided if each.pence for pence in each.pence}))

    @property
    def none_stands(self) -> bool:
        """Whether under some answer none of the designs stands."""
        return any(each.design is None for each in self.decided)

    @property
    def decides(self) -> bool:
        """Whether the answer decides which design, which price, or whether there is one."""
        return self.none_stands or len(self.prices) > 1 or len({id(each.design) for each in self.decided}) > 1

    @property
    def weight(self) -> tuple[int, int, int, int, int, str]:
        """What decides most money or settles most comes first."""
        spread_pence = self.prices[-1] - self.prices[0] if self.prices else 0
        unknown = self.unknown
        return (-int(self.none_stands), -spread_pence, -len(unknown.settles), -len(unknown.may_settle),
                -len(unknown.asked_by), self.path)  # fmt: skip


@dataclass(frozen=True)
class Survey:
    """The visit list of a job, stage by stage.

    `not_needed`: read by a rule, not looked at or a range, and no answer tried makes a check of these designs stand
    worse. `usual`: no open check asks, but an answer out of the usual would make one stand worse, or a check that is
    for the designer reads it. `chosen`: every design decides these. `moves_price`: lengths on which only the price
    hangs.
    """

    job: Job
    proposal: Proposal | None
    why_no_money: str
    items: tuple[Item, ...]
    not_needed: tuple[str, ...]
    usual: tuple[str, ...]
    chosen: tuple[str, ...]
    moves_price: tuple[tuple[str, tuple[Decided, ...]], ...]

    @property
    def exit_status(self) -> int:
        """2 if something is to be found out, else 0."""
        return 2 if self.items else 0

    @cached_property
    def by_stage(self) -> tuple[tuple[str, tuple[Item, ...]], ...]:
        """The stages in the order of the visit, each with its items."""
        names = dict.fromkeys(stage.name for stage in stages())
        grouped = ((name, tuple(each for each in self.items if each.stage.name == name)) for name in names)
        return tuple((name, items) for name, items in grouped if items)


@lru_cache(maxsize=1)
def stages() -> tuple[Stage, ...]:
    """The rows of visit_stages.csv, in the order of a visit."""
    text = resources.files("ampwright.assess").joinpath("visit_stages.csv").read_text(encoding="utf-8")
    return tuple(Stage(row["stage"], row["prefix"], row["instrument"], tuple(row["cautions"].split("; "))
                       if row["cautions"] else ()) for row in csv.DictReader(text.splitlines()))  # fmt: skip


def stage_of(path: str) -> Stage:
    """Where on the visit a path is looked at: the row with its instrument and the longest prefix that it has.

    A row for that very field goes first, then one for the instrument, then the longest prefix.
    """
    pattern = pattern_of(path)
    asked = fields().get(pattern)
    instrument = asked.instrument if asked else ""
    fits = [each for each in stages() if pattern.startswith(each.prefix) and each.instrument in ("", instrument)]
    return max(fits, key=lambda each: (each.prefix == pattern, each.instrument != "", len(each.prefix)))


def survey(job: Job, catalogue: Catalogue) -> Survey:
    """The visit list for a job and the designs that a catalogue offers for it.

    Where nothing can be searched, or no design stands, the list comes from the job as entered and has no money in it.
    """
    try:
        proposal, why = propose(job, catalogue), ""
    except (CannotSearch, CannotPrice) as bad:
        return visit(job, None, str(bad))
    return visit(job, proposal, why) if proposal.front else visit(job, None, NO_FRONT)


def visit(job: Job, proposal: Proposal | None, why_no_money: str = "") -> Survey:
    """The visit list for a job and its proposal, or for the job as entered."""
    paths = _not_known(job)
    front = Front(job, tuple(dict.fromkeys((*paths, *_asked_for(job, proposal)))), proposal)
    of_designs = _merged(_asked_by_designs(front)) if proposal else {}
    as_entered = {each.path: _once(each) for each in assess(job).to_find_out}
    chosen = tuple(path for path in as_entered if path not in of_designs and path in front.fixed)
    found = {path: each for path, each in (as_entered | of_designs).items() if path not in chosen}
    bare = {path: Unknown(path, (), (), ()) for path in front.hangs_on_offer() if path not in found}
    reference = front.contenders[0].job if front.contenders else job
    by_design, standing = {*of_designs, *bare}, assess(reference)
    items = [_item(front, each, each.path in by_design, standing) for each in (*found.values(), *bare.values())]
    items = [each for each in items if each.unknown.asked_by or each.decides]
    listed = {each.path for each in items}
    rest = [path for path in paths if path not in listed and path not in front.fixed and path in front.read]
    lengths = [path for path in rest if pattern_of(path) == LENGTH and front.contenders]
    looked_at = [path for path in rest if path not in lengths and _is_looked_at(path)]
    usual = tuple(path for path in looked_at if front.matters(path))
    return Survey(job, proposal, why_no_money, tuple(sorted(items, key=lambda each: each.weight)),
                  tuple(path for path in looked_at if path not in usual), usual, chosen,
                  tuple((path, front.decided(path)) for path in lengths))  # fmt: skip


def _asked_for(job: Job, proposal: Proposal | None) -> Iterator[str]:
    """What open checks of the job as entered and of the first design ask for, looked at or not."""
    for of in (job, *(design.job for design in (proposal.front[:1] if proposal else ()))):
        yield from (each.path for each in assess(of).to_find_out if pattern_of(each.path) in fields())


def _not_known(job: Job) -> tuple[str, ...]:
    """Every field that nobody looked at, and every range."""
    paths = [path for pattern in fields() for path in spread(job, pattern) if pattern_of(path) in fields()]
    return tuple(path for path in paths if not path.startswith(READ_AFTER)
                 and (at(job, path) in (None, ()) or loose(job, (path,))))  # fmt: skip


def _is_looked_at(path: str) -> bool:
    """Whether it is seen on a visit: no choice of the installer's, and no test of the finished work."""
    return fields()[pattern_of(path)].instrument not in NOT_LOOKED_AT and not path.startswith(TESTS)


def _asked_by_designs(front: Front) -> Iterator[Unknown]:
    """What each open check hangs on, once for each kind of design that the check can tell apart."""
    for rule in BOOK.regulations:
        for each in front.open_situations(rule):
            yield from assess(each.job, rule.name).to_find_out


def _merged(unknowns: Iterator[Unknown]) -> dict[str, Unknown]:
    """One unknown a path: a check counts as settled only if it is on every design that asks."""
    found: dict[str, Unknown] = {}
    for each in unknowns:
        before = found.get(each.path, Unknown(each.path, (), (), ()))
        (rule,) = each.asked_by
        settles = set(before.settles) - {rule} if rule not in each.settles else (
            {*before.settles, rule} if rule not in before.asked_by else set(before.settles))  # fmt: skip
        found[each.path] = Unknown(each.path, _in_order({*before.asked_by, rule}), _in_order(settles),
                                   _in_order({*before.may_settle, *each.may_settle}))  # fmt: skip
    return found


def _once(each: Unknown) -> Unknown:
    """The same with every check named once."""
    return Unknown(each.path, *(_in_order(set(rules)) for rules in (each.asked_by, each.settles, each.may_settle)))


def _in_order(names: set[str]) -> tuple[str, ...]:
    return tuple(rule.name for rule in BOOK.regulations if rule.name in names)


def _item(front: Front, unknown: Unknown, of_designs: bool, standing: Assessment) -> Item:
    turnings = tuple(_turnings(standing, unknown))
    return Item(unknown, stage_of(unknown.path), of_designs, front.decided(unknown.path), turnings)


def _turnings(assessment: Assessment, unknown: Unknown) -> Iterator[Turning]:
    """Where the open checks that ask for it turn, everything else held as it is."""
    for check in assessment.checks:
        if check.verdict is Verdict.NOT_YET_KNOWN and unknown.path in check.needs:
            turning = turning_values(assessment.job, assessment.book.regulation(check.rule), unknown.path)
            kinds = {each.verdict for each in (turning.stretches or turning.answers)} if turning else set()
            if turning is not None and kinds != {Verdict.NOT_YET_KNOWN}:
                yield turning
