"""The photos of a job: the list, one image, and what a phone sends."""

from __future__ import annotations

import re
import secrets
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from starlette.datastructures import UploadFile

from ampwright.deliver.store.photos import Photo, PhotoReused
from ampwright.deliver.store.values import NoSuchPlace, is_place
from ampwright.deliver.web import contexts
from ampwright.deliver.web.images import NoPhoto, redrawn
from ampwright.deliver.web.look import error_page, show
from ampwright.deliver.web.site import Here, head, see
from ampwright.deliver.web.visitors import FORM_SIZE

router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, slots=True)
class PhotosPage:
    """Every photo of a job."""

    head: contexts.Head
    photos: tuple[Photo, ...]


@dataclass(frozen=True, slots=True)
class Sent:
    """What a form of photos brought: each file by its name, the field that they show, and the operation's id."""

    path: str
    operation: str
    files: tuple[tuple[str, bytes], ...]


async def sent(request: Request) -> Sent:
    """The photos of a form."""
    files = []
    async with request.form(**FORM_SIZE) as form:
        for each in form.getlist("photo"):
            if isinstance(each, UploadFile) and each.size:
                files.append((each.filename or "the photo", await each.read()))
        texts = {name: value for name, value in form.multi_items() if isinstance(value, str)}
    operation = texts.get("operation", "")
    if not re.fullmatch(r"[0-9a-zA-Z-]{8,60}", operation):
        operation = secrets.token_hex(16)
    return Sent(texts.get("path", ""), operation, tuple(files))


@router.get("/jobs/{name}/photos")
def photos(request: Request, site: Here, name: str) -> Response:
    """The list of photos of a job."""
    record, _ = site.store.read(name)
    return show(request, "photos", PhotosPage(head(name, record), site.store.photos.of_job(name)))


@router.get("/jobs/{name}/photos/{photo}")
def image(request: Request, site: Here, name: str, photo: str) -> Response:
    """One photo."""
    site.store.read(name)
    content = site.store.photos.content(name, photo)
    if content is None:
        return error_page(request, 404, "There is no such photo", "The list of photos has all of them.")
    return Response(content, media_type="image/jpeg")


@router.post("/jobs/{name}/photos")
def take(request: Request, site: Here, name: str, given: Annotated[Sent, Depends(sent)]) -> Response:
    """Keep the photos of a form: all of them, or none where one of them is none."""
    site.store.read(name)
    faults = [] if given.files else ["choose a photo first"]
    if not is_place(given.path):
        faults.append("say which reading it shows; load the page again if none is offered")
    drawn = []
    for called, content in given.files:
        try:
            drawn.append((redrawn(content), content))
        except NoPhoto as wrong:
            faults.append(f"the file {called}: {wrong}")
    if faults:
        return error_page(request, 422, "No photo was taken in", "Put this right, and send them again.", tuple(faults))
    try:
        for number, (content, original) in enumerate(drawn):
            operation = given.operation if not number else f"{given.operation}-{number}"
            site.store.photos.add(name, given.path, content, sent=original, operation=operation, who=site.who,
                                  origin=site.origin)  # fmt: skip
    except (PhotoReused, NoSuchPlace) as wrong:
        return error_page(request, 409, "This was sent before with another photo", str(wrong))
    return see(f"/jobs/{name}/photos")
