"""One run of the forecast for the command line: a bar on stderr while it works, then the text, JSON or CSV."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from ampwright.assess.forecast.forecast import CannotForecast, Forecast, forecast
from ampwright.deliver.forecast_machine import as_csv, as_json
from ampwright.deliver.forecast_screen import forecast_text
from ampwright.job.half_hourly import BadReadings
from ampwright.job.record import Job

BAD_FILE = 3
BAR_WIDTH = 30


def run_text(job: Job, folder: Path, form: str, *, years_count: int, seed: int,
             goal_percent: float | None) -> tuple[str, bool]:  # fmt: skip
    """The forecast in a form (text, json, csv) and whether it is whole. Ends the program with 3 where none can be."""
    from ampwright.assess.forecast.skies import source_of

    try:
        made = forecast(job, folder, source_of(job, seed, folder), seed=seed, years_count=years_count,
                        goal_percent=goal_percent, told=_bar)  # fmt: skip
    except (CannotForecast, BadReadings) as bad:
        click.echo(str(bad), err=True)
        sys.exit(BAD_FILE)
    return _shown(made, form), made.complete


def _shown(made: Forecast, form: str) -> str:
    if form == "json":
        return json.dumps(as_json(made), indent=2, ensure_ascii=False)
    return as_csv(made).rstrip("\n") if form == "csv" else forecast_text(made)


def _bar(words: str, done: int, count: int) -> None:
    """Redraw the bar, on a terminal only."""
    if not sys.stderr.isatty():
        return
    full = BAR_WIDTH * done // max(count, 1)
    end = "\n" if done >= count else ""
    click.echo(f"\r{words:<12}[{'#' * full}{'.' * (BAR_WIDTH - full)}] {done} of {count}{end}", err=True, nl=False)
