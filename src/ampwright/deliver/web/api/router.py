"""All addresses of the API, in the order in which they are told."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from fastapi import APIRouter, Response
from starlette.routing import Route

from ampwright.deliver.web.api import answers, books, jobs
from ampwright.deliver.web.api.nothing import Nothing
from ampwright.deliver.web.api.routes import ApiRoute
from ampwright.deliver.web.api.telling import documented

BASE = "/api/v1"
api = APIRouter(prefix=BASE, route_class=ApiRoute)
for each in (jobs.router, answers.router, books.router):
    api.include_router(each)


@lru_cache(maxsize=1)
def document() -> dict[str, Any]:
    """The OpenAPI document."""
    return documented(api)


@api.get("/openapi.json", include_in_schema=False)
def openapi() -> Response:
    """What the API takes and gives (OpenAPI 3.1)."""
    return jobs.Document(document())


router = APIRouter()
router.include_router(api)
router.routes += [Route(path, Nothing(document)) for path in ("/api", "/api/{rest:path}")]
