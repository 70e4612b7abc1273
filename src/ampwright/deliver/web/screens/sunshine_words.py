"""The sunshine forecast as the page shows it: its tables, its charts, and what was supposed."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ampwright.assess.forecast.account import UNCONTROLLED, WAYS
from ampwright.assess.forecast.bands import Band, ceiling_band, monthly, yearly
from ampwright.assess.forecast.clock import MONTHS
from ampwright.assess.forecast.forecast import Forecast
from ampwright.deliver.forecast_screen import (
    ACCOUNT,
    BAND_NOTE,
    COLUMNS,
    COST_NOTE,
    HEADS,
    MEANING,
    NO_PROMISE,
    notes_of,
    short_words,
)
from ampwright.deliver.own_files import Files
from ampwright.deliver.web.chart import Chart, Key, by, line
from ampwright.working import written_day

HOUR_MIN = 60
Kw = Sequence[list[Any]]


@dataclass(frozen=True, slots=True)
class Shown:
    """Everything that the page shows of a forecast."""

    headline: str
    heads: tuple[str, ...]
    ways: tuple[tuple[str, str, tuple[str, ...]], ...]
    ceiling: str
    months: Chart
    day: Chart
    bars: tuple[tuple[str, str, str], ...]
    goal: str
    answers: tuple[str, ...]
    supposed: tuple[str, ...]
    sun: str
    notes: tuple[str, ...]
    files: tuple[str, ...]
    account: str = ACCOUNT
    cost_note: str = COST_NOTE
    band_note: str = BAND_NOTE
    no_promise: str = NO_PROMISE


def shown(made: Forecast, day_kw: Kw, day: datetime.date, files: Files,
          addresses: tuple[str, str]) -> Shown:  # fmt: skip
    """The forecast in words and tables, with a day of its first year."""
    best = yearly(made.years, made.bars_way)["own_share_percent"]
    ways = tuple((way, MEANING[way], tuple(short_words(yearly(made.years, way)[name]) for name in COLUMNS))
                 for way in (UNCONTROLLED, *WAYS))  # fmt: skip
    left_out = tuple(f"the file {each} is not here, so it is not used: put it in below" for each in
                     files.missing.values())  # fmt: skip
    used = tuple(f"{each.name}: {each.says}." for each in files.held.values())
    origin = (f"{made.source.words}; its hash {made.source.sha256[:16]}, the job's {made.sha256[:16]}, "
              f"seed {made.setting.seed}")  # fmt: skip
    goal = "" if made.goal_percent is None else f"How to get to {made.goal_percent:g} % in the middle year"
    answers = tuple(f"{'; and '.join(each.words)}; charging {each.way}: {short_words(each.share_percent)} %"
                    f"{'' if each.reached else ', which does not reach it'}" for each in made.answers)  # fmt: skip
    return Shown(_headline(made, best), HEADS, ways, f"{short_words(ceiling_band(made.years))} %",
                 _months(made, addresses[0]), _day(made, day_kw, day, addresses[1]), _bars(made), goal, answers,
                 (*left_out, *made.supposed), origin, notes_of(made), used)  # fmt: skip


def _headline(made: Forecast, best: Band | None) -> str:
    if best is None:
        return "Nothing is driven, so no share can be said."
    return (f"Most from the roof is had with “{made.bars_way}”: {best.low:.0f} to {best.high:.0f} % of what the car "
            f"needs, {best.value:.0f} % in the middle of {len(made.years)} invented years.")  # fmt: skip


def _bars(made: Forecast) -> tuple[tuple[str, str, str], ...]:
    return tuple((each.name, f"{each.low_percent:.0f} to {each.high_percent:.0f} %", each.words) for each in made.bars)


def _months(made: Forecast, address: str) -> Chart:
    found = monthly(made.years, made.bars_way)
    shares = [(name, each["own_share_percent"]) for name, each in zip(MONTHS, found, strict=True)]
    known = [(band.value, name) for name, band in shares if band is not None]
    says = "No month has a share." if not known else (
        f"Best is {max(known)[1]} with {max(known)[0]:.0f} % in the middle year, least {min(known)[1]} with "
        f"{min(known)[0]:.0f} %.")  # fmt: skip
    rows = tuple((name, *(short_words(each[column]) for column in ("own_share_percent", "sun_kwh", "grid_kwh")))
                 for name, each in zip(MONTHS, found, strict=True))  # fmt: skip
    return Chart("months", f"Share from the roof, month by month: {made.bars_way}", says, address,
                 (Key("middle year", "one"), Key("eight years of ten", "area one")),
                 ("Month", "Own share, %", "From the sun, kWh", "From the grid, kWh"), rows)  # fmt: skip


def months_drawn(made: Forecast) -> dict[str, Any]:
    """The numbers of the chart of months."""
    bands = [each["own_share_percent"] for each in monthly(made.years, made.bars_way)]
    low, middle, high = ([None if band is None else round(getattr(band, end), 1) for band in bands]
                         for end in ("low", "value", "high"))  # fmt: skip
    return {"x": list(range(12)), "names": [name[:3] for name in MONTHS], "unit": "%", "bands": [[1, 2, "one"]],
            "series": [line("one year of ten above", high, "one", width=1),
                       line("one year of ten below", low, "one", width=1),
                       line("middle year", middle, "one", width=3, points=True)]}  # fmt: skip


def _day(made: Forecast, day_kw: Kw, day: datetime.date, address: str) -> Chart:
    sun, house, car, own = (sum(each) / HOUR_MIN for each in day_kw)
    summary = (f"On {day.day} {MONTHS[day.month - 1]} of the first invented year the roof gives {sun:.1f} kWh; the "
               f"house takes {house:.1f} kWh, the car {car:.1f} kWh and {own:.1f} of them from the roof.")  # fmt: skip
    hours = zip(*(by(each, HOUR_MIN) for each in day_kw), strict=True)
    rows = tuple((f"{number:02d}:00", *(f"{sum(each) / HOUR_MIN:.2f}" for each in hour))
                 for number, hour in enumerate(hours))  # fmt: skip
    keys = (Key("roof", "two"), Key("house", "six dashed"), Key("car", "one"), Key("of it from the roof", "area one"))
    return Chart("day", f"One day by the minute: {written_day(day)}, {made.bars_way}", summary, address, keys,
                 ("Hour from", "Roof, kWh", "House, kWh", "Car, kWh", "Of it from the roof, kWh"), rows,
                 "The same as a table, hour by hour")  # fmt: skip


def day_drawn(sun: list[Any], house: list[Any], car: list[Any], own: list[Any]) -> dict[str, Any]:
    """The numbers of the chart of a day."""
    return {"x": [60 * each for each in range(len(sun))], "unit": "kW", "series": [
        line("of it from the roof", own, "one", width=0, filled=True, steps=True),
        line("car", car, "one", steps=True), line("roof", sun, "two", width=1.5),
        line("house", house, "six", look="dashed", width=1.5)]}  # fmt: skip
