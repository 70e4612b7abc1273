"""A batch across machines: a queue in the firm's PostgreSQL, and workers wherever there are any.

Whatever a worker does twice, the unique key of the results keeps once.
"""

from __future__ import annotations

import asyncio
import json
import logging
from collections.abc import Iterable
from typing import Any

import procrastinate
import sqlalchemy as sql
from procrastinate.exceptions import AlreadyEnqueued, ConnectorException
from procrastinate.schema import SchemaManager

from ampwright.deliver.batch.pool import Task, perform
from ampwright.deliver.batch.results import Key, Results
from ampwright.deliver.batch.sources import Kept
from ampwright.deliver.batch.steps import step_of
from ampwright.deliver.store.databases import engine, plain_address
from ampwright.deliver.store.shape import LOCK

QUEUE = "ampwright-batch"
TRIES_COUNT, WAIT_S = 5, 2
_LOG = logging.getLogger(__name__)


def make_queue(place: str) -> None:
    """Make the queue's tables where there are none; several at once make them once."""
    opened = engine(place)
    with opened.connect().execution_options(isolation_level="READ COMMITTED") as link, link.begin():
        link.execute(sql.select(sql.func.pg_advisory_xact_lock(LOCK)))
        if not sql.inspect(link).has_table("procrastinate_jobs"):
            driver = link.connection.driver_connection
            assert driver is not None
            driver.execute(SchemaManager.get_schema())
    opened.dispose()


def put_in_queue(place: str, tasks: Iterable[Task], kept: set[Key]) -> int:
    """Queue what has no result and is not queued yet; how many were."""
    app = procrastinate.App(connector=procrastinate.SyncPsycopgConnector(conninfo=plain_address(place)))
    count = 0
    with app.open():
        for task in tasks:
            if task.key in kept:
                continue
            told: dict[str, Any] = {"name": task.name, "fingerprint": task.fingerprint, "step": task.step.name,
                    "settings": dict(task.settings)}  # fmt: skip
            try:
                app.configure_task("work", queue=QUEUE, queueing_lock=json.dumps(task.key)).defer(**told)
                count += 1
            except AlreadyEnqueued:
                continue  # an earlier batch asked for the very same
    return count


def in_hand(place: str) -> set[Key]:
    """What is queued or worked on: a result is still to come."""
    app = procrastinate.App(connector=procrastinate.SyncPsycopgConnector(conninfo=plain_address(place)))
    with app.open():
        return {tuple(json.loads(each.queueing_lock)) for status in ("todo", "doing")
                for each in app.job_manager.list_jobs(queue=QUEUE, status=status) if each.queueing_lock}  # fmt: skip


async def work(place: str, *, silent_s: float, wait: bool, at_once_count: int = 1) -> None:
    """Do what is queued; what a worker had in hand that was silent for `silent_s` is queued again."""
    app = _worker_app(place)
    async with app.open_async():
        rescuing = asyncio.create_task(_rescue(app, silent_s))
        working = asyncio.create_task(app.run_worker_async(
            queues=[QUEUE], concurrency=at_once_count, wait=wait, fetch_job_polling_interval=min(5.0, silent_s),
            update_heartbeat_interval=silent_s / 4, stalled_worker_timeout=silent_s))  # fmt: skip
        finished, _ = await asyncio.wait({rescuing, working}, return_when=asyncio.FIRST_COMPLETED)
        for each in finished:
            each.result()
        rescuing.cancel()


async def _rescue(app: procrastinate.App, silent_s: float) -> None:
    while True:
        for each in await app.job_manager.get_stalled_jobs(queue=QUEUE, seconds_since_heartbeat=silent_s):
            try:
                await app.job_manager.retry_job(each)
            except ConnectorException as wrong:
                _LOG.info("another worker has queued job %s again, or has done it: %s", each.id, wrong)
        await asyncio.sleep(silent_s / 2)


def _worker_app(place: str) -> procrastinate.App:
    app = procrastinate.App(connector=procrastinate.PsycopgConnector(conninfo=plain_address(place)))
    results = Results(place)

    @app.task(name="work", queue=QUEUE, retry=procrastinate.RetryStrategy(max_attempts=TRIES_COUNT, wait=WAIT_S))
    def _work(name: str, fingerprint: str, step: str, settings: dict[str, Any]) -> None:
        task = Task(Kept(place), name, fingerprint, step_of(step, in_store=True), settings)
        if not results.has(task.key):
            results.keep(task.key, perform(task))

    return app
