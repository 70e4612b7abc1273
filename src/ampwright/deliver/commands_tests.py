"""The command about the tests after the work."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ampwright.deliver.door import job_of, refused

if TYPE_CHECKING:
    from ampwright.job.record import Job


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--readings", type=click.Path(path_type=Path, dir_okay=False), metavar="OUT.csv",
              help="Readings that an instrument wrote as CSV.")
@click.option("--columns", type=click.Path(path_type=Path, dir_okay=False), metavar="MAP.csv",
              help="Which column holds which field: a CSV with the headings column, field, factor.")
@click.option("--circuit", help="Which circuit's row to take, where the readings have several.")
@click.option("--yaml", "as_yaml", is_flag=True, help="Print the measured values alone, to go into the job file.")
@click.option("--working", is_flag=True, help="Show how each expected value was worked out.")
@click.option("--json", "as_machine", is_flag=True, help="Print JSON of a stable shape instead of text.")
@click.pass_context
def tests(context: click.Context, file: Path, readings: Path | None, columns: Path | None, circuit: str | None,
          as_yaml: bool, working: bool, as_machine: bool) -> None:  # fmt: skip
    """The test sheet of the job in FILE: what each test should read, its limit, and what a reading means.

    The exit status is 1 if a test failed, 2 if one is still to do or reads oddly, else 0; 3 if the file cannot be read.
    """
    from ampwright.assess.testing.sheet import sheet
    from ampwright.deliver.testing import readings_yaml, sheet_json, sheet_text

    job = job_of(file)
    if (readings is None) != (columns is None):
        raise click.UsageError("--readings and --columns go together: the file and the map of its columns.")
    if circuit is not None and readings is None:
        raise click.UsageError("--circuit picks a row of --readings.")
    if readings is not None and columns is not None:
        job = _read(job, readings, columns, circuit)
    if as_yaml:
        click.echo(readings_yaml(job))
        return
    found = sheet(job)
    click.echo(json.dumps(sheet_json(found), indent=2, ensure_ascii=False) if as_machine else
               sheet_text(found, working=working))  # fmt: skip
    context.exit(found.exit_status)


def _read(job: Job, readings: Path, columns: Path, circuit: str | None) -> Job:
    from ampwright.job.instrument_file import BadInstrumentFile, read_into

    try:
        return read_into(job, readings, columns, circuit)
    except BadInstrumentFile as bad:
        refused(readings, bad.says)
