"""The command that looks through all past jobs."""

from __future__ import annotations

import datetime
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ampwright.deliver.commands_store import JOBS, opened
from ampwright.deliver.door import BAD_FILE

if TYPE_CHECKING:
    from ampwright.deliver.batch.sources import Source
    from ampwright.deliver.recalling import Named
    from ampwright.deliver.store.shape import Place

FOLDER = click.Path(path_type=Path, exists=True, file_okay=False)


@click.command()
@click.argument("asked", nargs=-1, metavar="[CONDITION]...")
@JOBS
@click.option("--folder", type=FOLDER, help="Look through the job files (*.yaml) of this folder, and not the store.")
@click.option("--says", "words", multiple=True, metavar="TEXT", help="Any field of words holds TEXT: a serial number.")
@click.option("--judged-under", "under", default="", metavar="EDITION",
              help="Judged by an edition with this in its name.")  # fmt: skip
@click.option("--edition", help="Judge the jobs found again under this edition, and list which verdicts would differ.")
@click.option("--on", "day", type=click.DateTime(["%Y-%m-%d"]), help="Judge them again by the rules of this day.")
@click.option("--tables", type=FOLDER, help="Judge them again with the tables of this folder (gb/max_zs.csv) in place.")
@click.option("--csv", "as_rows", is_flag=True, help="Print CSV instead of text.")
@click.option("--json", "as_machine", is_flag=True, help="Print JSON of a stable shape instead of text.")
def recall(asked: tuple[str, ...], place: Place, folder: Path | None, words: tuple[str, ...], under: str,
           edition: str | None, day: datetime.datetime | None, tables: Path | None, as_rows: bool,
           as_machine: bool) -> None:  # fmt: skip
    """Find every job that holds each CONDITION: a field by its path or the words of its label, a sign and a value.

    \b
    ampwright recall "kind of cable = armoured_70c" "cable.size_mm2 = 6"
    ampwright recall "charge_point.set_a >= 20" --says "serial 0042"
    ampwright recall "length of this stretch = 10 to 30" --csv
    ampwright recall --edition "BS 7671:2018+A4:2026"

    Signs are = != < <= > >= and ~ (holds these words); a field alone asks whether anything is said there. What is found
    without doubt, what a range leaves open and what nobody looked at are told apart. The exit status is 1 if a verdict
    would differ; 3 if a file or a condition cannot be read, and the other files are still told; else 0.
    """
    from ampwright.assess.recall.again import Rules
    from ampwright.assess.recall.given_tables import BadTables
    from ampwright.deliver.batch.sources import Folder, Kept
    from ampwright.deliver.recall import recall_csv, recall_json, recall_text
    from ampwright.deliver.recalling import Asking, BadAsking, recalled

    asking = Asking(asked, words, under, Rules(edition, day.date() if day else None, tables))
    try:
        asking.understood()
        if folder is None:
            opened(place).close()
        found = recalled(_jobs(Folder(folder) if folder else Kept(place)), asking)
    except BadAsking as bad:
        raise click.UsageError(str(bad)) from bad
    except BadTables as bad:
        click.echo(f"These tables cannot stand in place of those held:\n{bad}", err=True)
        sys.exit(BAD_FILE)
    if as_machine:
        click.echo(json.dumps(recall_json(found), indent=2, ensure_ascii=False))
    else:
        click.echo(recall_csv(found) if as_rows else recall_text(found), nl=not as_rows)
    for each in found.unread:
        click.echo(each, err=True)
    sys.exit(BAD_FILE if found.unread else 1 if found.differing else 0)


def _jobs(source: Source) -> Iterator[Named]:
    for name, fingerprint in source.jobs():
        yield name, lambda name=name, fingerprint=fingerprint: source.read(name, fingerprint)[0]  # type: ignore[misc]
