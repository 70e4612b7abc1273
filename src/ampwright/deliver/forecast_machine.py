"""The sunshine forecast as JSON of a stable shape, and as CSV; `FORMAT` changes when the shape does."""

from __future__ import annotations

import csv
import io
from typing import Any

from ampwright.assess.forecast.account import CODES
from ampwright.assess.forecast.bands import FIGURES, Band, ceiling_band, monthly, yearly
from ampwright.assess.forecast.clock import MONTHS
from ampwright.assess.forecast.forecast import Forecast

FORMAT = 1
DIGITS = 6


def as_json(made: Forecast) -> dict[str, Any]:
    """The whole forecast, ready for json.dumps."""
    return {
        "format": FORMAT,
        "title": made.job.title,
        "reference": made.job.reference,
        "seed": made.setting.seed,
        "years": len(made.years),
        "years_asked": made.asked_count,
        "complete": made.complete,
        "source": {"sun": made.source.words, "sun_sha256": made.source.sha256, "job_sha256": made.sha256},
        "accounting": "house first",
        "figures": {name: words for name, (words, _) in FIGURES.items()},
        "ways": {way: _way(made, way) for way in CODES},
        "ceiling_percent": _band(ceiling_band(made.years)),
        "bars_way": made.bars_way,
        "bars": [{"assumption": bar.name, "low_percent": _round(bar.low_percent),
                  "high_percent": _round(bar.high_percent), "from_to": bar.words} for bar in made.bars],
        "goal": None if made.goal_percent is None else {
            "percent": made.goal_percent,
            "answers": [{"do": list(answer.words), "way": answer.way, "reached": answer.reached,
                         "own_share_percent": _band(answer.share_percent)} for answer in made.answers]},
        "supposed": list(made.supposed),
    }  # fmt: skip


def as_csv(made: Forecast) -> str:
    """One line for each way, month (or the year) and figure, with its band."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(["way", "month", "figure", "p10", "p50", "p90"])
    for way in CODES:
        for name, found in yearly(made.years, way).items():
            writer.writerow([way, "year", name, *_cells(found)])
        for month, figures in zip(MONTHS, monthly(made.years, way), strict=True):
            for name, found in figures.items():
                writer.writerow([way, month, name, *_cells(found)])
    writer.writerow(["perfect foresight", "year", "own_share_percent", *_cells(ceiling_band(made.years))])
    return text.getvalue()


def _way(made: Forecast, way: str) -> dict[str, Any]:
    months = [{name: _band(found) for name, found in month.items()} for month in monthly(made.years, way)]
    return {"year": {name: _band(found) for name, found in yearly(made.years, way).items()},
            "months": dict(zip(MONTHS, months, strict=True))}  # fmt: skip


def _band(found: Band | None) -> dict[str, float] | None:
    if found is None:
        return None
    return {"p10": _round(found.low), "p50": _round(found.value), "p90": _round(found.high)}


def _cells(found: Band | None) -> list[float | str]:
    return ["", "", ""] if found is None else [_round(found.low), _round(found.value), _round(found.high)]


def _round(value: float) -> float:
    return round(value, DIGITS)
