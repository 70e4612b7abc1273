"""Every answer that a command has about a job, as the very document that its `--json` prints."""

from __future__ import annotations

import datetime
import re
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query, Response
from pydantic import BeforeValidator

from ampwright.assess.assessment import assess
from ampwright.assess.book import BOOK
from ampwright.assess.load_cap.report import report
from ampwright.assess.materials.take_off import take_off
from ampwright.assess.programme import programme
from ampwright.assess.quote.work import with_work
from ampwright.assess.sensors.diagnosis import diagnose
from ampwright.assess.sensors.placement import place
from ampwright.assess.testing.sheet import sheet
from ampwright.deliver import (
    design_machine,
    forecast_machine,
    load_cap,
    machine,
    route_machine,
    sensors_machine,
    survey_machine,  # fmt: skip
)
from ampwright.deliver.due import due_json
from ampwright.deliver.figures import Figures
from ampwright.deliver.firm_figures import figures_in_use
from ampwright.deliver.materials import take_off_json
from ampwright.deliver.offer import Offer
from ampwright.deliver.quote import quote_json
from ampwright.deliver.testing import sheet_json
from ampwright.deliver.web.api import shapes, shapes_of_money, shapes_of_way, shapes_of_work
from ampwright.deliver.web.api.jobs import Document, Id, Read
from ampwright.deliver.web.api.problems import Refused
from ampwright.deliver.web.api.routes import BASE, ApiRoute, problems
from ampwright.deliver.web.api.working_out import at_work, proposal, routes, sunshine, told_why, visit
from ampwright.deliver.web.judging import judged
from ampwright.deliver.web.site import Here
from ampwright.job.faults import Fault

MOST_YEARS_COUNT, MOST_SEED = 100, 2**31
OWN_FIGURES = "Ampwright-Own-Figures"
router = APIRouter(prefix=BASE, route_class=ApiRoute, tags=["answers"])


def by_figures(site: Here, job: Id) -> Figures:
    """The figures of the firm of a job. Raises NoSuchJob, BadFigures."""
    return figures_in_use(site.store, job)


By = Annotated[Figures, Depends(by_figures)]
NO_JOB, NO_ANSWER, LONG = problems("no-such-job"), problems("no-such-job", "no-answer-yet"), problems(
    "no-such-job", "no-answer-yet", "at-work")  # fmt: skip
BY_FIGURES = problems("no-such-job", "old-figures"), problems("no-such-job", "no-answer-yet", "at-work", "old-figures")


def _made(found: dict[str, Any], by: Figures) -> Response:
    """A document that is as good as the figures it was made by, which its header names where they are the firm's."""
    return Document(found, headers={OWN_FIGURES: ", ".join(name for name, _ in by.marks)} if by.own else None)


def _written_day(text: object) -> object:
    """Only a day as it is written, for a bare number would be taken for seconds."""
    if isinstance(text, str) and not re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        raise ValueError("this is not a day; write it as 2026-06-03")
    return text


Day = Annotated[datetime.date | None, BeforeValidator(_written_day),
                Query(description="As it stands on this day; today if not given.")]  # fmt: skip


@router.get("/jobs/{job}/assessment", response_model=shapes.Assessment,
            responses=problems("no-such-job", "nothing-here"))  # fmt: skip
def assessment(found: Read, only: Annotated[str | None, Query(max_length=80, description="One rule, by the name that "
               "GET /api/v1/rules lists.")] = None) -> Response:  # fmt: skip
    """Every check with its working: `ampwright assess`."""
    if only is not None and only not in {each.name for each in BOOK.regulations}:
        raise Refused("nothing-here", Fault(None, "only", "there is no such rule; GET /api/v1/rules lists them"))
    return Document(machine.as_json(judged(found[0]) if only is None else assess(found[0], only)))


@router.get("/jobs/{job}/design", response_model=shapes.Proposal, responses=BY_FIGURES[1])
def design(found: Read, by: By, everything: Annotated[bool, Query(description="Every design on the front, not the best "
           "alone.")] = False) -> Response:  # fmt: skip
    """The lawful designs that no other beats, and why others are not there: `ampwright design`."""
    return _made(design_machine.as_json(proposal(found[0], by), everything=everything), by)


@router.get("/jobs/{job}/visit-list", response_model=shapes.VisitList, responses=BY_FIGURES[1])
def visit_list(found: Read, by: By) -> Response:
    """What to read on the visit, with what, and what each answer decides: `ampwright survey`."""
    return _made(survey_machine.as_json(visit(found[0], by)), by)


