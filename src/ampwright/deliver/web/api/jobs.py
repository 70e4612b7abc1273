"""Jobs: list, begin, read, change, undo, decide, history."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Path, Query, Response

from ampwright.deliver.store.history import Change, Outcome
from ampwright.deliver.store.store import NoSuchJob
from ampwright.deliver.web import contexts, done
from ampwright.deliver.web.api import shapes_of_jobs as shapes
from ampwright.deliver.web.api.bodies import body_of
from ampwright.deliver.web.api.problems import Refused, written
from ampwright.deliver.web.api.routes import BASE, BODY, ApiRoute, problems, sent
from ampwright.deliver.web.judging import judged
from ampwright.deliver.web.site import Here, Site
from ampwright.job.faults import Fault
from ampwright.job.files import built, dump, values_of
from ampwright.job.record import VERSION, Job
from ampwright.working import Verdict

router = APIRouter(prefix=BASE, route_class=ApiRoute, tags=["jobs"])
Id = Annotated[str, Path(max_length=64, description="The id of a job.", examples=["0123456789abcdef"])]
At = Annotated[int | None, Query(ge=0, le=shapes.LARGEST_NUMBER,
                                 description="As it stood after this change, not as it stands.")]  # fmt: skip


class Document(Response):
    """A document as JSON."""

    media_type = "application/json"

    def render(self, content: Any) -> bytes:
        """The bytes of it."""
        return written(content)


def record_at(site: Here, job: Id, at: At = None) -> tuple[Job, int]:
    """A job as it stands, or stood, and its newest change then. Raises NoSuchJob, Refused."""
    record, head = site.store.read(job, at)
    if head == 0 and at is not None and site.store.history(job)[-1].changes:
        raise Refused("no-such-job", Fault(None, "at", "the job was not begun yet then; ask for a later change"))
    return record, head


Read = Annotated[tuple[Job, int], Depends(record_at)]


@router.get("/jobs", response_model=shapes.JobList, responses=problems("nothing-here"))
def list_jobs(site: Here, limit: Annotated[int, Query(ge=1, le=100, description="How many at most.")] = 50,
              after: Annotated[str | None, Query(max_length=64, description="`next` of the page before.")] = None,
              ) -> Response:  # fmt: skip
    """List the jobs, the oldest first."""
    names = site.store.names()
    if after is not None and after not in names:
        raise Refused("nothing-here", Fault(None, "after", "there is no such job; begin the list again"))
    left = names[names.index(after) + 1:] if after is not None else names
    listed = [{"id": name, **_heading(*site.store.read(name))} for name in left[:limit]]
    return Document({"jobs": listed, "next": left[limit - 1] if len(left) > limit else None})


@router.post("/jobs", response_model=shapes.Outcome, status_code=201, responses=problems("not-a-job", *BODY),
             openapi_extra=sent(shapes.NewJob))  # fmt: skip
def begin(site: Here, new: Annotated[shapes.NewJob, Depends(body_of(shapes.NewJob))]) -> Response:
    """Begin a job, from a record or from the text of a job file. All faults are told at once."""
    if "record" in new.model_fields_set and new.record.get("version") != VERSION:
        raise Refused("not-a-job", Fault(None, "version", f"write {VERSION}; a job of an older shape is sent as file"))
    text = new.file if "file" in new.model_fields_set else dump(built(new.record))
    name = site.store.take_in(text, operation=new.operation, who=site.who, origin=site.origin)
    first = site.store.history(name)[-1]
    answer = told_of(site, name, first.id, Outcome(first.changes, (), site.store.read(name)[1]))
    return Document(answer, 201, {"Location": f"/api/v1/jobs/{name}"})


@router.get("/jobs/{job}", response_model=shapes.JobRead, responses=problems("no-such-job"))
def read(site: Here, job: Id, found: Read) -> Response:
    """Read a job: its record, its newest change (`head`), and the entries that wait for a decision."""
    record, head = found
    waiting = [_change(each) for each in site.store.open_conflicts(job)]
    return Document({"id": job, **_heading(record, head), "record": values_of(record), "conflicts": waiting})


@router.get("/jobs/{job}/file", response_class=Response,
            responses=problems("no-such-job") | {200: {"description": "The job file.", "content": {
                "application/yaml": {"schema": {"$ref": "#/components/schemas/JobRecord"}}}}})  # fmt: skip
def read_file(found: Read) -> Response:
    """Read a job as the text of its job file; the header Ampwright-Head has its newest change."""
    return Response(dump(found[0]), media_type="application/yaml", headers={"Ampwright-Head": str(found[1])})


@router.post("/jobs/{job}/changes", response_model=shapes.Outcome,
             responses=problems("no-such-job", "not-a-job", *BODY), openapi_extra=sent(shapes.Changes))  # fmt: skip
def change(site: Here, job: Id, new: Annotated[shapes.Changes, Depends(body_of(shapes.Changes))]) -> Response:
    """Set fields of a job.

    Fields that nobody else changed since `base` are taken. One that was changed to something else is not lost and not
    taken: it is `held`, and waits for POST /jobs/{job}/decisions.
    """
    outcome = site.store.change(job, new.changes, base=new.base, **_how(site, new.operation))
    return Document(told_of(site, job, new.operation, outcome))


@router.post("/jobs/{job}/undo", response_model=shapes.Outcome, openapi_extra=sent(shapes.Undo),
             responses=problems("no-such-job", "not-to-be-undone", "not-a-job", *BODY))  # fmt: skip
def undo(site: Here, job: Id, wanted: Annotated[shapes.Undo, Depends(body_of(shapes.Undo))]) -> Response:
    """Take an operation back. It stays in the history, and so does this."""
    outcome = site.store.undo(job, wanted.of, **_how(site, wanted.operation))
    return Document(told_of(site, job, wanted.operation, outcome))


@router.post("/jobs/{job}/decisions", response_model=shapes.Outcome, openapi_extra=sent(shapes.Decide),
             responses=problems("no-such-job", "not-to-be-undone", "not-a-job", *BODY))  # fmt: skip
def decide(site: Here, job: Id, wanted: Annotated[shapes.Decide, Depends(body_of(shapes.Decide))]) -> Response:
    """Decide which of two entries of the same field stands."""
    outcome = site.store.settle(job, wanted.conflict, keep_held=wanted.take == "held",
                                **_how(site, wanted.operation))  # fmt: skip
    return Document(told_of(site, job, wanted.operation, outcome))


@router.get("/jobs/{job}/history", response_model=shapes.History, responses=problems("no-such-job", "nothing-here"))
def history(site: Here, job: Id, limit: Annotated[int, Query(ge=1, le=200, description="How many at most.")] = 100,
            after: Annotated[str | None, Query(max_length=64, description="`next` of the page before.")] = None,
            ) -> Response:  # fmt: skip
    """Everything that was done to a job, the newest first."""
    told = site.store.history(job)
    ids = [each.id for each in told]
    if after is not None and after not in ids:
        raise Refused("nothing-here", Fault(None, "after", "there is no such operation; begin the list again"))
    left = told[ids.index(after) + 1:] if after is not None else told
    shown = [{"id": each.id, "who": each.who, "at": each.at, "origin": each.origin, "undoes": each.undoes,
              "settles": each.settles, "changes": [_change(one) for one in each.changes]}
             for each in left[:limit]]  # fmt: skip
    return Document({"operations": shown, "next": left[limit - 1].id if len(left) > limit else None})


def _how(site: Site, operation: str) -> dict[str, str]:
    return {"operation": operation, "who": site.who, "origin": site.origin}


def _heading(record: Job, head: int) -> dict[str, Any]:
    return {"title": record.title, "reference": record.reference, "head": head}


def _change(each: Change) -> dict[str, Any]:
    return {"seq": each.seq, "path": each.path, "old": each.old, "new": each.new, "held": each.held}


def told_of(site: Site, job: str, operation: str, outcome: Outcome) -> dict[str, Any]:
    """What came of an operation, and what it moved in the checks."""
    told = site.store.history(job)
    done_by = next((each for each in told if each.id == operation), None)
    if done_by is None:
        raise NoSuchJob(f"there is no job {job[:40]}")
    now = judged(site.store.read(job)[0])
    moved = done.page(site.store, contexts.Head(job, "", ""), told, done_by, "")
    before = {each.check.rule: each.before.value for each in moved.turned}
    turned = [{"rule": each.rule, "asks": each.asks, "was": before.get(each.rule, each.verdict.value),
               "verdict": each.verdict.value, "says": each.says}
              for each in (*(one.check for one in moved.turned), *moved.reworded)]  # fmt: skip
    checks = {"status": now.exit_status, "turned": turned, "asked_now": list(moved.newly_asked),
              "no_longer_asked": list(moved.no_longer_asked),
              "tally": {verdict.value: now.count(verdict) for verdict in Verdict}}  # fmt: skip
    taken, held = ([_change(each) for each in some] for some in (outcome.taken, outcome.held))
    return {"job": job, "operation": operation, "head": outcome.head, "taken": taken, "held": held, "checks": checks}
