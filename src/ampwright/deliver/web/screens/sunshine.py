"""The sunshine forecast: by way of charging, month by month, and one day by the minute."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass
from typing import Any

import numpy as np
from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse

from ampwright.assess.forecast.account import CODES, flows_of
from ampwright.assess.forecast.account import run as one_way
from ampwright.assess.forecast.clock import DAYS_COUNT, FIRST, MINUTES_COUNT, Array, to_utc_min
from ampwright.assess.forecast.forecast import CannotForecast, Forecast, forecast, refuse
from ampwright.assess.forecast.kernel import quickest
from ampwright.assess.forecast.skies import source_of
from ampwright.assess.forecast.years import drawn
from ampwright.deliver.own_files import Files, files_of
from ampwright.deliver.web.contexts import FileField, Head
from ampwright.deliver.web.file_pages import file_fields
from ampwright.deliver.web.look import show
from ampwright.deliver.web.runs import Told, begun
from ampwright.deliver.web.screens import sunshine_words as words
from ampwright.deliver.web.site import Form, Here, Site, head
from ampwright.job.half_hourly import BadReadings
from ampwright.job.record import Job

YEARS = ("20", "5", "100")
SEED = 1
MIDSUMMER = datetime.date(FIRST.year, 6, 21)
router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, slots=True, eq=False)
class Made:
    """A forecast, and the first of its years by the minute, kW; `files` are what it rests on."""

    forecast: Forecast
    sun_kw: Array
    house_kw: Array
    car_kw: Array
    own_kw: Array
    files: Files


@dataclass(frozen=True, slots=True)
class Asked:
    """What a forecast is asked for: how many years, and the share that is wanted, as typed."""

    years: str = YEARS[0]
    goal: str = ""

    @property
    def wrong(self) -> str:
        """What is wrong with it, if anything is."""
        if self.years not in YEARS:
            return f"choose {', '.join(YEARS[:-1])} or {YEARS[-1]} years"
        if self.goal and not (re.fullmatch(r"\d{1,3}(\.\d+)?", self.goal) and float(self.goal) <= 100):
            return f"{self.goal[:20]} is not a share: write a number from 0 to 100, or leave it blank"
        return ""

    @property
    def address(self) -> str:
        """As the page's own address has it."""
        return f"?years={self.years}&goal={self.goal}"


@dataclass(frozen=True, slots=True)
class SunshinePage:
    """The forecast once it was made, or why there can be none; `told` is everything that is shown of it."""

    head: Head
    asked: Asked
    years: tuple[str, ...]
    cannot: tuple[str, ...]
    told: words.Shown | None
    day: str
    files: tuple[FileField, ...]
    wrong: str = ""


@router.get("/jobs/{name}/sunshine")
def sunshine(request: Request, site: Here, name: str, years: str = YEARS[0], goal: str = "",
             day: str = MIDSUMMER.isoformat()) -> Response:  # fmt: skip
    """The page; with the forecast if it was made for the job as it stands."""
    return _shown(request, site, name, Asked(years, goal.strip()), day)


@router.post("/jobs/{name}/sunshine")
def make(request: Request, site: Here, name: str, typed: Form) -> Response:
    """Make the forecast."""
    asked = Asked(typed.get("years", YEARS[0]), typed.get("goal", "").strip())
    if asked.wrong:
        return _shown(request, site, name, asked, MIDSUMMER.isoformat(), 422)
    job, _ = site.store.read(name)
    files = files_of(site.store, name, job)
    run = site.runs.begin(_key(job, files, asked), lambda told: _made(site, name, job, files, asked, told))
    return begun(request, run, f"/jobs/{name}/sunshine{asked.address}")


