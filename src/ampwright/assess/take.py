"""What would it take: for each check that a job does not meet, the smallest single changes that meet it.

Each is found by search and verified by the rules: the check is then met or does not apply, and every check that the
change would break instead, or leave open, is named with it. Nothing is proposed that a rule has not judged.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ampwright.assess.assessment import Assessment
from ampwright.assess.catalogue import Catalogue
from ampwright.assess.take_choices import by_choices
from ampwright.assess.take_levers import GOOD, Candidate, Changes, Failing, by_levers
from ampwright.job.paths import changed
from ampwright.rules.book import Book
from ampwright.working import Verdict

MOST_COUNT = 6
TRIED_COUNT = 8
UNSETTLED = (Verdict.NOT_YET_KNOWN, Verdict.FOR_THE_DESIGNER)


@dataclass(frozen=True, slots=True)
class Remedy:
    """One change that meets `rule`: in words, and as new values by path.

    `breaks` are checks that were not failing and would be not met; `unsettles` are checks that were met or did not
    apply and would be not yet known or the designer's to judge, and the rule itself where a load cap meets it once it
    is shown to stand; `also_mends` are other checks not met that it meets.
    """

    rule: str
    words: str
    changes: Changes
    breaks: tuple[str, ...] = ()
    unsettles: tuple[str, ...] = ()
    also_mends: tuple[str, ...] = ()

    @property
    def clean(self) -> bool:
        """Whether it mends the check and harms no other."""
        return not self.breaks and not self.unsettles

    def needless_beside(self, other: Remedy) -> bool:
        """Whether it is the other and more besides, and the more mends nothing."""
        holds = all(self.changes.get(path) == value for path, value in other.changes.items())
        return holds and other.clean and set(self.also_mends) <= set(other.also_mends)


def what_would_it_take(assessment: Assessment, catalogue: Catalogue) -> dict[str, tuple[Remedy, ...]]:
    """For each check not met, by rule: the smallest change of each kind that meets it, the cleanest first.

    At most six for each check. An empty tuple says that no single change mends it.
    """
    before = {check.rule: check.verdict for check in assessment.checks}
    return {rule: _remedies(assessment, rule, before, catalogue)
            for rule, verdict in before.items() if verdict is Verdict.NOT_MET}  # fmt: skip


def _remedies(assessment: Assessment, rule: str, before: dict[str, Verdict],
              catalogue: Catalogue) -> tuple[Remedy, ...]:  # fmt: skip
    failing = Failing(assessment.job, assessment.book.regulation(rule))
    moved = [_verified(each, failing, assessment.book, before) for each in by_levers(failing)]
    chosen = [found for kind in by_choices(failing, catalogue)
              if (found := _cleanest(kind, failing, assessment.book, before, moved))]  # fmt: skip
    ranked = sorted((*moved, *chosen), key=_burden)
    return tuple(ranked[:MOST_COUNT])


def _cleanest(kind: Iterable[Candidate], failing: Failing, book: Book, before: dict[str, Verdict],
              moved: list[Remedy]) -> Remedy | None:  # fmt: skip
    """The first clean one of the smallest few, else that which harms least. None where a lever already moved just
    the same fields by as little as will do."""
    found: list[Remedy] = []
    for each in list(kind)[:TRIED_COUNT]:
        if any(each.changes == move.changes or (move.clean and each.changes.keys() <= move.changes.keys())
               for move in moved):  # fmt: skip
            return None
        remedy = _verified(each, failing, book, before)
        if any(remedy.needless_beside(move) for move in moved):
            continue
        found.append(remedy)
        if remedy.clean:
            break
    return min(found, key=lambda each: (len(each.breaks), len(each.unsettles)), default=None)


def _verified(candidate: Candidate, failing: Failing, book: Book, before: dict[str, Verdict]) -> Remedy:
    """Ask every rule of the job as it would then be."""
    job = changed(failing.job, candidate.changes)
    after = {name: book.regulation(name)(job).verdict for name in before}
    breaks = tuple(name for name, verdict in after.items()
                   if verdict is Verdict.NOT_MET and before[name] is not Verdict.NOT_MET)  # fmt: skip
    unsettles = tuple(name for name, verdict in after.items()
                      if verdict in UNSETTLED and (before[name] in GOOD or name == failing.rule.name))  # fmt: skip
    mends = tuple(name for name, verdict in after.items() if verdict in GOOD and before[name] is Verdict.NOT_MET)
    also_mends = tuple(name for name in mends if name != failing.rule.name)
    return Remedy(failing.rule.name, candidate.words, candidate.changes, breaks, unsettles, also_mends)


def _burden(remedy: Remedy) -> tuple[int, int, int]:
    return len(remedy.breaks), len(remedy.unsettles), len(remedy.changes)
