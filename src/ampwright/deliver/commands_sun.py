"""The command about sunshine."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from ampwright.deliver.door import job_of


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--years", "years_count", type=click.IntRange(1, 10_000), default=100, show_default=True,
              help="How many invented years.")
@click.option("--seed", type=click.IntRange(0), default=1, show_default=True, help="The same seed, the same bytes.")
@click.option("--goal", "goal_percent", type=click.FloatRange(0, 100), help="Search for what reaches this share, in %.")
@click.option("--json", "as_machine", is_flag=True, help="Print JSON of a stable shape instead of text.")
@click.option("--csv", "as_table", is_flag=True, help="Print every figure as CSV instead of text.")
def forecast(file: Path, years_count: int, seed: int, goal_percent: float | None, as_machine: bool,
             as_table: bool) -> None:  # fmt: skip
    """Forecast how much of the driving in FILE comes from the roof, by way of charging, always as a band.

    Ctrl-C ends a long run and prints what is done; the exit status is then 2. It is 3 if the job cannot be forecast.
    """
    from ampwright.deliver.forecast_run import run_text

    if as_machine and as_table:
        raise click.UsageError("Ask for --json or for --csv, not for both.")
    form = "json" if as_machine else "csv" if as_table else "text"
    text, complete = run_text(job_of(file), file.parent, form, years_count=years_count, seed=seed,
                              goal_percent=goal_percent)  # fmt: skip
    click.echo(text)
    if not complete:
        sys.exit(2)
