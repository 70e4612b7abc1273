"""What a batch makes of each job. A step is a name and a function from a job to bytes; add one to `STEPS`."""

from __future__ import annotations

import datetime
import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import ampwright
from ampwright.deliver.store.shape import Place
from ampwright.job.record import Job
from ampwright.job.writing import dump

if TYPE_CHECKING:
    from ampwright.deliver.documents.pack import Pack

JSON, ZIP = "application/json", "application/zip"
JOB_FILE = "job.yaml"
Settings = Mapping[str, Any]


class Refused(Exception):
    """The step cannot be done for this job as it stands; as text it says what is wanting. It is a result too."""


@dataclass(frozen=True, slots=True)
class Made:
    """What came of a step."""

    body: bytes
    media: str = JSON
    refused: bool = False


@dataclass(frozen=True, slots=True)
class Step:
    """A job and the folder beside it in, bytes out; `settings` are what changes the result, with their usual."""

    name: str
    make: Callable[[Job, Path, Settings], Made]
    settings: Settings


@dataclass(frozen=True, slots=True)
class StoreStep:
    """A step on a job where it is kept: the store, the job's id and the number of its newest change in, bytes out.

    `beside`: settings that another result does not hang on.
    """

    name: str
    make: Callable[[Place, str, int, Settings], Made]
    settings: Settings
    beside: tuple[str, ...] = ()


def judge(job: Job, _folder: Path, _settings: Settings) -> Made:
    """Every check with its working."""
    from ampwright.assess.assessment import assess
    from ampwright.deliver.machine import as_json

    return as_made(as_json(assess(job)))


def forecast(job: Job, folder: Path, settings: Settings) -> Made:
    """The sunshine forecast."""
    from ampwright.assess.forecast import forecast as forecasts
    from ampwright.assess.forecast.skies import source_of
    from ampwright.deliver.forecast_machine import as_json
    from ampwright.job.half_hourly import BadReadings

    try:
        made = forecasts.forecast(job, folder, source_of(job, settings["seed"], folder), seed=settings["seed"],
                                  years_count=settings["years"], workers_count=1)  # fmt: skip
    except (forecasts.CannotForecast, BadReadings) as bad:
        raise Refused(str(bad)) from bad
    return as_made(as_json(made))


def forecast_of_store(place: Place, name: str, head: int, settings: Settings) -> Made:
    """The same of a job in the store after that change, by the files of it that the store keeps."""
    from ampwright.deliver.batch.sources import store_at
    from ampwright.deliver.own_files import files_of

    store = store_at(place)
    record, _ = store.read(name, head)
    with files_of(store, name, record).opened(store, name, record) as (job, folder):
        return forecast(job, folder, settings)


def papers(job: Job, folder: Path, settings: Settings) -> Made:
    """The archive of the job: its file, its papers, the files beside it, and the sums.

    `catalogue` and `prices` of the settings are the texts of one's own; without them those shipped are taken.
    """
    from ampwright.deliver.figures import figures_of_texts
    from ampwright.deliver.issuing import bare_pack

    figures = figures_of_texts(tuple(_own(settings).items()))
    return _archived(bare_pack(job, figures, folder=folder), settings)


def papers_of_store(place: Place, name: str, head: int, settings: Settings) -> Made:
    """The same of a job in the store after that change, as its people signed it and its firm confirmed it.

    Without `catalogue` and `prices` in the settings the firm's own are taken, where it has them.
    """
    from ampwright.deliver.batch.sources import store_at
    from ampwright.deliver.figures import BadFigures
    from ampwright.deliver.issuing import pack_of
    from ampwright.deliver.store.firms import as_its_firm

    try:
        pack = pack_of(as_its_firm(store_at(place), name), name, own=_own(settings), head=head)
    except BadFigures as wrong:
        raise Refused(str(wrong)) from wrong
    return _archived(pack, settings)


def _own(settings: Settings) -> dict[str, str]:
    return {each: settings[each] for each in ("catalogue", "prices") if each in settings}


def _archived(pack: Pack, settings: Settings) -> Made:
    from ampwright.deliver.documents.archive import archive
    from ampwright.deliver.documents.book import PAPERS
    from ampwright.deliver.documents.writing import printed

    if pack.job.date is None:
        raise Refused("the job has no date, and a paper bears one: put `date` into the job")
    pack = replace(pack, years_count=settings["years"])
    text = dump(pack.job)
    made = printed(pack, JOB_FILE, text, PAPERS, at_once_count=1)
    return Made(archive(pack, JOB_FILE, text.encode(), made), ZIP)


def issue(place: Place, name: str, head: int, settings: Settings) -> Made:
    """The papers issued of the job, or what holds them. What is issued of this state already is told, not issued twice.

    A worker that dies leaves the lock of the issuer and no row, or its row: whoever tries next gets that very row.
    """
    from ampwright.deliver import issuing
    from ampwright.deliver.batch.sources import store_at
    from ampwright.deliver.figures import BadFigures
    from ampwright.deliver.store.firms import as_its_firm

    store = as_its_firm(store_at(place), name)
    if store.read(name)[1] != head:
        raise Refused("the job was changed after this batch was begun: run the batch again")
    day = datetime.date.fromisoformat(settings["day"])
    try:
        made = issuing.issue(store, name, settings["papers"], day, settings["who"], own=_own(settings))
    except BadFigures as wrong:
        raise Refused(str(wrong)) from wrong
    except issuing.NotReady as wrong:
        held = [{"gate": each.gate.value, "says": each.says} for each in wrong.reasons]
        return Made(as_made({"issued": [], "not_ready": held}).body, refused=True)
    return as_made({"issued": [{"paper": each.kind, "number": each.label, "row": each.number, "hash": each.hash}
                               for each in made], "not_ready": []})  # fmt: skip


STEPS: dict[str, Step] = {each.name: each for each in (
    Step("judge", judge, {}), Step("forecast", forecast, {"years": 12, "seed": 1}),
    Step("papers", papers, {"years": 0}),
)}  # fmt: skip
ISSUE = StoreStep("issue", issue, {"papers": ("tests", "commissioning", "handover")}, beside=("day", "who"))


IN_STORE: dict[str, StoreStep] = {each.name: each for each in (
    ISSUE, StoreStep("papers", papers_of_store, STEPS["papers"].settings),
    StoreStep("forecast", forecast_of_store, STEPS["forecast"].settings),
)}  # fmt: skip


def step_of(name: str, *, in_store: bool) -> Step | StoreStep:
    """The step of that name, as it is done for jobs of a store or of a folder. Raises KeyError."""
    return (IN_STORE.get(name) if in_store else None) or STEPS[name]


def refusal(says: str) -> Made:
    """The result that there is none, with its reason."""
    return Made(as_made({"refused": says}).body, refused=True)


def as_made(found: Any) -> Made:
    """JSON of a result, the same bytes for the same result."""
    return Made(json.dumps(found, ensure_ascii=False).encode())


def input_of(fingerprint: str, settings: Settings) -> str:
    """What went into a result: the job as it stood, the settings and this Ampwright."""
    told = json.dumps([fingerprint, dict(settings), ampwright.__version__], sort_keys=True)
    return hashlib.sha256(told.encode()).hexdigest()
