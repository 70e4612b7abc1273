"""Answers that take seconds: a few at a time, each kept a while, and why a job has none put into one shape."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from threading import BoundedSemaphore

from ampwright.assess.catalogue import Catalogue
from ampwright.assess.design import Proposal, propose
from ampwright.assess.forecast.forecast import CannotForecast, Forecast, forecast
from ampwright.assess.materials.drums import CannotCut
from ampwright.assess.price import CannotPrice
from ampwright.assess.route.faults import BadSketch
from ampwright.assess.route.routes import Routes, routes_for
from ampwright.assess.search.space import CannotSearch
from ampwright.assess.sensors.session import BadReadings
from ampwright.assess.sensors.singleline import BadSingleLine
from ampwright.assess.visit import Survey
from ampwright.assess.visit import survey as visit_list
from ampwright.deliver.figures import Figures
from ampwright.deliver.web.api.problems import Refused
from ampwright.job.faults import Fault
from ampwright.job.fields import in_words
from ampwright.job.paths import at
from ampwright.job.record import Job

AT_ONCE_COUNT = 2
WAIT_S, AGAIN_S = 5.0, 20
KEPT_COUNT = 8
FILES = ("site.weather_file", "installation.half_hourly.csv", "generation.own_csv")
_ROOM = BoundedSemaphore(AT_ONCE_COUNT)


@contextmanager
def at_work() -> Iterator[None]:
    """Room to work something long out. Raises Refused where others have it all."""
    if not _ROOM.acquire(timeout=WAIT_S):
        raise Refused("at-work", headers={"Retry-After": str(AGAIN_S)})
    try:
        yield
    finally:
        _ROOM.release()


@contextmanager
def told_why() -> Iterator[None]:
    """Put why a job has no answer into the shape of a problem."""
    try:
        yield
    except (BadSingleLine, BadReadings) as bad:
        raise Refused("no-answer-yet", *bad.faults) from bad
    except BadSketch as bad:
        raise Refused("no-answer-yet", *(Fault(None, "", str(each)) for each in bad.faults)) from bad
    except (CannotSearch, CannotPrice, CannotForecast, CannotCut) as bad:
        raise Refused("no-answer-yet", *(each.strip() for each in str(bad).splitlines())) from bad


def proposal(job: Job, figures: Figures) -> Proposal:
    """The designs for a job by these figures. Raises Refused where none can be sought."""
    with at_work(), told_why():
        return _proposal(job, figures.catalogue)


def visit(job: Job, figures: Figures) -> Survey:
    """The visit list of a job by these figures. Raises Refused where none can be made."""
    with at_work(), told_why():
        return _visit(job, figures.catalogue)


def routes(job: Job, figures: Figures, *, design: bool, whole: bool) -> Routes:
    """The routes on the sketch of a job by these figures. Raises Refused where none can be sought."""
    with at_work(), told_why(), figures.in_use():
        return routes_for(job, figures.catalogue if design else None, whole=whole)


def sunshine(job: Job, *, seed: int, years_count: int, goal_percent: float | None) -> Forecast:
    """The forecast of a job. Raises Refused where there is none, or where it rests on files, for none are here."""
    named = [Fault(None, each, f"{in_words(each)}: the server holds no such file; forecast it where the file is")
             for each in FILES if at(job, each)]  # fmt: skip
    if named:
        raise Refused("no-answer-yet", *named)
    from ampwright.assess.forecast.skies import source_of

    with at_work(), told_why():
        return forecast(job, Path(), source_of(job, seed, Path()), seed=seed, years_count=years_count,
                        goal_percent=goal_percent)  # fmt: skip


@lru_cache(maxsize=KEPT_COUNT)
def _proposal(job: Job, rows: Catalogue) -> Proposal:
    return propose(job, rows)


@lru_cache(maxsize=KEPT_COUNT)
def _visit(job: Job, rows: Catalogue) -> Survey:
    return visit_list(job, rows)
