"""Sensors: where each goes, and their test as a conversation: what to switch, what was read, what that proves."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse

from ampwright.assess.sensors.diagnosis import Diagnosis, NextTest, diagnose
from ampwright.assess.sensors.house_model import Slot
from ampwright.assess.sensors.placement import Clamp, Placement, Plan, clamps, place
from ampwright.assess.sensors.session import BadReadings, session
from ampwright.assess.sensors.singleline import BadSingleLine
from ampwright.assess.sensors.words import slot_words
from ampwright.deliver.sensor_drawing import drawing
from ampwright.deliver.store.clock import british, utc_now
from ampwright.deliver.store.store import OperationReused, tried
from ampwright.deliver.web.chart import Chart
from ampwright.deliver.web.contexts import Head
from ampwright.deliver.web.controls import Control, number
from ampwright.deliver.web.look import error_page, show
from ampwright.deliver.web.screens.forms import Faults, controls, entry, faults_in_words
from ampwright.deliver.web.screens.sensors_chart import chances_chart, chances_drawn
from ampwright.deliver.web.site import Form, Here, Site, Typed, base_of, head, how, kept, operation_of, see
from ampwright.job.files import BadJobFile, Fault
from ampwright.job.record import Job, SensorReading
from ampwright.job.sensing import Shown
from ampwright.working import capital

KEPT_COUNT = 64
LOOKS = {"right": "met", "wrong": "not-met", "not yet known": "not-known"}
FIRST = NextTest(slot_words(Slot()) + " and everything else as it is", 2.0, 0.0, Slot())
router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, slots=True)
class Told:
    """One reading of the record in words, and its place there; only the last can be taken out by itself."""

    words: str
    shown: str
    changed: str


@dataclass(frozen=True, slots=True)
class SensorsPage:
    """The places of the sensors; the readings so far; what they prove; what to switch next, and the form for it."""

    head: Head
    plan: Plan | None
    readings: tuple[Told, ...]
    found: Diagnosis | None
    tests: tuple[NextTest, ...]
    chosen: int
    questions: tuple[Control, ...]
    figures: tuple[Control, ...]
    base: int
    operation: str
    take_out_as: str
    cannot: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()
    chart: Chart | None = None

    @property
    def adds(self) -> str:
        """The place of the next reading, which the form's boxes are named by."""
        return f"tests.sensing[{len(self.readings)}]"

    @property
    def letters(self) -> str:
        """A letter for each moment that places are compared by."""
        return "ABCDEFGH"

    @property
    def test(self) -> NextTest | None:
        """The test that is to be done now."""
        return self.tests[self.chosen] if self.tests else None

    def look(self, answer: str) -> str:
        """The class of an answer's colour; the same is said in words."""
        return LOOKS.get(answer, "yours")

    def rows(self, placement: Placement) -> list[tuple[str, tuple[float, ...]]]:
        """What a sensor would show in its place and in wrong ones."""
        wrong = [(each.where + (" (not to be told by these)" if each.same_kw else ""), each.shows_kw)
                 for each in placement.elsewhere]  # fmt: skip
        return [("in its place", placement.shows_kw), *wrong]


@router.get("/jobs/{name}/sensors")
def sensors(request: Request, site: Here, name: str, test: str = "1") -> Response:
    """The page, with one of the tests that would tell most chosen."""
    chosen = int(test) - 1 if test in ("1", "2", "3", "4") else 0
    return show(request, "sensors", _page(site, name, site.store.read(name)[1], chosen))


@router.get("/jobs/{name}/sensors/drawing.svg")
def drawn(request: Request, site: Here, name: str) -> Response:
    """The single-line with the sensors on it."""
    try:
        return Response(drawing(place(site.store.read(name)[0])), media_type="image/svg+xml")
    except BadSingleLine as bad:
        return error_page(request, 404, "There is nothing to draw yet", "Put this right first.", bad.faults)


def drawable(job: Job) -> bool:
    """Whether there is a single-line with sensors to draw."""
    return _planned(job)[0] is not None


@router.get("/jobs/{name}/sensors/chances.json")
def chances(request: Request, site: Here, name: str) -> Response:
    """The numbers of the chart."""
    try:
        return JSONResponse(chances_drawn(site.store.read(name)[0]))
    except (BadReadings, BadSingleLine) as bad:
        return error_page(request, 404, "There is nothing to draw yet", "Put this right first.", bad.faults)


@router.post("/jobs/{name}/sensors")
def read(request: Request, site: Here, name: str, typed: Form) -> Response:
    """Keep a reading, and judge all of them."""
    base = base_of(typed)
    job, _ = site.store.read(name, base)
    chosen = int(typed["test"]) if typed.get("test", "") in ("0", "1", "2", "3") else 0
    here = f"tests.sensing[{len(job.tests.sensing)}]"
    try:
        told = _reading(job, here, typed)
        _refuse(site, name, base, here, told)
        outcome = site.store.change(name, {"tests.sensing[]": told}, base=base, **how(site, typed))
        return kept(name, typed) if outcome.held else see(f"/jobs/{name}/sensors#so-far")
    except BadJobFile as bad:
        return show(request, "sensors", _page(site, name, base, chosen, typed, bad.faults), 422)
    except OperationReused as wrong:
        return error_page(request, 409, "This was saved before", capital(str(wrong)) + ".")


