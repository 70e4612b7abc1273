"""The server: this machine alone, no script or style but its own, no form that another site sends."""

from __future__ import annotations

import getpass
from collections.abc import Awaitable, Callable
from importlib import resources

from fastapi import FastAPI, Request, Response
from fastapi.staticfiles import StaticFiles
from sqlalchemy.exc import OperationalError

from ampwright.deliver.store.shape import Place
from ampwright.deliver.store.store import NoSuchJob, Store
from ampwright.deliver.web import runs
from ampwright.deliver.web.api.problems import turned_away
from ampwright.deliver.web.api.router import router as api
from ampwright.deliver.web.look import error_page
from ampwright.deliver.web.pages import router
from ampwright.deliver.web.screens import design, due, issued, load_cap, price, proposals, sensors, sheet, sunshine, way
from ampwright.deliver.web.site import Site

HOSTS = ("localhost", "127.0.0.1", "[::1]")
LARGEST_BYTES_COUNT = 2 * 1024 * 1024
POLICY = ("default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
          "form-action 'self'; base-uri 'none'; frame-ancestors 'none'")  # fmt: skip
HEADERS = {"Content-Security-Policy": POLICY, "X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin",
           "Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin"}  # fmt: skip
Next = Callable[[Request], Awaitable[Response]]


def create_app(place: Place, who: str = "") -> FastAPI:
    """The app over the jobs in that place. `who` is the name that changes are kept under; the login name without it."""
    app = FastAPI(title="Ampwright", docs_url=None, redoc_url=None, lifespan=runs.ended_with)
    app.state.site = Site(Store(place), who or getpass.getuser())
    app.include_router(router)
    app.include_router(runs.router)
    app.include_router(load_cap.router)
    app.include_router(sheet.router)
    app.include_router(sensors.router)
    app.include_router(proposals.router)
    app.include_router(design.router)
    app.include_router(price.router)
    app.include_router(due.router)
    app.include_router(sunshine.router)
    app.include_router(way.router)
    app.include_router(issued.router)
    app.include_router(api)
    static = resources.files("ampwright.deliver.web").joinpath("static")
    app.mount("/static", StaticFiles(directory=str(static)), name="static")
    app.middleware("http")(guard)
    app.exception_handler(NoSuchJob)(_no_job)
    app.exception_handler(404)(_no_page)
    app.exception_handler(OperationalError)(_no_store)
    return app


async def guard(request: Request, call_next: Next) -> Response:
    """Refuse what did not come from this machine's own pages; say on every answer what a page may do."""
    refused = refusal(request)
    response: Response = turned_away(request, *refused) if refused else await call_next(request)
    for name, value in HEADERS.items():
        response.headers[name] = value
    if not request.url.path.startswith("/static/"):
        response.headers["Cache-Control"] = "no-store"
    return response


def refusal(request: Request) -> tuple[int, str] | None:
    """The status and the sentence with which a request is turned away, if it is."""
    host = request.headers.get("host", "")
    if host.rsplit(":", 1)[0] not in HOSTS and host not in HOSTS:
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
    if int(length) > LARGEST_BYTES_COUNT:
        return 413, "This is over 2 MiB, and a job file is a few pages; is it the right file?"
    return None


def _no_job(request: Request, wrong: Exception) -> Response:
    return error_page(request, 404, "There is no such job here", "It may be in another store; the list shows all jobs.")


def _no_store(request: Request, wrong: Exception) -> Response:
    says = ("Something else holds them, the disk is full, or the database does not answer. What you typed was not "
            "saved: go back and save it again.")  # fmt: skip
    return error_page(request, 503, "The jobs cannot be reached", says)


def _no_page(request: Request, wrong: Exception) -> Response:
    return error_page(request, 404, "There is no such page", "Go back to the list of jobs.")
