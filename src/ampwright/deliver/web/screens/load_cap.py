"""The load cap: what to set, why it holds, the worst day that was tried against it, and the trial on site."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse

from ampwright.assess.load_cap.report import Report, report
from ampwright.deliver import load_cap as of
from ampwright.deliver.screen import memory_note, tally
from ampwright.deliver.web.chart import Chart, Key, by, line
from ampwright.deliver.web.contexts import Head
from ampwright.deliver.web.look import error_page, show
from ampwright.deliver.web.runs import Told, begun
from ampwright.deliver.web.site import Here, Site, head
from ampwright.job.record import Job
from ampwright.working import Check, down, up

KEPT_COUNT = 64
HOUR_MIN, ROW_S = 60, 10
router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, slots=True)
class LoadCapPage:
    """The answers, and the worst day once it was sought; `attackable` is whether enough is known to seek it."""

    head: Head
    headline: str
    tally: str
    checks: tuple[Check, ...]
    on_site: str
    notes: list[str]
    attackable: bool
    day_words: str
    charts: tuple[Chart, ...]


@router.get("/jobs/{name}/load-cap")
def load_cap(request: Request, site: Here, name: str) -> Response:
    """The page; with the worst day if it was sought for the job as it stands."""
    job, _ = site.store.read(name)
    found, whole = _answered(job), _sought(site, job)
    told = whole or found
    attackable = found.line is not None and found.line.situation is not None
    words = of.day_words(job, told.line, told.day) if told.line is not None and told.day is not None else ""
    return show(request, "load_cap", LoadCapPage(
        head(name, job), of.headline(found), tally(found), tuple(of.asked_once(found.checks)), of.on_site(found),
        memory_note(found.checks), attackable, words, _charts(name, whole)))  # fmt: skip


@router.post("/jobs/{name}/load-cap/worst-day")
def seek(request: Request, site: Here, name: str) -> Response:
    """Seek the worst day."""
    job, _ = site.store.read(name)
    return begun(request, site.runs.begin(("load cap", job), lambda told: _worked(job, told)),
                 f"/jobs/{name}/load-cap#worst")  # fmt: skip


@router.get("/jobs/{name}/load-cap/{which}.json")
def numbers(request: Request, site: Here, name: str, which: str) -> Response:
    """The numbers of one chart."""
    whole = _sought(site, site.store.read(name)[0])
    drawn = {"day": _day, "minutes": _minutes}.get(which)
    if whole is None or drawn is None:
        return error_page(request, 404, "There is no such day yet", "Seek the worst day on the page of the load cap.")
    return JSONResponse(drawn(whole))


@lru_cache(maxsize=KEPT_COUNT)
def _answered(job: Job) -> Report:
    """The answers without the attack: equal jobs have equal ones."""
    return report(job, attacked=False)


def _worked(job: Job, told: Told) -> Report:
    told("the answers", 0, 2)
    _answered(job)
    told("the worst day", 1, 2)
    found = report(job)
    told("done", 2, 2)
    return found


def _sought(site: Site, job: Job) -> Report | None:
    run = site.runs.found(("load cap", job))
    found: Report | None = None if run is None else run.answer()
    return found if found is not None and found.day is not None else None


def _attack(whole: Report) -> dict[str, Any]:
    found: dict[str, Any] = of.as_json(whole)["attack"]
    return found


def _levels(whole: Report, count: int) -> list[dict[str, Any]]:
    """What may flow, and the cap, right across."""
    assert whole.line is not None
    return [line("may flow", [round(whole.line.limit.true_a, 1)] * count, "four", width=1.5),
            line("cap", [_attack(whole)["cap_a"]] * count, "five", look="dashed")]  # fmt: skip


def _day(whole: Report) -> dict[str, Any]:
    minutes = _attack(whole)["minutes"]
    count = len(minutes["highest_a"])
    return {"x": [60 * each for each in range(count)], "unit": "A, °C", "bands": [[1, 2, "one"]], "series": [
        line("highest", minutes["highest_a"], "one", width=1, unit="A"),
        line("lowest", minutes["lowest_a"], "one", width=1, unit="A"),
        line("tails", minutes["tails_c"], "three", look="dotted", unit="°C"),
        *({**each, "unit": "A"} for each in _levels(whole, count))]}  # fmt: skip


def _minutes(whole: Report) -> dict[str, Any]:
    seconds = _attack(whole)["seconds"]
    total = [round(house + car, 1) for house, car in zip(seconds["house_a"], seconds["car_a"], strict=True)]
    lost = [0 if gone else None for gone in seconds["lost"]]
    start = _second(seconds["from"])
    return {"x": [start + each for each in range(len(total))], "unit": "A", "bands": [[1, 2, "two"]], "series": [
        line("house and car", total, "two", width=1.5, steps=True),
        line("house", seconds["house_a"], "one", width=1.5, filled=True, steps=True),
        *_levels(whole, len(total)),
        line("reading lost", lost, "three", points=True, width=4)]}  # fmt: skip


def _charts(name: str, whole: Report | None) -> tuple[Chart, ...]:
    if whole is None or whole.day is None or whole.line is None:
        return ()
    day, attack = whole.day, _attack(whole)
    limit_a, cap_a = down(whole.line.limit.true_a, 1), f"{attack['cap_a']:g}"
    levels = (Key(f"may flow, {limit_a} A", "four"), Key(f"cap, {cap_a} A", "five dashed"))
    whole_day = Chart(
        "day", "The worst day, minute by minute",
        f"The current is at most {up(float(day.total_a.max()), 1)} A where {limit_a} A may flow all the time; the "
        f"tails reach {up(day.hottest_c, 0)} °C; the fuse is warmest at {attack['at']}.",
        f"/jobs/{name}/load-cap/day.json", (Key("current, lowest to highest of each minute, A", "area one"),
                                            Key("meter tails, °C", "three dotted"), *levels),
        ("Hour from", "Lowest, A", "Highest, A", "Tails at most, °C"), tuple(_hours(attack["minutes"])),
        "The same as a table, hour by hour")  # fmt: skip
    minutes = Chart(
        "minutes", "The minutes that are worst for the fuse",
        f"From {attack['seconds']['from']} on, second by second: the house comes on, and the car gives way once a "
        f"reading has arrived. {sum(attack['seconds']['lost'])} seconds of them are without a reading.",
        f"/jobs/{name}/load-cap/minutes.json", (Key("house, A", "area one"), Key("car on top of it, A", "area two"),
                                                *levels, Key("reading lost", "three")),
        ("Time", "House at most, A", "House and car at most, A", "Readings lost"), tuple(_tens(attack["seconds"])),
        f"The same as a table, by {ROW_S} seconds")  # fmt: skip
    return whole_day, minutes


def _hours(minutes: dict[str, list[float]]) -> list[tuple[str, ...]]:
    columns = zip(*(by(minutes[each], HOUR_MIN) for each in ("lowest_a", "highest_a", "tails_c")), strict=True)
    return [(f"{hour:02d}:00", f"{min(low):.1f}", f"{max(high):.1f}", f"{max(tails):.0f}")
            for hour, (low, high, tails) in enumerate(columns)]  # fmt: skip


def _tens(seconds: dict[str, Any]) -> list[tuple[str, ...]]:
    start = _second(seconds["from"])
    rows: list[tuple[str, ...]] = []
    both = list(zip(seconds["house_a"], seconds["car_a"], seconds["lost"], strict=True))
    for number, some in enumerate(by(both, ROW_S)):
        most_a = max(house + car for house, car, _ in some)
        rows.append((of.clock(start + ROW_S * number), f"{max(house for house, _, _ in some):.1f}", f"{most_a:.1f}",
                     str(sum(gone for _, _, gone in some)) + " s"))  # fmt: skip
    return rows


def _second(clock: str) -> int:
    hours, minutes, seconds = map(int, clock.split(":"))
    return 3600 * hours + 60 * minutes + seconds
