"""A firm's past jobs looked through, for the page and the API alike."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from ampwright.deliver.recall import Recalled
from ampwright.deliver.recalling import Asking, Named, recalled
from ampwright.deliver.store.store import Store
from ampwright.deliver.web.runs import Run, Runs
from ampwright.job.record import Job


def jobs_of(store: Store) -> Iterator[Named]:
    """Every job of the firm, read when it is looked at."""
    return ((name, partial(_job, store, name)) for name in store.names())


def begun_again(runs: Runs, store: Store, asking: Asking) -> Run:
    """The run that judges again what was found among the jobs as they stand. Raises BadAsking."""
    asking.understood()
    return runs.begin(_key(store, asking), lambda told: recalled(jobs_of(store), asking, told), store.firm)


def found_again(runs: Runs, store: Store, asking: Asking) -> Recalled | None:
    """What that run found, if it is done and no job was changed since."""
    run = runs.found(_key(store, asking))
    found: Recalled | None = None if run is None else run.answer()
    return found


def _key(store: Store, asking: Asking) -> tuple[object, ...]:
    return "recall", store.firm, asking, tuple(store.heads().items())


def _job(store: Store, name: str) -> Job:
    return store.read(name)[0]
