"""The command about the tests after the work."""

from __future__ import annotations

import json
from pathlib import Path

import click

from ampwright.deliver.door import job_of


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--working", is_flag=True, help="Show how each expected value was worked out.")
@click.option("--json", "as_machine", is_flag=True, help="Print JSON of a stable shape instead of text.")
@click.pass_context
def tests(context: click.Context, file: Path, working: bool, as_machine: bool) -> None:
    """The test sheet of the job in FILE: what each test should read, its limit, and what a reading means.

    The exit status is 1 if a test failed, 2 if one is still to do or reads oddly, else 0; 3 if the file cannot be read.
    """
    from ampwright.assess.testing.sheet import sheet
    from ampwright.deliver.testing import sheet_json, sheet_text

    found = sheet(job_of(file))
    click.echo(json.dumps(sheet_json(found), indent=2, ensure_ascii=False) if as_machine else
               sheet_text(found, working=working))  # fmt: skip
    context.exit(found.exit_status)
