"""The rules on the bench: asked about many variants of one job, each answer worked out once."""

from __future__ import annotations

import operator
from collections.abc import Callable, Mapping
from typing import Any

from ampwright.assess.search.tracing import Trace
from ampwright.job.record import Job
from ampwright.rules.regulation import Regulation
from ampwright.working import Verdict

Values = Mapping[str, Any]
Key = tuple[Any, ...]
RANK = {Verdict.MET: 0, Verdict.DOES_NOT_APPLY: 0, Verdict.NOT_YET_KNOWN: 1, Verdict.FOR_THE_DESIGNER: 2,
        Verdict.NOT_MET: 3}  # fmt: skip
SETTLED, OPEN, JUDGED, FAILED = 0, 1, 2, 3
A_ROUTE_OF_ITS_OWN = ("network_notice",)
MUST_BE_SHOWN = ("cable_carries_device_rating", "voltage_drop", "disconnection_in_time")


def rank_of(rule: Regulation, verdict: Verdict) -> int:
    """How a verdict ranks in the search.

    To ask the operator first is as good a route as to tell them after (decision 8). That a cable is thick enough and
    a fault cleared must be shown: where the tables end nothing is, and no size is proposed on a person's word.
    """
    rank = RANK[verdict]
    if rank == JUDGED and rule.name in A_ROUTE_OF_ITS_OWN:
        return SETTLED
    return FAILED if rank == JUDGED and rule.name in MUST_BE_SHOWN else rank


class Bench:
    """One job and the fields of it that a design decides.

    `rank(rule, values)` is 0 where the rule is met or does not apply, 1 not yet known, 2 for the designer, 3 not
    met. `values` must hold every path of `decided`. An answer is kept under the values of the decided fields that
    the rule read, and given again to every variant that agrees in them.
    """

    def __init__(self, job: Job, decided: tuple[str, ...]) -> None:
        self.decided = frozenset(decided)
        self.judged_count = 0
        self._trace = Trace(job)
        self._held: dict[str, Any] = {}
        self._answers: dict[str, dict[tuple[str, ...], tuple[Callable[[Values], Key], dict[Key, int]]]] = {}
        self._reads: dict[str, set[str]] = {}

    def rank(self, rule: Regulation, values: Values) -> int:
        """How the rule stands with this variant of the job."""
        for pick, known in self._answers.get(rule.name, {}).values():
            rank = known.get(pick(values))
            if rank is not None:
                return rank
        return self._worked_out(rule, values)

    def reads(self, rule: Regulation) -> frozenset[str]:
        """The decided fields that the rule has been seen to read so far."""
        return frozenset(self._reads.get(rule.name, ()))

    def _worked_out(self, rule: Regulation, values: Values) -> int:
        for path in self.decided:
            value = values[path]
            if path not in self._held or self._held[path] is not value:
                self._trace.put(path, value)
                self._held[path] = value
        self._trace.forget()
        rank = rank_of(rule, rule(self._trace.job).verdict)
        self.judged_count += 1
        read = tuple(sorted(self._trace.read & self.decided))
        pick, known = self._answers.setdefault(rule.name, {}).setdefault(read, (_picker(read), {}))
        known[pick(values)] = rank
        self._reads.setdefault(rule.name, set()).update(read)
        return rank


def _picker(read: tuple[str, ...]) -> Callable[[Values], Key]:
    """What takes the values read out of a variant."""
    if not read:
        return lambda values: ()
    if len(read) == 1:
        return lambda values: (values[read[0]],)
    return operator.itemgetter(*read)
