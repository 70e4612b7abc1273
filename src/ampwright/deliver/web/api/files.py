"""A job's own files: which it has, read, put."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Path, Response

from ampwright.deliver import own_files
from ampwright.deliver.own_files import BadFile
from ampwright.deliver.store.job_files import FileReused
from ampwright.deliver.web.api import shapes_of_files as shapes
from ampwright.deliver.web.api.bodies import body_of
from ampwright.deliver.web.api.jobs import Document, Id, Read, told_of
from ampwright.deliver.web.api.problems import Refused
from ampwright.deliver.web.api.routes import BASE, BODY, ApiRoute, problems, sent
from ampwright.deliver.web.api.shapes_of_jobs import Outcome
from ampwright.deliver.web.file_pages import as_file
from ampwright.deliver.web.site import Here
from ampwright.job.faults import Fault

router = APIRouter(prefix=BASE, route_class=ApiRoute, tags=["jobs"])
Which = Annotated[shapes.Which, Path(description="Which of the files that a job can name.")]


@router.get("/jobs/{job}/files", response_model=shapes.JobFiles, responses=problems("no-such-job"))
def list_files(site: Here, job: Id, found: Read) -> Response:
    """The files of one's own that a job names, whether the server has them, and what was read in from each."""
    held = own_files.files_of(site.store, job, found[0]).held
    told: list[dict[str, Any]] = []
    for which, field in own_files.FIELDS.items():
        file = held.get(field.path)
        said = {"says": file.says, "sha256": file.hash, "at": file.at, "who": file.who} if file else {
            "says": "", "sha256": "", "at": "", "who": ""}  # fmt: skip
        told.append({"which": which, "path": field.path, "name": own_files.name_in(found[0], which) or None,
                     "held": file is not None, **said})  # fmt: skip
    return Document({"files": told})


@router.get("/jobs/{job}/files/{which}", response_class=Response,
            responses=problems("no-such-job", "no-such-file") | {200: {"description": "The file.", "content": {
                "application/octet-stream": {"schema": {"type": "string", "format": "binary"}}}}})  # fmt: skip
def read_file(site: Here, job: Id, which: Which, found: Read) -> Response:
    """A file that a job names, byte for byte as it was put in."""
    name = own_files.name_in(found[0], which)
    content = site.store.files.content(job, name) if name else None
    if content is None:
        says = "the server holds no such file; put it in first" if name else "the job names no such file"
        raise Refused("no-such-file", Fault(None, own_files.FIELDS[which].path, says))
    return as_file(content, name)


@router.post("/jobs/{job}/files/{which}", response_model=Outcome, openapi_extra=sent(shapes.PutFile),
             responses=problems("no-such-job", "not-a-file", "not-a-job", "other-file", *BODY))  # fmt: skip
def put_file(site: Here, job: Id, which: Which,
             new: Annotated[shapes.PutFile, Depends(body_of(shapes.PutFile))]) -> Response:  # fmt: skip
    """Keep a file with a job and name it in the record. All faults of it are told at once, by their lines.

    What it says is read in by the very reader of the commands; of a file with a fault nothing is kept.
    """
    try:
        outcome = own_files.put(site.store, job, which, new.name, new.text.encode(), base=new.base,
                                operation=new.operation, who=site.who, origin=site.origin)  # fmt: skip
    except BadFile as bad:
        raise Refused("not-a-file", *bad.says) from bad
    except FileReused as wrong:
        raise Refused("other-file", str(wrong)) from wrong
    return Document(told_of(site, job, new.operation, outcome))
