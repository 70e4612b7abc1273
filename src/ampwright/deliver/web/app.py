"""The server: this machine alone or who signs in, no script or style but its own, no form that another site sends."""

from __future__ import annotations

import getpass
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from importlib import resources

from fastapi import Depends, FastAPI, Request, Response
from fastapi.staticfiles import StaticFiles
from sqlalchemy.exc import OperationalError

from ampwright.deliver.certificates import Authority
from ampwright.deliver.figures import BadFigures
from ampwright.deliver.store.shape import Place
from ampwright.deliver.store.store import NoSuchJob, Store
from ampwright.deliver.web import (
    account_pages,
    figures_page,
    file_pages,
    offline_pages,
    people_pages,
    phone_pages,
    photo_pages,
    recall_page,
    runs,
    share_pages,
)
from ampwright.deliver.web.api.problems import turned_away
from ampwright.deliver.web.api.router import router as api
from ampwright.deliver.web.look import error_page
from ampwright.deliver.web.pages import router
from ampwright.deliver.web.screens import (
    design,
    due,
    issued,
    load_cap,
    paper_list,
    price,
    proposals,
    sensors,
    sheet,
    sketch,
    sunshine,
    way,
)
from ampwright.deliver.web.site import Site
from ampwright.deliver.web.visitors import Door, GoTo, Refused, admitted, sent_on, too_often

ROUTERS = (router, account_pages.router, people_pages.router, share_pages.router, phone_pages.router, runs.router,
           photo_pages.router, offline_pages.router, load_cap.router, sheet.router, sensors.router, proposals.router,
           design.router, price.router, due.router, sunshine.router, way.router,
           sketch.router, paper_list.router, issued.router, recall_page.router, figures_page.router,
           file_pages.router)  # fmt: skip
HOSTS = ("localhost", "127.0.0.1", "[::1]")
LARGEST_BYTES_COUNT = 2 * 1024 * 1024
LARGEST_PHOTOS_BYTES_COUNT = 24 * 1024 * 1024
LARGEST_FILE_BYTES_COUNT = 17 * 1024 * 1024  # the file, and the form around it
POLICY = ("default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
          "form-action 'self'; base-uri 'none'; frame-ancestors 'none'")  # fmt: skip
HEADERS = {"Content-Security-Policy": POLICY, "X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin",
           "Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Others:
    """For a server that others can reach: whether it answers by https, and the names it goes by."""

    secure: bool
    names: tuple[str, ...]


Next = Callable[[Request], Awaitable[Response]]


def create_app(place: Place, who: str = "", others: Others | None = None,
               authority: Authority | None = None) -> FastAPI:  # fmt: skip
    """The app over the jobs in that place. `who` is the name that changes are kept under; the login name without it.

    With `others` it answers to more than this machine, and only to who has signed in.
    """
    app = FastAPI(title="Ampwright", docs_url=None, redoc_url=None, lifespan=runs.ended_with,
                  dependencies=[Depends(admitted)])  # fmt: skip
    app.state.site = Site(Store(place), who or getpass.getuser())
    app.state.door = Door(app.state.site.store, others.secure) if others else None
    app.state.names = (*HOSTS, *others.names) if others else HOSTS
    app.state.limits = app.state.door.limits if app.state.door else None
    app.state.authority = authority
    for each in (*ROUTERS, api):
        app.include_router(each)
    static = resources.files("ampwright.deliver.web").joinpath("static")
    app.mount("/static", StaticFiles(directory=str(static)), name="static")
    app.middleware("http")(guard)
    app.exception_handler(Refused)(_refused)
    app.exception_handler(GoTo)(sent_on)
    app.exception_handler(NoSuchJob)(_no_job)
    app.exception_handler(BadFigures)(_old_figures)
    app.exception_handler(404)(no_page)
    app.exception_handler(OperationalError)(_no_store)
    return app


async def guard(request: Request, call_next: Next) -> Response:
    """Refuse what did not come from this machine's own pages; say on every answer what a page may do."""
    refused = refusal(request)
    response: Response = (turned_away(request, *refused) if refused
                          else too_often(request) or await call_next(request))  # fmt: skip
    for name, value in HEADERS.items():
        response.headers[name] = value
    if not request.url.path.startswith("/static/"):
        response.headers["Cache-Control"] = "no-store"
    return response


def refusal(request: Request) -> tuple[int, str] | None:
    """The status and the sentence with which a request is turned away, if it is."""
    host = request.headers.get("host", "")
    names = request.app.state.names
    if host.rsplit(":", 1)[0].lower() not in names and host.lower() not in names:
        if request.app.state.door:
            return 421, "This server does not go by that name; `ampwright serve --name` gives it another one."
        return 421, "This server answers on this machine alone; open it as http://localhost."
    if request.method in ("GET", "HEAD"):
        return None
    origin = request.headers.get("origin")
    if origin is not None and origin != f"{request.url.scheme}://{host}":
        return 403, "This form did not come from Ampwright's own page, so nothing was changed."
    if origin is None and request.headers.get("sec-fetch-site", "none") not in ("none", "same-origin"):
        return 403, "This form did not come from Ampwright's own page, so nothing was changed."
    length = request.headers.get("content-length", "")
    if not length.isdecimal():
        return 411, "The sender must say how long the form is."
    if "/files/" in request.url.path:
        says = "This file is over 16 MiB; a year of readings is far shorter, so is it the right file?"
        return (413, says) if int(length) > LARGEST_FILE_BYTES_COUNT else None
    if request.url.path.endswith("/photos"):
        says = "These photos are over 24 MiB together; send fewer at a time."
        return (413, says) if int(length) > LARGEST_PHOTOS_BYTES_COUNT else None
    if int(length) > LARGEST_BYTES_COUNT:
        return 413, "This is over 2 MiB, and no job file or list of figures is so long; is it the right file?"
    return None


def _refused(request: Request, wrong: Exception) -> Response:
    assert isinstance(wrong, Refused)
    return error_page(request, wrong.status, wrong.title, wrong.says)


def _no_job(request: Request, wrong: Exception) -> Response:
    return error_page(request, 404, "There is no such job here", "It may be in another store; the list shows all jobs.")


def _old_figures(request: Request, wrong: Exception) -> Response:
    says = ("An older Ampwright took them in. Put them right, or take them back, on the page of your own figures: the "
            "list of jobs leads to it.")  # fmt: skip
    lines = tuple(each.strip() for each in str(wrong).splitlines())
    return error_page(request, 409, "Your own figures cannot be read any more", says, lines)


def _no_store(request: Request, wrong: Exception) -> Response:
    says = ("Something else holds them, the disk is full, or the database does not answer. What you typed was not "
            "saved: go back and save it again.")  # fmt: skip
    return error_page(request, 503, "The jobs cannot be reached", says)


def no_page(request: Request, wrong: Exception) -> Response:
    """The answer where nothing is."""
    return error_page(request, 404, "There is no such page", "Go back to the list of jobs.")
