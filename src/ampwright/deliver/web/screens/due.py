"""What is due: each clock of the job as it stands today, what presses first."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from ampwright.assess.programme import Due, programme
from ampwright.deliver.due import NOTE, STATED, due_calendar, due_words
from ampwright.deliver.web.contexts import Head
from ampwright.deliver.web.look import show
from ampwright.deliver.web.site import Here, head
from ampwright.job.british_clock import to_clock
from ampwright.working import capital, written_day

LOOKS = {"overdue": "not-met", "owed": "not-known", "find out": "not-known", "runs": "yours", "done": "met",
         "done late": "not-met"}  # fmt: skip
router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, slots=True)
class DuePage:
    """Every clock of a job on one day."""

    head: Head
    on: datetime.date
    found: tuple[Due, ...]
    note: str = NOTE

    @property
    def day(self) -> str:
        """The day in words."""
        return written_day(self.on)

    def look(self, due: Due) -> str:
        """The class of a state's colour; the same is said in words."""
        return LOOKS.get(due.state, "not-here")

    def state(self, due: Due) -> str:
        """A state in words."""
        return STATED[due.state].capitalize()

    def words(self, due: Due) -> str:
        """Until when, to whom, and what."""
        said = due_words(due, self.on)
        return capital(said)


@router.get("/jobs/{name}/due")
def due(request: Request, site: Here, name: str) -> Response:
    """The clocks of a job today."""
    job, _ = site.store.read(name)
    return show(request, "due", DuePage(head(name, job), _today(), programme(job, _today())))


@router.get("/jobs/{name}/due.ics")
def calendar(site: Here, name: str) -> Response:
    """The last days as a calendar file."""
    job, _ = site.store.read(name)
    held = due_calendar([(name, job, programme(job, _today()))], _today())
    return Response(held, media_type="text/calendar", headers={"Content-Disposition": 'attachment; filename="due.ics"'})


def _today() -> datetime.date:
    """The day by the British clock."""
    return to_clock(datetime.datetime.now(datetime.UTC).replace(tzinfo=None)).date()
