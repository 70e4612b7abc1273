"""A look through past jobs, put together the same for the command, the API and the page."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from ampwright.assess.recall.again import Rules, Told, judged_again, untold
from ampwright.assess.recall.condition import BadCondition, Condition, condition, says
from ampwright.assess.recall.finding import find
from ampwright.assess.recall.given_tables import editions_given
from ampwright.deliver.recall import Recalled
from ampwright.job.files import BadJobFile
from ampwright.job.record import Job
from ampwright.working import written_day

Named = tuple[str, Callable[[], Job]]
AS_THEY_ARE = Rules()


class BadAsking(ValueError):
    """What was asked cannot be understood; `faults` says everything that is wrong with which of the questions."""

    def __init__(self, *faults: tuple[str, str]) -> None:
        super().__init__("\n".join(says for _, says in faults))
        self.faults = faults


@dataclass(frozen=True, slots=True)
class Asking:
    """What is asked of every job, as typed; and the edition or the day by which those found are judged again."""

    conditions: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    under: str = ""
    rules: Rules = AS_THEY_ARE

    def understood(self) -> tuple[Condition, ...]:
        """The conditions. Raises BadAsking with all faults."""
        found, faults = [], []
        for number, each in enumerate(self.conditions):
            try:
                found.append(condition(each))
            except BadCondition as bad:
                faults.append((f"conditions[{number}]", str(bad)))
        known = editions_given(self.rules.tables)
        if self.rules.edition is not None and self.rules.edition not in known:
            faults.append(("edition", f"the book knows no edition {self.rules.edition!r}, only {', '.join(known)}"))
        if faults:
            raise BadAsking(*faults)
        return (*found, *(says(each) for each in self.words))


def recalled(jobs: Iterable[Named], asking: Asking, told: Told = untold) -> Recalled:
    """Every job that holds what is asked, judged again where that is wanted. A job that cannot be read is listed.

    Raises BadAsking, BadTables, and whatever `told` does to break it off.
    """
    conditions, unread = asking.understood(), list[str]()
    read = list(_read(list(jobs), unread, told))
    found = tuple(find(read, conditions, asking.under))
    wanted = found if asking.rules != AS_THEY_ARE else ()
    again = judged_again([(each.name, each.job) for each in wanted], asking.rules, told) if wanted else []
    return Recalled(conditions, len(read), found, rules_words(asking.rules), tuple(again), tuple(unread))


def rules_words(rules: Rules) -> str:
    """By what the jobs are judged again; nothing if they are not."""
    said = (rules.edition or "", f"the rules of {written_day(rules.day)}" if rules.day else "",
            f"the tables of {rules.tables}" if rules.tables else "")  # fmt: skip
    return ", ".join(each for each in said if each)


def day_of(text: str) -> datetime.date | None:
    """A day as it is typed; None for nothing. Raises BadAsking."""
    try:
        return datetime.date.fromisoformat(text) if text else None
    except ValueError as bad:
        raise BadAsking(("day", f"{text[:20]} is no day; write it as 2026-06-03")) from bad


def _read(jobs: Sequence[Named], unread: list[str], told: Told) -> Iterator[tuple[str, Job]]:
    for number, (name, read) in enumerate(jobs):
        told("jobs looked through", number, len(jobs))
        try:
            yield name, read()
        except BadJobFile as bad:
            unread.append(f"{name}: {bad}" if name not in str(bad) else str(bad))
