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
    from ampwright.assess.recall.again import Rules
    from ampwright.assess.recall.condition import Condition
    from ampwright.deliver.batch.sources import Source
    from ampwright.deliver.recall import Recalled
    from ampwright.deliver.store.shape import Place
    from ampwright.job.record import Job

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
    from ampwright.deliver.batch.sources import Folder, Kept
    from ampwright.deliver.recall import recall_csv, recall_json, recall_text

    conditions = _conditions(asked, words)
    rules = Rules(edition, day.date() if day else None, tables)
    _known(rules)
    if folder is None:
        opened(place).close()
    bad: list[str] = []
    found = _recalled(Folder(folder) if folder else Kept(place), conditions, under, rules, bad)
    if as_machine:
        click.echo(json.dumps(recall_json(found), indent=2, ensure_ascii=False))
    else:
        click.echo(recall_csv(found) if as_rows else recall_text(found), nl=not as_rows)
    for each in bad:
        click.echo(each, err=True)
    sys.exit(BAD_FILE if bad else 1 if found.differing else 0)


def _conditions(asked: tuple[str, ...], words: tuple[str, ...]) -> list[Condition]:
    from ampwright.assess.recall.condition import BadCondition, condition, says

    found, bad = [], []
    for each in asked:
        try:
            found.append(condition(each))
        except BadCondition as wrong:
            bad.append(str(wrong))
    if bad:
        raise click.UsageError("\n".join(bad))
    return [*found, *(says(each) for each in words)]


def _known(rules: Rules) -> None:
    from ampwright.assess.recall.given_tables import BadTables, editions_given

    try:
        known = editions_given(rules.tables)
    except BadTables as bad:
        click.echo(f"These tables cannot stand in place of those held:\n{bad}", err=True)
        sys.exit(BAD_FILE)
    if rules.edition is not None and rules.edition not in known:
        raise click.UsageError(f"The book knows no edition {rules.edition!r}, only {', '.join(known)}.")


def _recalled(source: Source, conditions: list[Condition], under: str, rules: Rules, bad: list[str]) -> Recalled:
    """What was found; the faults of what could not be read are added to `bad`."""
    from ampwright.assess.recall.again import Rules, judged_again
    from ampwright.assess.recall.finding import find
    from ampwright.deliver.recall import Recalled

    jobs = list(_jobs(source, bad))
    found = tuple(find(jobs, conditions, under))
    again = judged_again([(each.name, each.job) for each in found], rules) if rules != Rules() and found else []
    return Recalled(tuple(conditions), len(jobs), found, rules_words(rules), tuple(again))


def rules_words(rules: Rules) -> str:
    """By what the jobs are judged again; nothing if they are not."""
    from ampwright.working import written_day

    said = (rules.edition or "", f"the rules of {written_day(rules.day)}" if rules.day else "",
            f"the tables of {rules.tables}" if rules.tables else "")  # fmt: skip
    return ", ".join(each for each in said if each)


def _jobs(source: Source, bad: list[str]) -> Iterator[tuple[str, Job]]:
    from ampwright.job.files import BadJobFile

    for name, fingerprint in source.jobs():
        try:
            yield name, source.read(name, fingerprint)[0]
        except BadJobFile as wrong:
            bad.append(str(wrong))
