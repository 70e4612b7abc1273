"""Every address of the API is one of these: what cannot be done is told as a problem, and no question is overlooked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Coroutine, Iterator
from difflib import get_close_matches
from typing import Any

from fastapi import Request, Response
from fastapi.dependencies.models import Dependant
from fastapi.exceptions import RequestValidationError
from fastapi.routing import APIRoute
from sqlalchemy.exc import OperationalError

from ampwright.deliver.figures import BadFigures
from ampwright.deliver.store.store import CannotUndo, NoSuchJob, OperationReused
from ampwright.deliver.store.tokens import PREFIX
from ampwright.deliver.web.api.bodies import Body, says
from ampwright.deliver.web.api.problems import Problem, Refused, kinds
from ampwright.job.faults import Fault, shortened
from ampwright.job.files import BadJobFile

BASE = "/api/v1"
ALWAYS = ("no-token", "not-yours", "not-understood", "other-name", "too-often", "no-store")
BODY = ("not-json", "other-site", "sent-before", "no-length", "too-large", "wrong-type")


class ApiRoute(APIRoute):
    """A route whose refusals are problem details."""

    def get_route_handler(self) -> Callable[[Request], Coroutine[Any, Any, Response]]:
        """The handler, with the refusals put into their one shape."""
        handle = super().get_route_handler()
        known = tuple(_questions(self.dependant))

        async def answered(request: Request) -> Response:
            try:
                _check_questions(request, known)
                return await handle(request)
            except Refused as wrong:
                return wrong.answer()
            except BadJobFile as bad:
                return Refused.of_job(bad).answer()
            except NoSuchJob as wrong:
                return Refused("no-such-job", str(wrong)).answer()
            except OperationReused as wrong:
                return Refused("sent-before", str(wrong)).answer()
            except BadFigures as bad:
                return Refused("old-figures", *str(bad).splitlines()).answer()
            except CannotUndo as wrong:
                return Refused("not-to-be-undone", str(wrong)).answer()
            except OperationalError:
                return Refused("no-store", headers={"Retry-After": "5"}).answer()
            except RequestValidationError as wrong:
                return Refused("not-understood", *_faults(wrong)).answer()

        return answered


def problems(*names: str) -> dict[int | str, dict[str, Any]]:
    """The part of the OpenAPI document that tells which problems an address may answer with."""
    found: dict[int | str, dict[str, Any]] = {}
    for name in (*ALWAYS, *names):
        kind = kinds()[name]
        before = found.get(kind.status)
        words = f"{before['description']} Or: {kind.title}." if before else f"{kind.title}."
        examples = before["content"]["application/problem+json"]["examples"] if before else {}
        examples[name] = {"value": {"type": f"/api/v1/problems#{name}", "title": kind.title, "status": kind.status,
                                    "detail": kind.do, "faults": []}}  # fmt: skip
        schema = {"$ref": f"#/components/schemas/{Problem.__name__}"}
        found[kind.status] = {"description": words,
                              "content": {"application/problem+json": {"schema": schema, "examples": examples}}}
    return found


def _questions(of: Dependant) -> Iterator[str]:
    yield from (each.alias for each in of.query_params)
    for each in of.dependencies:
        yield from _questions(each)


def _check_questions(request: Request, known: tuple[str, ...]) -> None:
    asked = Counter(name for name, _ in request.query_params.multi_items())
    faults = []
    if any(PREFIX in value for pair in request.query_params.multi_items() for value in pair):
        faults.append(Fault(None, "", "a token stands in the address, where it is written down on its way; send it in "
                                      "the header Authorization, and end this one"))  # fmt: skip
    for name, count in asked.items():
        if PREFIX in name:
            continue
        if name not in known:
            close = get_close_matches(name, known, n=1, cutoff=0.5)
            says = f"there is no such question here{f'; did you mean {close[0]}?' if close else ''}"
            faults.append(Fault(None, shortened(name), says))
        elif count > 1:
            faults.append(Fault(None, name, "this is asked more than once; keep one"))
    if faults:
        raise Refused("not-understood", *faults)


def _faults(wrong: RequestValidationError) -> list[Fault]:
    return [Fault(None, str(error["loc"][-1]), says(error)) for error in wrong.errors()]


def sent(shape: type[Body]) -> dict[str, Any]:
    """The part of the OpenAPI document that tells what an address takes."""
    schema = {"$ref": f"#/components/schemas/{shape.__name__}"}
    return {"requestBody": {"required": True, "content": {"application/json": {"schema": schema}}}}
