"""The steps for a phone by plain http, and nothing else: no job, no form."""

from __future__ import annotations

from importlib import resources

from fastapi import FastAPI, Request, Response
from fastapi.responses import RedirectResponse
from fastapi.staticfiles import StaticFiles

from ampwright.deliver.certificates import Authority
from ampwright.deliver.web import phone_pages
from ampwright.deliver.web.app import HOSTS, guard, no_page
from ampwright.deliver.web.limits import Limits


def create_steps(names: tuple[str, ...], authority: Authority) -> FastAPI:
    """The app with the steps of an authority."""
    app = FastAPI(title="Ampwright", docs_url=None, redoc_url=None, openapi_url=None)
    app.state.door, app.state.limits = None, Limits()
    app.state.names = (*HOSTS, *names)
    app.state.authority = authority
    app.include_router(phone_pages.router)
    app.add_api_route("/", _to_the_steps)
    static = resources.files("ampwright.deliver.web").joinpath("static")
    app.mount("/static", StaticFiles(directory=str(static)), name="static")
    app.middleware("http")(guard)
    app.exception_handler(404)(no_page)
    return app


def _to_the_steps(request: Request) -> Response:
    return RedirectResponse("/phone", status_code=303)