@router.get("/jobs/{name}/sunshine/{which}.json")
def numbers(site: Here, name: str, which: str, years: str = YEARS[0], goal: str = "",
            day: str = MIDSUMMER.isoformat()) -> Response:  # fmt: skip
    """The numbers of one chart."""
    made = _found(site, name, site.store.read(name)[0], Asked(years, goal))
    at = _day(day)
    if not isinstance(made, Made) or which not in ("months", "day") or at is None:
        return JSONResponse({"says": "there is no such chart; make the forecast first"}, 404)
    return JSONResponse(words.months_drawn(made.forecast) if which == "months" else words.day_drawn(*of_day(made, at)))


def of_day(made: Made, day: datetime.date) -> tuple[list[Any], ...]:
    """Sun, house, car and the car's own share in each minute of one day by the British clock, kW."""
    number = (day - FIRST.date()).days
    start = max(0, to_utc_min(number, 0))
    minutes = slice(start, min(MINUTES_COUNT, to_utc_min(number + 1, 0)))
    rows = (made.sun_kw, made.house_kw, made.car_kw, made.own_kw)
    return tuple(np.round(each[minutes], 2).tolist() for each in rows)


def _shown(request: Request, site: Site, name: str, asked: Asked, day: str, status: int = 200) -> Response:
    job, newest = site.store.read(name)
    made = None if asked.wrong else _found(site, name, job, asked)
    at, wrong = _day(day), asked.wrong
    if at is None:
        at, wrong = MIDSUMMER, f"{FIRST.year} has no day {day[:20]}; choose one of that year"
    cannot = tuple(made.splitlines()) if isinstance(made, str) else _wanting(job)
    told = None
    if isinstance(made, Made):
        months, day_of = (f"/jobs/{name}/sunshine/{which}.json{asked.address}" for which in ("months", "day"))
        told = words.shown(made.forecast, of_day(made, at), at, made.files, (months, f"{day_of}&day={at}"))
    return show(request, "sunshine", SunshinePage(head(name, job), asked, YEARS, cannot, told, at.isoformat(),
                                                   file_fields(site, name, job, newest), wrong), status)  # fmt: skip


def _key(job: Job, files: Files, asked: Asked) -> tuple[object, ...]:
    return "sunshine", job, files.key, asked


def _found(site: Site, name: str, job: Job, asked: Asked) -> Made | str | None:
    run = site.runs.found(_key(job, files_of(site.store, name, job), asked))
    found: Made | str | None = None if run is None else run.answer()
    return found


def _wanting(job: Job) -> tuple[str, ...]:
    try:
        refuse(job)
    except CannotForecast as bad:
        return tuple(str(bad).splitlines())
    return ()


def _made(site: Site, name: str, job: Job, files: Files, asked: Asked, told: Told) -> Made | str:
    """The forecast, or why it cannot be made. Files that the store does not hold are left out, and that is said."""
    goal_percent = float(asked.goal) if asked.goal else None
    try:
        told("the weather of the place", 0, 0)
        with files.opened(site.store, name, job) as (bare, folder):
            found = forecast(bare, folder, source_of(bare, SEED, folder), seed=SEED, years_count=int(asked.years),
                             goal_percent=goal_percent, told=told, workers_count=1)  # fmt: skip
            told("one year by the minute", 0, 0)
            return _by_minute(found, files)
    except CannotForecast as bad:
        return str(bad)
    except BadReadings as bad:
        return "\n".join(bad.says)


def _by_minute(found: Forecast, files: Files) -> Made:
    year, kernel = drawn(found.setting, 0), quickest()
    car_kw, _ = one_way(CODES[found.bars_way], year.plan, year.stays, year.home, year.lag_min, kernel)
    flows = flows_of(year.plan, year.home, car_kw, kernel)
    own_kw = flows.sun_to_car_kw + flows.store_to_car_kw
    sun, house, car, own = (np.asarray(each, dtype=np.float32)
                            for each in (year.home.sun_kw, year.home.house_kw, car_kw, own_kw))  # fmt: skip
    return Made(found, sun, house, car, own, files)


def _day(text: str) -> datetime.date | None:
    try:
        day = datetime.date.fromisoformat(text)
    except ValueError:
        return None
    return day if 0 <= (day - FIRST.date()).days < DAYS_COUNT else None
