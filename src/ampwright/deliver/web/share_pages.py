"""Links for customers: made on a page of the job, and the one page that such a link opens, to be read only."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from functools import cache
from importlib import resources
from itertools import groupby
from typing import Any

from fastapi import APIRouter, Request, Response

from ampwright.deliver.store.firms import FirmStore
from ampwright.deliver.store.sharing import LONGEST_DAYS_COUNT, Share
from ampwright.deliver.store.values import Values, value_at
from ampwright.deliver.web.contexts import Head
from ampwright.deliver.web.controls import in_words_now
from ampwright.deliver.web.look import error_page, show
from ampwright.deliver.web.site import Form, Here, Site, head, see
from ampwright.deliver.web.visitors import door_of, session_of

USUAL_DAYS_COUNT = 30
router = APIRouter(default_response_class=Response)
Row = tuple[str, str]


@dataclass(frozen=True, slots=True)
class SharePage:
    """The links to a job that still open it, each with its address."""

    head: Head
    links: tuple[tuple[Share, str], ...]
    headings: tuple[str, ...]
    days_count: int = USUAL_DAYS_COUNT
    longest_count: int = LONGEST_DAYS_COUNT
    faults: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CustomerPage:
    """What a customer sees of their job."""

    title: str
    reference: str
    firm: str
    expires: str
    groups: tuple[tuple[str, tuple[Row, ...]], ...]


@router.get("/jobs/{name}/share")
def shared(request: Request, site: Here, name: str) -> Response:
    """The links to a job."""
    return _page(request, site, name)


@router.post("/jobs/{name}/share")
def make(request: Request, site: Here, name: str, typed: Form) -> Response:
    """Make a link."""
    site.store.read(name)
    person, days = session_of(request).person, typed.get("days", "")
    try:
        door_of(request).shares.make(job=name, firm=person.firm, who=person.name,
                                     days=int(days) if re.fullmatch(r"\d{1,4}", days) else 0)  # fmt: skip
    except ValueError as wrong:
        return _page(request, site, name, (str(wrong),))
    return see(f"/jobs/{name}/share")


@router.post("/jobs/{name}/share/{share}/end")
def end(request: Request, site: Here, name: str, share: str) -> Response:
    """End a link."""
    site.store.read(name)
    door_of(request).shares.end(share, job=name, firm=session_of(request).person.firm)
    return see(f"/jobs/{name}/share")


@router.get("/shared/{token}")
def customer(request: Request, token: str) -> Response:
    """What a customer sees, by a link that still opens it."""
    door = request.app.state.door
    share = door.shares.of(token) if door else None
    if share is None:
        return error_page(request, 404, "This link opens nothing", "It ran out, was ended, or is not whole. Ask your "
                          "electrician for a new one.")  # fmt: skip
    store = FirmStore(door.store, share.firm)
    job, _ = store.read(share.job)
    firm = door.people.firm_name(share.firm)
    page = CustomerPage(job.title or "Your charge point", job.reference or "", firm, share.expires,
                        seen(store.values(share.job)))  # fmt: skip
    return show(request, "customer", page)


def seen(values: Values) -> tuple[tuple[str, tuple[Row, ...]], ...]:
    """What of a job a customer may see and is known: the rows of customer.csv, without the surveyor's notes."""
    groups = []
    for heading, rows in groupby(customer_rows(), key=lambda row: row["heading"]):
        found = [(row["says"], in_words_now(row["path"], _bare(value))) for row in rows
                 if (value := value_at(values, row["path"])) is not None]  # fmt: skip
        if found:
            groups.append((heading, tuple(found)))
    return tuple(groups)


@cache
def customer_rows() -> tuple[dict[str, str], ...]:
    """The table of what a customer may see."""
    text = resources.files("ampwright.deliver.web").joinpath("customer.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))


def _bare(value: Any) -> Any:
    """A reading without why it is a range and what it was read with."""
    if isinstance(value, dict):
        return {name: each for name, each in value.items() if name in ("value", "low", "high")}
    return value


def _page(request: Request, site: Site, name: str, faults: tuple[str, ...] = ()) -> Response:
    job, _ = site.store.read(name)
    shares = door_of(request).shares
    base = f"{request.url.scheme}://{request.headers['host']}"
    links = tuple((each, f"{base}/shared/{shares.token(each)}")
                  for each in shares.of_job(name, session_of(request).person.firm))  # fmt: skip
    headings = tuple(dict.fromkeys(row["heading"] for row in customer_rows()))
    return show(request, "share", SharePage(head(name, job), links, headings, faults=faults), 422 if faults else 200)