def _reading(job: Job, here: str, typed: Typed) -> dict[str, Any]:
    """The reading that the form describes, as the record holds it."""
    told = entry(here, _asked(job), typed)
    shown = []
    for place_, clamp in enumerate(clamps(job)):
        text = typed.get(f"{here}.shown[{place_}].kw", "").strip()
        if text:
            line = {} if clamp.alone else {"line": clamp.line}
            shown.append({"sensor": clamp.sensor.name, **line, "kw": number(text)})
    return {**told, **({"shown": shown} if shown else {})}


def _refuse(site: Site, name: str, base: int, here: str, told: dict[str, Any]) -> None:
    """Raises BadJobFile where the reading cannot be judged: it is not kept then."""
    try:
        session(tried(site.store.values(name, base), [(here, told)]))
    except (BadReadings, BadSingleLine) as bad:
        raise BadJobFile(tuple(_fault(each) for each in bad.faults)) from bad


def _fault(text: str) -> Fault:
    path, _, says = text.partition(": ")
    return Fault(None, path, says) if path.startswith("tests.") else Fault(None, "", text)


def _asked(job: Job) -> list[str]:
    """What is asked of a moment, beside the figures, as far as the job has it."""
    three = ["known_load_line"] if job.supply.phases == 3 else []
    solar = ["inverter", "dark", "inverter_kw"] if job.generation.fitted else []
    battery = ["battery"] if job.storage.fitted else []
    return ["at", "car_a", "known_load_kw", *three, *solar, *battery, "meter_kw", "changed"]


def _page(site: Site, name: str, base: int, chosen: int, typed: Typed | None = None,
          faults: Faults = ()) -> SensorsPage:  # fmt: skip
    job, _ = site.store.read(name, base)
    plan, cannot = _planned(job)
    found: Diagnosis | None = None
    chart: Chart | None = None
    tests: tuple[NextTest, ...] = (FIRST,)
    if job.tests.sensing and plan is not None:
        try:
            found, chart = _diagnosed(job), chances_chart(job, name)
            tests = found.next_tests
        except (BadReadings, BadSingleLine) as bad:
            cannot = bad.faults
    chosen = chosen if chosen < len(tests) else 0
    here = f"tests.sensing[{len(job.tests.sensing)}]"
    filled = typed if typed is not None else _arranged(here, tests[chosen].slot) if tests else {f"{here}.at": _now()}
    asked = controls({}, [f"{here}.{each}" for each in _asked(job)], filled, faults)
    operation = typed["operation"] if typed and typed.get("operation") else operation_of()
    return SensorsPage(head(name, job), plan, tuple(_told(each) for each in job.tests.sensing), found, tests, chosen,
                       tuple(asked.values()), tuple(_figures(job, here, typed, faults)), base, operation,
                       operation_of(), cannot, faults_in_words(faults), chart)  # fmt: skip


def _planned(job: Job) -> tuple[Plan | None, tuple[str, ...]]:
    if not job.sensors:
        return None, ("the job lists no sensors yet: add each with its name and what it watches",)
    try:
        return place(job), ()
    except BadSingleLine as bad:
        return None, bad.faults


@lru_cache(maxsize=KEPT_COUNT)
def _diagnosed(job: Job) -> Diagnosis:
    """What the readings prove: equal jobs have equal answers."""
    return diagnose(job)


def _arranged(here: str, slot: Slot) -> dict[str, str]:
    """What is known of a moment once it is arranged as asked; what is to be read off stays blank."""
    filled = {"at": _now(), "known_load_line": slot.known_line, "inverter": "running" if slot.sunny else "off"}
    filled |= {"car_a": "0"} if slot.car_a == 0 else {}
    filled |= {"known_load_kw": f"{slot.known_kw:g}"} if slot.known_kw == 0 else {}
    filled |= {"battery": "idle"} if slot.battery_idle else {}
    return {f"{here}.{field}": value for field, value in filled.items()}


def _now() -> str:
    return f"{british(utc_now()):%H:%M}"


def _figures(job: Job, here: str, typed: Typed | None, faults: Faults) -> list[Control]:
    """A box for what the display shows of each sensor."""
    paths = [f"{here}.shown[{number}].kw" for number in range(len(clamps(job)))]
    asked = controls({}, paths, typed, faults)
    return [replace(asked[path], asks=_shown_by(clamp)) for path, clamp in zip(paths, clamps(job), strict=True)]


def _shown_by(clamp: Clamp) -> str:
    counts = {"grid": "what is taken from the street is positive", "car": "what the car takes is positive"}
    return f"{clamp.name} shows, kW ({counts.get(clamp.sensor.watches, 'what it gives is positive')})"


def _told(reading: SensorReading) -> Told:
    parts = [reading.at or "time not noted", _car(reading.car_a)]
    if reading.known_load_kw:
        parts.append(f"a known load of {reading.known_load_kw:g} kW on {reading.known_load_line}")
    parts += [f"the inverter {reading.inverter}"] if reading.inverter else []
    parts += ["dark"] if reading.dark else []
    parts += [f"the battery {reading.battery}"] if reading.battery else []
    figures = [_shown(each) for each in reading.shown]
    for words, meter in (("supplier's meter", reading.meter_kw), ("inverter's display", reading.inverter_kw)):
        figures += [f"{words} {meter.ends} kW"] if meter is not None else []
    return Told(", ".join(parts), "; ".join(figures), reading.changed or "")


def _car(car_a: float | None) -> str:
    return "the car's current not noted" if car_a is None else f"the car at {car_a:g} A" if car_a else "the car stopped"


def _shown(shown: Shown) -> str:
    return f"{shown.sensor}{f' {shown.line}' if shown.line else ''} {shown.kw:g} kW"
