"""What is owed, as text for a terminal, as JSON and as an iCalendar."""

from __future__ import annotations

import datetime
import hashlib
from collections import Counter
from collections.abc import Sequence
from typing import Any

from icalendar import Calendar, Event

from ampwright.assess.programme import OPEN, Due
from ampwright.deliver.screen import wrapped
from ampwright.job.fields import in_words
from ampwright.job.record import Job
from ampwright.working import capital, written_day

Jobs = Sequence[tuple[str, Job, tuple[Due, ...]]]
WARN_DAYS = 7
STATED = {"overdue": "OVERDUE", "owed": "OWED", "find out": "FIND OUT", "not started": "not started", "runs": "RUNS",
          "kept": "to be kept", "ended": "ended", "done": "done", "done late": "DONE LATE"}  # fmt: skip
NOTE = ("Days are calendar days, counted from the day after; the tool sends nothing to anybody. What a notice must "
        "hold, and whether it is owed at all, is the law's, the scheme's and the operator's.")  # fmt: skip


def due_text(jobs: Jobs, on: datetime.date) -> str:
    """Job by job, what presses first."""
    blocks = []
    for name, job, found in jobs:
        lines = [f"{job.title or job.reference or name}, on {written_day(on)}"]
        for due in found:
            lines += wrapped(f"{STATED[due.state]}: {due.clock.replace('_', ' ')}, {due_words(due, on)}", 4)
            lines += wrapped(f"[{due.source}; {due.trust}]", 8) if due.source else []
        blocks.append("\n".join(lines))
    return "\n\n".join([*blocks, "\n".join(wrapped(NOTE, 0))])


def due_words(due: Due, on: datetime.date) -> str:
    """One clock: until when, to whom, and what."""
    when = ""
    if due.by is not None and due.state in ("overdue", "owed", "runs"):
        days = (due.by - on).days
        left = f"{_days(-days)} ago" if days < 0 else "today" if days == 0 else f"in {_days(days)}"
        when = f"until {written_day(due.by)} ({left}); "
    elif due.by is not None:
        when = f"until {written_day(due.by)}; "
    done = "" if due.day is None else f"done on {written_day(due.day)}; "
    ask = "" if due.ask is None else f" Note down: {in_words(due.ask)}."
    return f"{when}{done}to {due.owed_to}. {capital(due.says).rstrip('.')}.{ask}"


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"


def exit_status(jobs: Jobs) -> int:
    """1 if something is overdue, else 2 if something is owed or to be found out, else 0."""
    states = {due.state for _, _, found in jobs for due in found}
    return 1 if "overdue" in states else 2 if states & set(OPEN) else 0


def due_json(jobs: Jobs, on: datetime.date) -> dict[str, Any]:
    """What is owed, ready for json.dumps."""
    return {"format": 1, "on": on.isoformat(), "status": exit_status(jobs), "jobs": [
        {"file": name, "title": job.title, "reference": job.reference, "due": [
            {"clock": due.clock, "state": due.state, "owed_to": due.owed_to, "says": due.says,
             "by": due.by and due.by.isoformat(), "day": due.day and due.day.isoformat(), "ask": due.ask,
             "source": due.source, "trust": due.trust} for due in found]}
        for name, job, found in jobs]}  # fmt: skip


def due_calendar(jobs: Jobs, on: datetime.date) -> bytes:
    """A calendar with an entry on the last day of each clock that still runs; the same for the same jobs and day.

    An entry is known by the job's reference and its file's name, so two jobs under one title keep their own entries.
    """
    calendar = Calendar()
    calendar.add("prodid", "-//Ampwright//what is owed//EN")
    calendar.add("version", "2.0")
    seen: Counter[str] = Counter()
    for name, job, found in jobs:
        key = f"{job.reference or ''}|{name}"
        seen[key] += 1
        for due in found:
            if due.by is not None and due.state in ("overdue", "owed", "runs", "kept"):
                calendar.add_component(_event(name, job, due, on, f"{key}|{seen[key]}|{due.clock}"))
    return bytes(calendar.to_ical())


def _event(name: str, job: Job, due: Due, on: datetime.date, key: str) -> Event:
    event, by = Event(), due.by or on
    told = job.reference or job.title or name
    event.add("uid", f"{hashlib.sha256(key.encode()).hexdigest()[:32]}@ampwright")
    event.add("dtstamp", datetime.datetime.combine(on, datetime.time(), datetime.UTC))
    event.add("dtstart", by)
    event.add("dtend", by + datetime.timedelta(days=1))
    event.add("summary", f"{told}: last day, {due.owed_to}")
    event.add("description", f"{due.says} [{due.source}; {due.trust}]")
    return event