@router.get("/jobs/{job}/load-cap", response_model=shapes_of_work.LoadCap, responses=LONG)
def cap(found: Read) -> Response:
    """The load cap to set, why it holds, and an attempt to break it: `ampwright loadcap`."""
    with at_work():
        return Document(load_cap.as_json(report(found[0])))


@router.get("/jobs/{job}/sensors", response_model=shapes_of_work.Placements, responses=NO_ANSWER)
def sensors(found: Read) -> Response:
    """Where each sensor goes, and what it would show anywhere else: `ampwright sensors`."""
    with told_why():
        return Document(sensors_machine.plan_as_json(place(found[0])))


@router.get("/jobs/{job}/diagnosis", response_model=shapes_of_work.Diagnosis, responses=LONG)
def diagnosis(found: Read) -> Response:
    """Which sensor is wrong, from the readings under tests, sensing: `ampwright diagnose`."""
    with at_work(), told_why():
        return Document(sensors_machine.diagnosis_as_json(diagnose(found[0])))


@router.get("/jobs/{job}/forecast", response_model=shapes_of_way.Forecast, responses=LONG)
def forecast(
    site: Here,
    job: Id,
    found: Read,
    years: Annotated[int, Query(ge=1, le=MOST_YEARS_COUNT, description="How many invented years.")] = 20,
    seed: Annotated[int, Query(ge=0, le=MOST_SEED, description="The same seed, the same figures.")] = 1,
    goal_percent: Annotated[float | None, Query(ge=0, le=100, allow_inf_nan=False, description="Search for what "
                                                "reaches this share.")] = None,
) -> Response:  # fmt: skip
    """How much of the driving comes from the roof, by way of charging, as bands: `ampwright forecast`.

    It reads the files of the job that its record names; what the server does not hold of them is put in first.
    """
    made = sunshine(site.store, job, found[0], seed=seed, years_count=years, goal_percent=goal_percent)
    return Document(forecast_machine.as_json(made))


@router.get("/jobs/{job}/routes", response_model=shapes_of_way.Routes, responses=BY_FIGURES[1])
def ways(found: Read, by: By, design: Annotated[bool, Query(description="With the design that each needs.")] = True,
         whole_catalogue: Annotated[bool, Query(description="Search all of it for every route, not for the first "
                                                "alone.")] = False) -> Response:  # fmt: skip
    """Routes on the sketch, with sections, holes and bends: `ampwright route`."""
    return _made(route_machine.as_json(routes(found[0], by, design=design, whole=whole_catalogue)), by)


@router.get("/jobs/{job}/materials", response_model=shapes_of_money.Materials, responses=BY_FIGURES[0])
def materials(found: Read, by: By) -> Response:
    """Cable to cut, fixings, glands, tools: `ampwright materials`."""
    with by.in_use():
        return _made(take_off_json(with_work(take_off(found[0]), found[0], by.catalogue, by.book)), by)


@router.get("/jobs/{job}/quote", response_model=shapes_of_money.Quote, responses=BY_FIGURES[1])
def quote(found: Read, by: By, design: Annotated[int, Query(ge=1, le=1000, description="Which of the best designs, as "
          "/design numbers them from 1.")] = 1) -> Response:  # fmt: skip
    """A design priced line by line, as a band: `ampwright quote`."""
    made = proposal(found[0], by)
    if not made.front:
        raise Refused("no-answer-yet", "no design of the catalogue stands, so there is nothing to price: /design says "
                      "why")  # fmt: skip
    if design > len(made.best):
        raise Refused("not-understood", Fault(None, "design", f"there are {len(made.best)} designs; ask for one"))
    with told_why(), by.in_use():
        offer = Offer(made, design, by.catalogue, by.book)
        return _made(quote_json(offer), by)


@router.get("/jobs/{job}/tests", response_model=shapes_of_work.TestSheet, responses=NO_JOB)
def tests(found: Read) -> Response:
    """The test sheet: what each test should read, its limit, and what a reading means: `ampwright tests`."""
    return Document(sheet_json(sheet(found[0])))


@router.get("/jobs/{job}/due", response_model=shapes_of_money.Due, responses=NO_JOB)
def due(found: Read, job: Id, on: Day = None) -> Response:
    """What the job owes to whom by when: `ampwright due`."""
    day = on or datetime.date.today()
    return Document(due_json([(job, found[0], programme(found[0], day))], day))


@router.get("/due", response_model=shapes_of_money.Due, responses=problems())
def due_of_all(site: Here, on: Day = None) -> Response:
    """What all jobs owe to whom by when: `ampwright due --all`."""
    day = on or datetime.date.today()
    read = ((name, site.store.read(name)[0]) for name in site.store.names())
    return Document(due_json([(name, record, programme(record, day)) for name, record in read], day))
