"""What holds for every job: the shape of a job, the rules, the tables of published numbers, the kinds of problem."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Path, Response
from pydantic import with_config
from typing_extensions import TypedDict

from ampwright.assess.book import BOOK
from ampwright.deliver.web.api.jobs import Document
from ampwright.deliver.web.api.problems import Refused, kinds
from ampwright.deliver.web.api.routes import BASE, ApiRoute, problems
from ampwright.deliver.web.api.shapes import CLOSED
from ampwright.facts import all_tables, look_up_text, rows
from ampwright.job import files

router = APIRouter(prefix=BASE, route_class=ApiRoute, tags=["books"])


@with_config(CLOSED)
class Rule(TypedDict):
    """A rule: its name, its clause in the newest edition, its question."""

    name: str
    clause: str
    edition: str
    asks: str


@with_config(CLOSED)
class Rules(TypedDict):
    """The rules in reading order."""

    rules: list[Rule]


@with_config(CLOSED)
class Tables(TypedDict):
    """The names of the tables."""

    tables: list[str]


@with_config(CLOSED)
class Table(TypedDict):
    """A table as printed, as text; each row says who says so and how it was seen."""

    name: str
    rows: list[dict[str, str]]


@with_config(CLOSED)
class ProblemKind(TypedDict):
    """One sort of problem."""

    type: str
    status: int
    title: str
    detail: str


@with_config(CLOSED)
class ProblemKinds(TypedDict):
    """Every sort of problem that an answer can be."""

    problems: list[ProblemKind]


@router.get("/schema", response_model=dict[str, Any], responses=problems())
def schema() -> Response:
    """The JSON Schema of a job: `ampwright schema`."""
    return Document(files.schema())


@router.get("/rules", response_model=Rules, responses=problems())
def rules() -> Response:
    """The rules in reading order: `ampwright rules`."""
    edition = BOOK.editions()[-1]
    return Document({"rules": [{"name": each.name, "edition": edition, "asks": each.asks,
                                "clause": look_up_text("gb/clauses", "clause", rule=each.name, edition=edition)}
                               for each in BOOK.regulations]})  # fmt: skip


@router.get("/tables", response_model=Tables, responses=problems())
def tables() -> Response:
    """The tables of published numbers: `ampwright facts`."""
    return Document({"tables": list(all_tables())})


@router.get("/tables/{folder}/{table}", response_model=Table, responses=problems("nothing-here"))
def table(folder: Annotated[str, Path(max_length=80, description="`iec` or `gb`.", examples=["iec"])],
          table: Annotated[str, Path(max_length=80, description="Its name, as GET /api/v1/tables lists it.",
                                     examples=["copper_resistance"])]) -> Response:  # fmt: skip
    """One table, each row with its source: `ampwright facts TABLE`."""
    name = f"{folder}/{table}"
    if name not in all_tables():
        raise Refused("nothing-here", "there is no such table; GET /api/v1/tables lists them")
    return Document({"name": name, "rows": [dict(row) for row in rows(name)]})


@router.get("/problems", response_model=ProblemKinds, responses=problems())
def kinds_of_problem() -> Response:
    """What each sort of problem means; `type` of a problem is the address of its entry here."""
    return Document({"problems": [{"type": f"/api/v1/problems#{each.name}", "status": each.status,
                                   "title": each.title, "detail": each.do} for each in kinds().values()]})  # fmt: skip
