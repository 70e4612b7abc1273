"""The OpenAPI document: built from the addresses themselves, so that it cannot tell of others."""

from __future__ import annotations

from importlib.metadata import version
from typing import Any

from fastapi import APIRouter
from fastapi.openapi.utils import get_openapi
from pydantic import BaseModel, TypeAdapter

from ampwright.deliver.web.api import examples
from ampwright.deliver.web.api.problems import Problem
from ampwright.deliver.web.api.shapes_of_figures import PutFigures, TakeBack
from ampwright.deliver.web.api.shapes_of_files import PutFile
from ampwright.deliver.web.api.shapes_of_jobs import Changes, Decide, NewJob, Undo
from ampwright.deliver.web.api.shapes_of_papers import Confirm, Issue, Sign
from ampwright.deliver.web.api.shapes_of_past import Ask, AskAgain
from ampwright.deliver.web.rights import ANYONE, asked_for
from ampwright.job import files

REFS = "#/components/schemas/{model}"
SAYS = """The jobs of Ampwright for programs: the same records, checks and answers as its pages and commands, for
whoever fits a charge point at a home. It helps a competent person and replaces none; the current standard, the maker's
instructions and the network operator come first.

Every change brings an `operation`, an id that the sender makes up. Send the same again where no answer came: a repeat
harms nothing. Every change brings `base`, the `head` of the job when its values were entered; what somebody else
changed since is never overwritten. What cannot be done is told as problem details (RFC 9457), with all faults at once.

A server that its own machine alone can reach asks for no token. Any other wants one, in the header Authorization:
somebody who is signed in makes it for a program on the page of their account. It never does more than they may, and
sees the jobs of their firm alone.

Prices, ways and materials go by the figures of the firm, where it has put in its own; the header Ampwright-Own-Figures
of such an answer names their kinds, and GET /api/v1/figures tells of them.
"""
SCHEME = {"type": "http", "scheme": "bearer", "description": "A token that a person made for a program. It is taken "
          "from this header alone: no cookie is looked at, and none that stands in an address is taken."}  # fmt: skip


def documented(api: APIRouter, *, accounts: bool) -> dict[str, Any]:
    """The whole document; with `accounts` a token is asked for, wherever the table of doors says so."""
    found = get_openapi(title="Ampwright", version=version("ampwright"), description=SAYS, routes=api.routes)
    components = found.setdefault("components", {}).setdefault("schemas", {})
    for shape in (NewJob, Changes, Undo, Decide, Ask, AskAgain, Issue, Sign, Confirm, PutFigures, TakeBack,
                  PutFile):
        _put(components, shape.__name__, _of_model(shape))
    _put(components, Problem.__name__, TypeAdapter(Problem).json_schema(ref_template=REFS))
    record = files.schema()
    record.pop("$schema")
    components["JobRecord"] = record
    ref = {"$ref": REFS.format(model="JobRecord")}
    components["JobRead"]["properties"]["record"] = ref
    components["NewJob"]["properties"]["record"] = ref
    for gone in ("HTTPValidationError", "ValidationError"):
        components.pop(gone, None)
    examples.put_into(found)
    found["components"]["securitySchemes"] = {"token": SCHEME}
    found["security"] = [{"token": []}] if accounts else [{}, {"token": []}]
    for path, methods in found["paths"].items():
        for method, told in methods.items():
            if asked_for(method.upper(), path) == ANYONE:
                told["security"] = []
    return found


def _of_model(shape: type[BaseModel]) -> dict[str, Any]:
    return shape.model_json_schema(ref_template=REFS)


def _put(components: dict[str, Any], name: str, schema: dict[str, Any]) -> None:
    components.update(schema.pop("$defs", {}))
    components[name] = schema
