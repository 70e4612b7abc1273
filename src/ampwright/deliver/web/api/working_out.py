"""Answers that take seconds: a few at a time, each kept a while, and why a job has none put into one shape."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
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
from ampwright.deliver.own_files import files_of
from ampwright.deliver.store.store import Store
from ampwright.deliver.web.api.problems import Refused
from ampwright.job import half_hourly
from ampwright.job.faults import Fault
from ampwright.job.fields import in_words
from ampwright.job.record import Job

AT_ONCE_COUNT = 2
WAIT_S, AGAIN_S = 5.0, 20
KEPT_COUNT = 8
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
    except half_hourly.BadReadings as bad:
        raise Refused("no-answer-yet", *bad.says) from bad
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


def sunshine(store: Store, name: str, job: Job, *, seed: int, years_count: int,
             goal_percent: float | None) -> Forecast:  # fmt: skip
    """The forecast of a job, by its files. Raises Refused where there is none, or where a file that it names is not in
    the store.
    """
    files = files_of(store, name, job)
    missing = [Fault(None, path, f"{in_words(path)}: the server holds no such file; put it in first")
               for path in files.missing]  # fmt: skip
    if missing:
        raise Refused("no-answer-yet", *missing)
    from ampwright.assess.forecast.skies import source_of

    with at_work(), told_why(), files.folder(store, name) as folder:
        return forecast(job, folder, source_of(job, seed, folder), seed=seed, years_count=years_count,
                        goal_percent=goal_percent)  # fmt: skip


@lru_cache(maxsize=KEPT_COUNT)
def _proposal(job: Job, rows: Catalogue) -> Proposal:
    return propose(job, rows)


@lru_cache(maxsize=KEPT_COUNT)
def _visit(job: Job, rows: Catalogue) -> Survey:
    return visit_list(job, rows)
