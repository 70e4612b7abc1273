"""The files of the user's own that a job names: put in on the page that asks for them, and given out again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from starlette.datastructures import UploadFile

from ampwright.deliver import own_files
from ampwright.deliver.own_files import BadFile
from ampwright.deliver.store.job_files import FileReused, plain_name
from ampwright.deliver.store.store import OperationReused
from ampwright.deliver.web.contexts import FileField
from ampwright.deliver.web.look import error_page
from ampwright.deliver.web.site import Here, Site, Typed, base_of, how, kept, operation_of
from ampwright.deliver.web.visitors import FORM_SIZE
from ampwright.job.files import BadJobFile
from ampwright.job.paths import at
from ampwright.job.record import Job
from ampwright.working import capital

router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, slots=True)
class Sent:
    """What a form brought: a file by its name, and the texts."""

    name: str
    content: bytes
    typed: Typed


async def sent(request: Request) -> Sent:
    """The file of a form."""
    name, content, typed = "", b"", {}
    async with request.form(**FORM_SIZE) as form:
        for key, value in form.multi_items():
            if isinstance(value, UploadFile):
                name, content = value.filename or name, await value.read() or content
            else:
                typed[key] = value
    return Sent(name, content, typed)


def file_fields(site: Site, job: str, record: Job, head: int,
                wanted: Callable[[str], bool] = bool) -> tuple[FileField, ...]:  # fmt: skip
    """The fields that name a file, those of wanted paths. Raises NoSuchJob."""
    held = own_files.files_of(site.store, job, record).held
    return tuple(FileField(which, each.path, each.title, each.hint, at(record, each.path) or "", held.get(each.path),
                           head, operation_of())
                 for which, each in own_files.FIELDS.items() if wanted(each.path))  # fmt: skip


@router.get("/jobs/{name}/files/{which}")
def give_out(request: Request, site: Here, name: str, which: str) -> Response:
    """The file that a field names, as it was put in."""
    record, _ = site.store.read(name)
    named = own_files.name_in(record, which)
    content = site.store.files.content(name, named) if named else None
    if content is None:
        return _none_such(request)
    return as_file(content, named)


def _none_such(request: Request) -> Response:
    return error_page(request, 404, "There is no such file", "The sunshine forecast of the job lists what there is.")


def as_file(content: bytes, name: str) -> Response:
    """A file to be saved under its name, and never to be run or shown as a page."""
    plain = plain_name(name)
    return Response(content, media_type="application/octet-stream",
                    headers={"Content-Disposition": f'attachment; filename="{plain}"'})  # fmt: skip


@router.post("/jobs/{name}/files/{which}")
def put(request: Request, site: Here, name: str, which: str, given: Annotated[Sent, Depends(sent)]) -> Response:
    """Keep a file and name it in the record; of one that cannot be used nothing is kept, and everything told."""
    site.store.read(name)
    if which not in own_files.FIELDS:
        return _none_such(request)
    try:
        if not given.name:
            raise BadFile(("choose a file first",))
        own_files.put(site.store, name, which, given.name, given.content, base=base_of(given.typed),
                      **how(site, given.typed))  # fmt: skip
    except BadFile as bad:
        return error_page(request, 422, "The file was not taken in", "Nothing was changed. Put this right in the "
                          "file, go one page back and send it again.", bad.says)  # fmt: skip
    except BadJobFile as bad:
        return error_page(request, 422, "The file was not taken in", "Nothing was changed: the job would not stand "
                          "with it.", tuple(map(str, bad.faults)))  # fmt: skip
    except (FileReused, OperationReused) as wrong:
        return error_page(request, 409, "The file was not taken in", capital(str(wrong)) + ".")
    return kept(name, given.typed)
