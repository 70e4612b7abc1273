"""The command about what is owed to whom by when."""

from __future__ import annotations

import datetime
import json
from pathlib import Path

import click

from ampwright.deliver.door import BAD_FILE, loaded


@click.command()
@click.argument("files", nargs=-1, type=click.Path(path_type=Path))
@click.option("--all", "folder", type=click.Path(path_type=Path, exists=True, file_okay=False),
              help="Every job file (.yaml) of this folder.")  # fmt: skip
@click.option("--on", "day", type=click.DateTime(["%Y-%m-%d"]), help="As it stands on this day; today if not given.")
@click.option("--ics", type=click.Path(path_type=Path, dir_okay=False), metavar="OUT.ics",
              help="Write the last days into this calendar file.")  # fmt: skip
@click.option("--json", "as_machine", is_flag=True, help="Print JSON of a stable shape instead of text.")
@click.pass_context
def due(context: click.Context, files: tuple[Path, ...], folder: Path | None, day: datetime.datetime | None,
        ics: Path | None, as_machine: bool) -> None:  # fmt: skip
    """What the jobs in FILES owe to whom by when, by the dates in their records.

    The exit status is 1 if something is overdue, 2 if something is owed or to be found out, else 0; 3 if a file cannot
    be read, and the others are still told.
    """
    from ampwright.assess.programme import programme
    from ampwright.deliver import due as of
    from ampwright.job.files import BadJobFile

    paths = (*files, *(sorted(folder.glob("*.yaml")) if folder is not None else ()))
    if not paths:
        raise click.UsageError("Name a job file, or a folder of them with --all.")
    on = day.date() if day is not None else datetime.date.today()
    jobs, bad_files = [], 0
    for path in {path.resolve(): path for path in paths}.values():
        try:
            job = loaded(path)
        except BadJobFile as bad:
            click.echo(str(bad), err=True)
            bad_files += 1
        else:
            jobs.append((path.name, job, programme(job, on)))
    if not jobs:
        context.exit(BAD_FILE if bad_files else 0)
    if ics is not None:
        ics.write_bytes(of.due_calendar(jobs, on))
    click.echo(json.dumps(of.due_json(jobs, on), indent=2, ensure_ascii=False) if as_machine else of.due_text(jobs, on))
    context.exit(BAD_FILE if bad_files else of.exit_status(jobs))
