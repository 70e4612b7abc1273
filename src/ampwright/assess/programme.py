"""What is owed to whom by when: the clocks of `gb/clocks`, started and stopped by the dates in the record."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from ampwright.assess.book import BOOK
from ampwright.facts import Row, constant, rows
from ampwright.job.paths import at, loose
from ampwright.job.record import Job
from ampwright.reading import BEST, WORST
from ampwright.rules.gb.parts.demand import lines
from ampwright.rules.gb.parts.sources import INVERTERS, inverter_gaps, other_sources_a
from ampwright.working import Verdict, Working

State = Literal["overdue", "owed", "find out", "not started", "runs", "kept", "ended", "done", "done late"]
OPEN: tuple[State, ...] = ("overdue", "owed", "find out")
ORDER: tuple[State, ...] = ("overdue", "owed", "runs", "find out", "not started", "kept", "done late", "done", "ended")
GB_BUILDING = ("England", "Wales")


@dataclass(frozen=True, slots=True)
class Due:
    """One clock of a job. `by`: its last day; `day`: the day on which it was done; `ask`: the path to find out."""

    clock: str
    state: State
    owed_to: str
    says: str
    by: datetime.date | None
    day: datetime.date | None
    ask: str | None
    source: str
    trust: str


def programme(job: Job, on: datetime.date) -> tuple[Due, ...]:
    """Every clock that bears on this job, as it stands on that day: what presses first, then by its last day."""
    found = [*_network(job, on), *_generation(job, on), *_building(job, on), *_cancellation(job, on),
             *_grant(job, on), *_register(job, on)]  # fmt: skip
    return tuple(sorted(found, key=lambda due: (ORDER.index(due.state), due.by or datetime.date.max, due.clock)))


def last_day(start: datetime.date, row: Row) -> datetime.date:
    """The last day of a clock that starts on that day: so many days after it, or the same day so many years on.

    The 29th of February goes on to the 1st of March where the year has none.
    """
    count = int(row["span"])
    if row["unit"] == "days":
        return start + datetime.timedelta(days=count)
    try:
        return start.replace(year=start.year + count)
    except ValueError:
        return datetime.date(start.year + count, 3, 1)


def _network(job: Job, on: datetime.date) -> Iterator[Due]:
    """Told after, or asked before: the rule on the network notice says which."""
    check = BOOK.regulation("network_notice")(job)
    row = _row("network_notice")
    if check.verdict is Verdict.MET:
        yield _due(job, row, on)
    elif check.verdict is Verdict.FOR_THE_DESIGNER:
        agreed, installed = _by_then(job.dates.operator_agreed, on), job.dates.installed
        state: State = "owed"
        if agreed is not None:
            state = "done" if installed is None or agreed <= installed else "done late"
        elif installed is not None and installed <= on:
            state = "overdue"
        yield _with(row, state, check.says, by=_before(installed, job, on), day=agreed)
    else:
        yield _with(row, "find out", f"Whether the operator is told after or asked before hangs on: {check.says}",
                    ask=check.needs[0] if check.needs else None)  # fmt: skip


def _generation(job: Job, on: datetime.date) -> Iterator[Due]:
    """Generation and storage of this job, the car's with them: told after, or asked before where a line has more."""
    ours, notice, consent = job.generation, _row("generation_notice"), _row("generation_consent")
    if ours.part_of_this_job is None and (ours.fitted or job.storage.fitted):
        yield _with(notice, "find out", "Whether generation or storage is owed a notice hangs on who fits it.",
                    ask="generation.part_of_this_job")  # fmt: skip
    if not ours.part_of_this_job:
        return
    if job.storage.coupling == "DC":  # it has no inverter of its own
        job = replace(job, storage=replace(job.storage, fitted=False))
    limit_a = constant("gb/network_notice", "generation_notify_per_phase_a").value
    least_a, most_a = (max(other_sources_a(job, line, end, Working()) for line in lines(job)) for end in (BEST, WORST))
    agreed, put_to_work = ours.approval_reference, _by_then(ours.commissioned, on)
    if least_a > limit_a:
        state: State = "done" if agreed else "overdue" if put_to_work else "owed"
        says = f"{consent['says']}; here it is {least_a:g} A."
        yield _with(consent, state, says, by=_before(ours.commissioned, job, on),
                    ask=None if agreed else consent["done"])  # fmt: skip
    elif gaps := (*inverter_gaps(job), *(loose(job, INVERTERS) if most_a > limit_a else ())):
        yield _with(notice, "find out", "Whether the operator is told after or asked before hangs on the rating of "
                    "each inverter.", ask=gaps[0])  # fmt: skip
    else:
        yield _due(job, notice, on)


