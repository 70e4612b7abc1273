"""Long runs: each in a thread, asked after by its address, told bit by bit, and broken off where somebody says so.

A run is known by what it works out (`key`), so that the same question twice is one run and its answer is kept.
"""

from __future__ import annotations

import asyncio
import json
import secrets
from collections.abc import AsyncIterator, Callable, Hashable
from concurrent.futures import CancelledError, Future, ThreadPoolExecutor, wait
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from threading import Event, Lock
from typing import Any

from fastapi import APIRouter, FastAPI, Request, Response
from fastapi.responses import JSONResponse, StreamingResponse

KEPT_COUNT = 64
EVERY_S = 0.2
Told = Callable[[str, int, int], None]
router = APIRouter(default_response_class=Response)


class BrokenOff(Exception):
    """Somebody broke the run off."""


@dataclass(eq=False)
class Run:
    """One run: what it does now, how far it is (`count` is 0 where that cannot be said), and its answer when done.

    `firm` is whose it is, where the API tells of it; None where a page alone does.
    """

    id: str
    firm: str | None = None
    words: str = "waits for another run to end"
    done_count: int = 0
    count: int = 0
    stop: Event = field(default_factory=Event)
    future: Future[Any] = field(default_factory=Future)

    @property
    def state(self) -> str:
        """`runs`, `done` (its answer may be that it cannot be worked out) or `broken off`."""
        if not self.future.done():
            return "broken off" if self.stop.is_set() else "runs"
        if self.future.cancelled() or isinstance(self.future.exception(), BrokenOff):
            return "broken off"
        return "done"

    def tell(self, words: str, done: int, count: int) -> None:
        """Say how far it is. Raises BrokenOff where nobody wants the answer any more."""
        if self.stop.is_set():
            raise BrokenOff
        self.words, self.done_count, self.count = words, done, count

    def answer(self) -> Any:
        """Its answer, waited for. Raises what the work raised, and BrokenOff."""
        try:
            return self.future.result()
        except CancelledError as gone:
            raise BrokenOff from gone


class Runs:
    """The runs of this server, one at a time; the last few answers are kept."""

    def __init__(self) -> None:
        self._pool = ThreadPoolExecutor(1, "run")
        self._by_key: dict[Hashable, Run] = {}
        self._lock = Lock()

    def begin(self, key: Hashable, work: Callable[[Told], Any], firm: str | None = None) -> Run:
        """The run of this key: the one that there is, or a new one; with a firm the API tells of it."""
        with self._lock:
            found = self._by_key.get(key)
            if found is not None and found.state != "broken off":
                return found
            run = self._by_key[key] = Run(secrets.token_hex(8), firm)
            while len(self._by_key) > KEPT_COUNT:
                oldest = next(iter(self._by_key))
                self._by_key.pop(oldest).stop.set()
            run.future = self._pool.submit(work, run.tell)
            return run

    def found(self, key: Hashable) -> Run | None:
        """The run of this key, if its answer is there."""
        run = self._by_key.get(key)
        return run if run is not None and run.state == "done" else None

    def of(self, run_id: str) -> Run | None:
        """The run of this address."""
        return next((each for each in list(self._by_key.values()) if each.id == run_id), None)

    def break_off(self, run_id: str) -> None:
        """Ask a run to end; it does so where it next says how far it is."""
        run = self.of(run_id)
        if run is not None and not run.future.done():
            run.stop.set()
            run.future.cancel()

    def close(self) -> None:
        """End every run, so that the server can."""
        for each in list(self._by_key.values()):
            self.break_off(each.id)
        self._pool.shutdown(wait=False, cancel_futures=True)


def begun(request: Request, run: Run, after: str) -> Response:
    """The answer to a form that begins a run: for a page that listens its address, else the page once it is done."""
    if "application/json" in request.headers.get("accept", ""):
        return JSONResponse({"run": run.id, "after": after}, 202)
    wait([run.future])
    return Response(status_code=303, headers={"Location": after})


@asynccontextmanager
async def ended_with(app: FastAPI) -> AsyncIterator[None]:
    """The life of the server, with which every run ends."""
    yield
    app.state.site.runs.close()


@router.get("/runs/{run_id}/events")
def events(request: Request, run_id: str) -> Response:
    """How far a run is, as server-sent events, until it ends."""
    run = request.app.state.site.runs.of(run_id)
    if run is None:
        return Response(status_code=404)
    return StreamingResponse(_told(run), media_type="text/event-stream")


@router.post("/runs/{run_id}/break-off")
def break_off(request: Request, run_id: str) -> Response:
    """Break a run off."""
    request.app.state.site.runs.break_off(run_id)
    return Response(status_code=204)


async def _told(run: Run) -> AsyncIterator[str]:
    said = None
    while run.state == "runs":
        now = {"words": run.words, "done": run.done_count, "count": run.count}
        if now != said:
            said = now
            yield f"event: far\ndata: {json.dumps(now)}\n\n"
        await asyncio.sleep(EVERY_S)
    yield f"event: end\ndata: {json.dumps({'state': run.state})}\n\n"
