"""What a program is told when something cannot be done: problem details (RFC 9457), all faults at once."""

from __future__ import annotations

import csv
import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Any

from fastapi import Request, Response
from fastapi.responses import PlainTextResponse
from typing_extensions import TypedDict

from ampwright.job.files import BadJobFile, Fault

MEDIA_TYPE = "application/problem+json"
LISTED_AT = "/api/v1/problems"
MOST_TOLD_COUNT = 200
TURNED_AWAY = {403: "other-site", 411: "no-length", 413: "too-large", 421: "other-name"}


class FaultTold(TypedDict):
    """One thing to put right."""

    path: str
    line: int | None
    says: str


class Problem(TypedDict):
    """Problem details (RFC 9457); `faults` is all that is to be put right, at most 200 of them."""

    type: str
    title: str
    status: int
    detail: str
    faults: list[FaultTold]


@dataclass(frozen=True, slots=True)
class Kind:
    """A row of problems.csv: one sort of problem, its status, what it is called and what to do."""

    name: str
    status: int
    title: str
    do: str


@lru_cache(maxsize=1)
def kinds() -> dict[str, Kind]:
    """Every sort of problem."""
    text = resources.files("ampwright.deliver.web.api").joinpath("problems.csv").read_text(encoding="utf-8")
    return {row["name"]: Kind(row["name"], int(row["status"]), row["title"], row["do"])
            for row in csv.DictReader(text.splitlines())}  # fmt: skip


class Refused(Exception):
    """Something cannot be done; as an answer it is a problem of that kind."""

    def __init__(self, kind: str, *says: str | Fault, headers: Mapping[str, str] | None = None) -> None:
        self.kind = kind
        self.faults = tuple(each if isinstance(each, Fault) else Fault(None, "", each) for each in says)
        self.headers = dict(headers or {})
        super().__init__(kind, *says)

    @classmethod
    def of_job(cls, bad: BadJobFile) -> Refused:
        """For what cannot stand in a job."""
        return cls("not-a-job", *bad.faults)

    def answer(self) -> Response:
        """The problem as an answer."""
        return problem(self.kind, self.faults, self.headers)


def problem(kind: str, faults: tuple[Fault, ...] = (), headers: Mapping[str, str] | None = None) -> Response:
    """A problem as an answer."""
    found = kinds()[kind]
    told: list[FaultTold] = [{"path": each.path, "line": each.line, "says": each.says}
                             for each in faults[:MOST_TOLD_COUNT]]  # fmt: skip
    more = len(faults) - MOST_TOLD_COUNT
    held: Problem = {"type": f"{LISTED_AT}#{kind}", "title": found.title, "status": found.status,
                     "detail": found.do + (f" {more} more faults are not listed." if more > 0 else ""),
                     "faults": told}  # fmt: skip
    return Response(written(held), found.status, dict(headers or {}), MEDIA_TYPE)


def of_api(request: Request) -> bool:
    """Whether a request is for the API, where a program is answered and no page."""
    return request.url.path == "/api" or request.url.path.startswith("/api/")


def turned_away(request: Request, status: int, says: str) -> Response:
    """What the guard refuses: a sentence for a browser, a problem for a program."""
    if of_api(request):
        return problem(TURNED_AWAY[status], (Fault(None, "", says),))
    return PlainTextResponse(says, status)


def written(document: Any) -> bytes:
    """A document as the bytes of its JSON. Raises ValueError for what JSON has no number for: our fault."""
    return json.dumps(document, ensure_ascii=False, allow_nan=False).encode()
