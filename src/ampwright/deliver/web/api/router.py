"""All addresses of the API, in the order in which they are told."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from fastapi import APIRouter, Request, Response
from starlette.routing import Route

from ampwright.deliver.web.api import answers, books, figures, files, jobs, papers, past
from ampwright.deliver.web.api.nothing import Nothing
from ampwright.deliver.web.api.routes import BASE, ApiRoute
from ampwright.deliver.web.api.telling import documented

api = APIRouter(route_class=ApiRoute)  # each address is written whole where it is made, for the table of doors
for each in (jobs.router, files.router, answers.router, papers.router, past.router, figures.router,
             books.router):
    api.include_router(each)


@lru_cache(maxsize=2)
def document(*, accounts: bool = False) -> dict[str, Any]:
    """The OpenAPI document; with `accounts` of a server that others than its own machine can reach."""
    return documented(api, accounts=accounts)


@api.get(f"{BASE}/openapi.json", include_in_schema=False)
def openapi(request: Request) -> Response:
    """What the API takes and gives (OpenAPI 3.1)."""
    return jobs.Document(document(accounts=request.app.state.door is not None))


router = APIRouter()
router.include_router(api)
router.routes += [Route(path, Nothing(document)) for path in ("/api", "/api/{rest:path}")]
