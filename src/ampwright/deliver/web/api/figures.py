"""A firm's own figures: which are in use, read, put, take back."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Path, Response

from ampwright.assess.user_csv import BadTable
from ampwright.deliver.figures import KINDS
from ampwright.deliver.firm_figures import check
from ampwright.deliver.store.figure_book import ChangedSince, FigureBook, Version
from ampwright.deliver.web.api import shapes_of_figures as shapes
from ampwright.deliver.web.api.bodies import body_of
from ampwright.deliver.web.api.jobs import Document
from ampwright.deliver.web.api.problems import Refused
from ampwright.deliver.web.api.routes import BASE, BODY, ApiRoute, problems, sent
from ampwright.deliver.web.site import Here, Site

router = APIRouter(prefix=BASE, route_class=ApiRoute, tags=["figures"])
Kind = Annotated[shapes.KindName, Path(description="Which figures: a command's option has the same name.")]


@router.get("/figures", response_model=shapes.FiguresList, responses=problems())
def list_figures(site: Here) -> Response:
    """Whose figures of each kind the firm's jobs are worked out by."""
    newest = FigureBook(site.store).newest()
    return Document({"figures": [_in_use(kind, newest.get(kind)) for kind in KINDS]})


@router.get("/figures/{kind}", response_model=shapes.FiguresRead, responses=problems())
def read(site: Here, kind: Kind) -> Response:
    """The figures in use as CSV, and every version of them."""
    return Document(_read(site, kind))


@router.post("/figures/{kind}", response_model=shapes.FiguresRead, openapi_extra=sent(shapes.PutFigures),
             responses=problems("not-figures", "changed-since", *BODY))  # fmt: skip
def put(site: Here, kind: Kind, new: Annotated[shapes.PutFigures, Depends(body_of(shapes.PutFigures))]) -> Response:
    """Use figures of one's own from now on. All faults of them are told at once, by line and column."""
    text = new.csv.removeprefix("\ufeff")
    try:
        check(KINDS[kind], text)
    except BadTable as bad:
        raise Refused("not-figures", *bad.faults) from bad
    return _put(site, kind, text, new)


@router.post("/figures/{kind}/take-back", response_model=shapes.FiguresRead, openapi_extra=sent(shapes.TakeBack),
             responses=problems("changed-since", *BODY))  # fmt: skip
def take_back(site: Here, kind: Kind, new: Annotated[shapes.TakeBack, Depends(body_of(shapes.TakeBack))]) -> Response:
    """Use those that come with the program again. What was put in stays among the versions."""
    return _put(site, kind, None, new)


def _put(site: Site, kind: str, text: str | None, new: shapes.TakeBack) -> Response:
    try:
        FigureBook(site.store).put(kind, text, base=new.base, operation=new.operation, who=site.who,
                                   origin=site.origin)  # fmt: skip
    except ChangedSince as wrong:
        raise Refused("changed-since", str(wrong)) from wrong
    return Document(_read(site, kind))


def _read(site: Site, kind: str) -> dict[str, Any]:
    versions = FigureBook(site.store).versions(kind)
    newest = versions[0] if versions else None
    text = newest.text if newest and newest.text is not None else KINDS[kind].sort.text()
    return {**_in_use(kind, newest), "csv": text, "versions": [_told(each) for each in versions]}


def _in_use(name: str, newest: Version | None) -> dict[str, Any]:
    kind = KINDS[name]
    return {"kind": name, "title": kind.title, "says": kind.says, "columns": list(kind.sort.columns),
            "own": newest is not None and newest.text is not None, "number": newest.number if newest else 0,
            "since": _told(newest) if newest else None}  # fmt: skip


def _told(each: Version) -> dict[str, Any]:
    return {"number": each.number, "own": each.text is not None, "at": each.at, "who": each.who, "origin": each.origin}