def _before(done: datetime.date | None, job: Job, on: datetime.date) -> datetime.date | None:
    """The day before which the operator is asked: that of the work, else the day planned for it if that is to come."""
    planned = job.dates.planned
    return done or (planned if planned is not None and planned >= on else None)


def _building(job: Job, on: datetime.date) -> Iterator[Due]:
    nation = job.site.nation
    if nation is None:
        yield _not_held("building control", "Which notice is wanted hangs on the nation.", "site.nation")
    elif nation in GB_BUILDING:
        yield _due(job, _row("building_notice", nation), on)
    else:
        yield _not_held("the building standards office", f"No clock of {nation}'s building rules is held here: ask.")


def _not_held(owed_to: str, says: str, ask: str | None = None) -> Due:
    return Due("building_notice", "find out", owed_to, says, None, None, ask, "", "not held")


def _cancellation(job: Job, on: datetime.date) -> Iterator[Due]:
    away, row = job.dates.away_from_premises, _row("cancellation")
    if away is None:
        yield _with(row, "find out", "Whether the contract may be cancelled hangs on where it was made.",
                    ask="dates.away_from_premises")  # fmt: skip
    elif away:
        yield _due(job, row, on)


def _grant(job: Job, on: datetime.date) -> Iterator[Due]:
    window, applied = _row("grant_window"), job.dates.grant_applied
    if not job.dates.grant_wanted and applied is None:
        return
    last = datetime.date.fromisoformat(window["until"])
    first = datetime.date.fromisoformat(window["from"])
    if applied is None:
        yield _with(window, "owed" if on <= last else "ended", window["says"], by=last)
        return
    if not first <= applied <= last:
        yield _with(window, "find out", f"No grant window is held here for an application of {applied}: ask the grant "
                    "office.", by=last)  # fmt: skip
    yield _due(job, _row("grant_claim"), on)


def _register(job: Job, on: datetime.date) -> Iterator[Due]:
    row, entered = _row("sales_register"), _by_then(job.dates.registered, on)
    if _by_then(job.dates.installed, on) is None:
        yield _with(row, "not started", row["says"], ask=None if job.dates.installed else row["starts"])
    elif entered is None:
        yield _with(row, "owed", f"Enter the sale in your register: {row['says']}.", ask="dates.registered")
    else:
        yield _due(job, row, on)


def _due(job: Job, row: Row, on: datetime.date) -> Due:
    """A clock by its start, its span, and the day on which it was done."""
    start, day = at(job, row["starts"]), _by_then(at(job, row["done"]), on) if row["done"] else None
    if start is None:
        return _with(row, "not started", row["says"], ask=row["starts"])
    by = last_day(start, row)
    return _with(row, _state(row["kind"], by, day, on), row["says"], by=by, day=day)


def _by_then(day: datetime.date | None, on: datetime.date) -> datetime.date | None:
    """A day that had come by then: what is dated later was not yet done."""
    return day if day is not None and day <= on else None


def _state(kind: str, by: datetime.date, day: datetime.date | None, on: datetime.date) -> State:
    if kind == "keeps":
        return "kept" if on <= by else "ended"
    if kind == "runs":
        return "runs" if on <= by else "ended"
    if day is not None:
        return "done" if day <= by else "done late"
    return "owed" if on <= by else "overdue"


def _with(row: Row, state: State, says: str, *, by: datetime.date | None = None, day: datetime.date | None = None,
          ask: str | None = None) -> Due:  # fmt: skip
    where = ", ".join(each for each in (row["edition"], row["where"]) if each)
    return Due(row["clock"], state, row["owed_to"], says, by, day, ask, where, row["trust"])


def _row(clock: str, nation: str = "") -> Row:
    return next(row for row in rows("gb/clocks") if (row["clock"], row["nation"]) == (clock, nation))
