"""The command about how far the papers are filled."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from ampwright.deliver.door import job_of


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--coverage", "covered", is_flag=True, help="Print the boxes filled, and who owes each empty one.")
@click.pass_context
def papers(context: click.Context, file: Path, covered: bool) -> None:
    """What the papers of the job in FILE hold.

    The exit status with --coverage is 2 while a compulsory box is empty, else 0; 3 if the file cannot be read.
    """
    from ampwright.deliver.coverage import print_coverage

    if not covered:
        raise click.UsageError("Say --coverage.")
    context.exit(print_coverage(job_of(file), datetime.date.today()))
