"""Past jobs: looked through at once, judged again as a long run that is asked after by its address."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Path, Response

from ampwright.deliver.recall import recall_json
from ampwright.deliver.recalling import BadAsking, recalled
from ampwright.deliver.web.api import shapes_of_past as shapes
from ampwright.deliver.web.api.bodies import body_of
from ampwright.deliver.web.api.jobs import Document
from ampwright.deliver.web.api.problems import Refused
from ampwright.deliver.web.api.routes import BASE, BODY, ApiRoute, problems, sent
from ampwright.deliver.web.api.working_out import at_work
from ampwright.deliver.web.looking_back import begun_again, jobs_of
from ampwright.deliver.web.runs import Run
from ampwright.deliver.web.site import Here, Site
from ampwright.job.faults import Fault

router = APIRouter(prefix=BASE, route_class=ApiRoute, tags=["past jobs"])
RunId = Annotated[str, Path(max_length=64, description="The id of a run.", examples=["0123456789abcdef"])]


@router.post("/recall", response_model=shapes.Recalled, responses=problems("at-work", *BODY),
             openapi_extra=sent(shapes.Ask))  # fmt: skip
def recall(site: Here, wanted: Annotated[shapes.Ask, Depends(body_of(shapes.Ask))]) -> Response:
    """Look through every job for a field, a value, some words or an edition: `ampwright recall`. Changes nothing."""
    try:
        with at_work():
            return Document(recall_json(recalled(jobs_of(site.store), wanted.asking())))
    except BadAsking as bad:
        raise _refused(bad) from bad


@router.post("/recall/again", response_model=shapes.RunTold, status_code=202, responses=problems(*BODY),
             openapi_extra=sent(shapes.AskAgain))  # fmt: skip
def again(site: Here, wanted: Annotated[shapes.AskAgain, Depends(body_of(shapes.AskAgain))]) -> Response:
    """Begin to judge past jobs again under another edition or day; the same question twice is one run."""
    try:
        run = begun_again(site.runs, site.store, wanted.asking())
    except BadAsking as bad:
        raise _refused(bad) from bad
    return Document(_told(run), 202, {"Location": f"{BASE}/runs/{run.id}"})


@router.get("/runs/{run}", response_model=shapes.RunTold, responses=problems("nothing-here"))
def read_run(site: Here, run: RunId) -> Response:
    """How far a run is, and its answer once it is done."""
    return Document(_told(_run_of(site, run)))


@router.post("/runs/{run}/break-off", response_model=shapes.RunTold,
             responses=problems("nothing-here", "no-length", "other-site", "too-large"))  # fmt: skip
def break_off(site: Here, run: RunId) -> Response:
    """Break a run off; nothing is sent. It ends where it next says how far it is."""
    found = _run_of(site, run)
    site.runs.break_off(found.id)
    return Document(_told(found))


def _run_of(site: Site, run: str) -> Run:
    """A run of this firm: those of others are not there."""
    found = site.runs.of(run)
    if found is None or found.firm != site.store.firm:
        raise Refused("nothing-here", Fault(None, "run", "there is no such run; the last few answers are kept"))
    return found


def _told(run: Run) -> dict[str, Any]:
    state = run.state
    return {"run": run.id, "state": state, "words": run.words, "done": run.done_count, "count": run.count,
            "answer": recall_json(run.answer()) if state == "done" else None}  # fmt: skip


def _refused(bad: BadAsking) -> Refused:
    return Refused("not-understood", *(Fault(None, path, says) for path, says in bad.faults))
