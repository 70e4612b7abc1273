"""What every page stands on: the store, who is there, the form that came, and where to go after it."""

from __future__ import annotations

import datetime
import re
import secrets
from dataclasses import dataclass, field
from typing import Annotated
from urllib.parse import quote

from fastapi import Depends, Request, Response
from fastapi.responses import RedirectResponse
from starlette.datastructures import UploadFile

from ampwright.deliver.store.clock import british, utc_now
from ampwright.deliver.store.store import Store
from ampwright.deliver.web.contexts import Head
from ampwright.deliver.web.runs import Runs
from ampwright.deliver.web.visitors import FORM_SIZE, seen_by
from ampwright.job.record import Job

ORIGIN = "a page on this machine"
Typed = dict[str, str]


@dataclass(frozen=True, slots=True)
class Site:
    """What the pages stand on: the store, the name that changes are kept under, and the long runs."""

    store: Store
    who: str
    origin: str = ORIGIN
    runs: Runs = field(default_factory=Runs)


async def posted(request: Request) -> Typed:
    """The texts of a form; an uploaded file that is no UTF-8 text is empty, and named under `not-text`."""
    typed: Typed = {}
    async with request.form(**FORM_SIZE) as form:
        for name, value in form.multi_items():
            if not isinstance(value, UploadFile):
                typed[name] = value
            elif value.size:
                try:
                    typed[name] = (await value.read()).decode("utf-8-sig")
                except UnicodeDecodeError:
                    typed["not-text"] = value.filename or "the file"
    return typed


def site_of(request: Request) -> Site:
    """What the app stands on."""
    found: Site = request.app.state.site
    return seen_by(request, found)


Form = Annotated[Typed, Depends(posted)]
Here = Annotated[Site, Depends(site_of)]


def kept(name: str, typed: Typed) -> Response:
    """On to what the form's operation changed."""
    return see(f"/jobs/{name}/done/{quote(typed.get('operation', ''), safe='')}")


def how(site: Site, typed: Typed) -> dict[str, str]:
    """Under which operation, by whom and where a form's changes were made."""
    return {"operation": operation_of(typed), "who": site.who, "origin": site.origin}


def operation_of(typed: Typed | None = None) -> str:
    """The operation id that a form brought, or a new one for a form to bring. A form without one gets its own."""
    if typed is None:
        return secrets.token_hex(16)
    if not re.fullmatch(r"[0-9a-zA-Z-]{8,64}", typed.get("operation", "")):
        typed["operation"] = secrets.token_hex(16)
    return typed["operation"]


def base_of(typed: Typed) -> int:
    """The newest change that a form showed."""
    text = typed.get("base", "")
    return int(text) if re.fullmatch(r"\d{1,15}", text) else 0


def head(name: str, record: Job) -> Head:
    """What every page of a job begins with."""
    return Head(name, title_of(record), record.reference or "", record)


def title_of(record: Job) -> str:
    """What a job is called."""
    return record.title or record.reference or "A job without a name"


def today() -> datetime.date:
    """The day by the British clock."""
    return british(utc_now()).date()


def shown(body: bytes, media: str, name: str) -> Response:
    """A file that a browser shows by itself, under that name."""
    return Response(body, media_type=media, headers={"Content-Disposition": f'inline; filename="{name}"'})


def see(address: str) -> Response:
    """On to another page."""
    return RedirectResponse(address, status_code=303)
