"""The test sheet: beside each box what it should read and its limit; readings go in, and are judged at once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request, Response

from ampwright.assess.testing.order import Row, order
from ampwright.assess.testing.sheet import Box, Sheet, sheet
from ampwright.deliver.store.store import OperationReused
from ampwright.deliver.store.values import Values
from ampwright.deliver.testing import (
    STAGES,
    cause_words,
    expected_words,
    limit_words,
    pilot_states,
    read_words,
    says_words,
    supposed_words,
)
from ampwright.deliver.web import survey
from ampwright.deliver.web.contexts import Head
from ampwright.deliver.web.controls import Control
from ampwright.deliver.web.look import error_page, show
from ampwright.deliver.web.screens.forms import Faults, controls, entry, faults_in_words
from ampwright.deliver.web.site import Form, Here, Site, Typed, base_of, head, how, operation_of, see
from ampwright.facts import look_up_text
from ampwright.job.fields import fields
from ampwright.job.files import BadJobFile
from ampwright.job.record import Job
from ampwright.working import capital

WITH = ("tests.date", "tests.conductors_c", "tests.leads_ohm")
PILOT = ("state", "high_v", "duty_percent", "output_live")
INSTRUMENT = ("name", "serial", "calibrated", "calibration_due")
ALSO = {"lost_sensor": ("tests.lead_off_s",)}
router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, slots=True)
class Shown:
    """One box with its words and its questions; `states` are those of the pilot, `cautions` those not told above."""

    box: Box
    controls: tuple[Control, ...]
    cautions: tuple[str, ...]

    @property
    def expected(self) -> str:
        """What it should read."""
        return expected_words(self.box)

    @property
    def limit(self) -> str:
        """Its limit; nothing where it has none."""
        return limit_words(self.box) if self.box.limit.value is not None else ""

    @property
    def read(self) -> str:
        """What was read; nothing yet where nothing was."""
        return read_words(self.box) if self.box.reading is not None else ""

    @property
    def supposed(self) -> str:
        """What the record supposes instead of a reading."""
        return supposed_words(self.box)

    @property
    def says(self) -> str:
        """What the rule says of it."""
        return says_words(self.box)

    @property
    def causes(self) -> tuple[str, ...]:
        """What may have made an odd reading, and what to look at, in order."""
        causes = self.box.doubt.causes if self.box.doubt else ()
        return tuple(f"{cause_words(each, self.box.test.unit)}. {capital(each.prove)}." for each in causes)

    @property
    def states(self) -> list[str]:
        """The states of the pilot, beside the test of it."""
        return pilot_states() if self.box.test.id == "pilot" else []


@dataclass(frozen=True, slots=True)
class SheetPage:
    """The sheet as a form: its boxes by stage, what the tests are done with, and what is wrong with what was typed."""

    head: Head
    sheet: Sheet
    base: int
    operation: str
    stages: tuple[tuple[str, tuple[Shown, ...]], ...]
    conditions: tuple[Control, ...]
    instrument: tuple[Control, ...]
    saved: str
    faults: tuple[str, ...] = ()


@router.get("/jobs/{name}/sheet")
def the_sheet(request: Request, site: Here, name: str, saved: str = "") -> Response:
    """The sheet."""
    known = {each.id for each in site.store.history(name)}
    page = _page(site, name, site.store.read(name)[1], saved=saved if saved in known else "")
    return show(request, "sheet", page)


@router.post("/jobs/{name}/sheet")
def save(request: Request, site: Here, name: str, typed: Form) -> Response:
    """Keep the readings that were typed, and judge them."""
    base = base_of(typed)
    try:
        job, _ = site.store.read(name, base)
        new = _changes(job, site.store.values(name, base), typed)
        if not new:
            return see(f"/jobs/{name}/sheet")
        site.store.change(name, new, base=base, **how(site, typed))
        return see(f"/jobs/{name}/sheet?saved={operation_of(typed)}")
    except BadJobFile as bad:
        return show(request, "sheet", _page(site, name, base, typed, bad.faults), 422)
    except OperationReused as wrong:
        return error_page(request, 409, "This was saved before", capital(str(wrong)) + ".")


def _changes(job: Job, values: Values, typed: Typed) -> dict[str, Any]:
    paths = [*WITH, *_paths_of_boxes(job), *_pilot_paths(job)]
    new = survey.changes(values, paths, typed)
    for place, names in ((_next_pilot(job), PILOT), (_next_instrument(job), INSTRUMENT)):
        told = entry(place, names, typed)
        if told:
            new[place] = told
    return new


def _page(site: Site, name: str, base: int, typed: Typed | None = None, faults: Faults = (),
          saved: str = "") -> SheetPage:  # fmt: skip
    job, _ = site.store.read(name, base)
    found, values = sheet(job), site.store.values(name, base)
    instrument = [f"{_next_instrument(job)}.{each}" for each in INSTRUMENT]
    pilot = [*_pilot_paths(job), *(f"{_next_pilot(job)}.{each}" for each in PILOT)]
    asked = controls(values, [*WITH, *_paths_of_boxes(job), *pilot, *instrument], typed, faults)
    told: set[str] = set()
    shown = [_shown(each, asked, pilot, told) for each in found.boxes]
    stages = tuple((STAGES[stage], tuple(each for each in shown if each.box.test.stage == stage)) for stage in STAGES)
    operation = typed["operation"] if typed and typed.get("operation") else operation_of()
    return SheetPage(head(name, job), found, base, operation, stages, tuple(asked[each] for each in WITH),
                     tuple(asked[each] for each in instrument), saved, faults_in_words(faults))  # fmt: skip


def _shown(box: Box, asked: dict[str, Control], pilot: list[str], told: set[str]) -> Shown:
    paths = pilot if box.test.id == "pilot" else _paths(box.test)
    new = [each for each in box.test.cautions if each not in told]
    told.update(new)
    return Shown(box, tuple(asked[each] for each in paths), tuple(look_up_text("gb/cautions", "text", id=each)
                                                                   for each in new))  # fmt: skip


def _paths(test: Row) -> list[str]:
    """The fields of the record that a test fills, but for the list of pilot states."""
    return [each for each in (test.path, *ALSO.get(test.id, ())) if each in fields()]


def _paths_of_boxes(job: Job) -> list[str]:
    return [path for test in order() for path in _paths(test)]


def _pilot_paths(job: Job) -> list[str]:
    return [f"tests.pilot[{number}].{each}" for number in range(len(job.tests.pilot)) for each in PILOT]


def _next_pilot(job: Job) -> str:
    return f"tests.pilot[{len(job.tests.pilot)}]"


def _next_instrument(job: Job) -> str:
    return f"tests.instruments[{len(job.tests.instruments)}]"
