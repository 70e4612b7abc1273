"""The commands."""

from __future__ import annotations

import json
import sys
from difflib import get_close_matches
from pathlib import Path
from typing import NoReturn

import click

from ampwright.deliver.commands_batch import batch, take_in, work
from ampwright.deliver.commands_documents import papers
from ampwright.deliver.commands_issue import confirm, issue, issued
from ampwright.deliver.commands_money import quote
from ampwright.deliver.commands_paper import due
from ampwright.deliver.commands_people import people
from ampwright.deliver.commands_recall import recall
from ampwright.deliver.commands_server import jobs, pull, push
from ampwright.deliver.commands_site import drums, materials, route
from ampwright.deliver.commands_store import backup, restore
from ampwright.deliver.commands_sun import forecast
from ampwright.deliver.commands_supply import diagnose, loadcap, practice, sensors
from ampwright.deliver.commands_tests import tests
from ampwright.deliver.commands_web import serve
from ampwright.deliver.door import BAD_FILE, figures_of, job_of, proposal_of


@click.group()
@click.version_option(package_name="ampwright")
@click.option("--server", envvar="AMPWRIGHT_SERVER", metavar="URL",
              help="A server of jobs; FILE may then be the id of a job, as `ampwright jobs` lists it.")  # fmt: skip
@click.option("--firm", envvar="AMPWRIGHT_FIRM", type=click.Path(path_type=Path), metavar="FILE",
              help="What is the same on every job: installer, firm, instruments, as in a job file.")  # fmt: skip
def ampwright(server: str | None, firm: Path | None) -> None:
    """One job record for the electrician who fits a charge point at a home: every check with its working."""


@ampwright.command()
@click.argument("folder", type=click.Path(path_type=Path), default="demo")
def demo(folder: Path) -> None:
    """Write four invented jobs into FOLDER (default: demo). A file that you changed is never overwritten."""
    from ampwright.deliver.demo import write_demo

    for line in write_demo(folder):
        click.echo(line)


@ampwright.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--working", is_flag=True, help="Show the arithmetic of every check, line by line.")
@click.option("--only", metavar="RULE", help="Judge one rule, by the name that `ampwright rules` lists.")
@click.option("--json", "as_machine", is_flag=True, help="Print JSON of a stable shape instead of text.")
@click.pass_context
def assess(context: click.Context, file: Path, working: bool, only: str | None, as_machine: bool) -> None:
    """Judge the job in FILE.

    The exit status is 1 if a check is not met, else 2 if one is not yet known, else 0 (some may be yours to
    judge); 3 if the file cannot be read as a job.
    """
    from ampwright.assess.assessment import assess as judge

    if only is not None:
        _known_rule(only)
    assessment = judge(job_of(file), only)
    if as_machine:
        from ampwright.deliver.machine import as_json

        click.echo(json.dumps(as_json(assessment), indent=2, ensure_ascii=False))
    else:
        from ampwright.deliver.screen import summary

        click.echo(summary(assessment, working=working))
    context.exit(assessment.exit_status)


@ampwright.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--catalogue", type=click.Path(path_type=Path), help="A catalogue of your own, with your prices.")
@click.option("--all", "everything", is_flag=True, help="Print every design on the front and every check of each.")
@click.option("--json", "as_machine", is_flag=True, help="Print JSON of a stable shape instead of text.")
@click.pass_context
def design(context: click.Context, file: Path, catalogue: Path | None, everything: bool, as_machine: bool) -> None:
    """Propose the circuit for the job in FILE: the best lawful designs of a catalogue, and why others are not there.

    The exit status is 1 if no design stands, else 2 if each still hangs on the survey, else 0; 3 if the file or the
    catalogue cannot be read, or the route is not known enough to search.
    """
    proposal = proposal_of(job_of(file), figures_of(file, catalogue=catalogue).catalogue)
    if as_machine:
        from ampwright.deliver.design_machine import as_json

        click.echo(json.dumps(as_json(proposal, everything=everything), indent=2, ensure_ascii=False))
    else:
        from ampwright.deliver.design_screen import design_text

        click.echo(design_text(proposal, everything=everything))
    context.exit(proposal.exit_status)


@ampwright.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--catalogue", type=click.Path(path_type=Path), help="A catalogue of your own, with your prices.")
@click.option("--json", "as_machine", is_flag=True, help="Print JSON of a stable shape instead of text.")
def survey(file: Path, catalogue: Path | None, as_machine: bool) -> None:
    """Print the visit list for the job in FILE: what to read, with what, and what each answer decides.

    The exit status is 2 if something is to be found out, else 0; 3 if the file or the catalogue cannot be read.
    """
    from ampwright.assess.visit import survey as visit_list

    found = visit_list(job_of(file), figures_of(file, catalogue=catalogue).catalogue)
    if as_machine:
        from ampwright.deliver.survey_machine import as_json

        click.echo(json.dumps(as_json(found), indent=2, ensure_ascii=False))
    else:
        from ampwright.deliver.survey_screen import survey_text

        click.echo(survey_text(found))


@ampwright.command()
def schema() -> None:
    """Print the JSON Schema of a job file."""
    from ampwright.job import files

    click.echo(json.dumps(files.schema(), indent=2, ensure_ascii=False))


@ampwright.command()
def rules() -> None:
    """List the rules in reading order: name, clause, question."""
    from ampwright.deliver.catalogue import rules_text

    click.echo(rules_text())


@ampwright.command()
@click.argument("table", required=False)
def facts(table: str | None) -> None:
    """List the tables of published numbers, or print TABLE with the source of every row."""
    from ampwright.deliver.catalogue import table_text, tables_text
    from ampwright.facts import all_tables

    if table is None:
        click.echo(tables_text())
    elif table in all_tables():
        click.echo(table_text(table))
    else:
        raise click.UsageError(f"There is no table {table!r}.{_hint(table, all_tables())}")


for each in (loadcap, sensors, diagnose, practice, forecast, route, materials, drums, quote, due, tests, papers, serve,
             backup, restore, batch, work, take_in, people, jobs, pull, push, recall, confirm, issue,
             issued):  # fmt: skip
    ampwright.add_command(each)


def main() -> NoReturn:
    """Run a command; a wrong command line ends with status 3, as a bad file does, so that 2 keeps its meaning."""
    try:
        status = ampwright.main(standalone_mode=False)
    except click.ClickException as wrong:
        wrong.show()
        sys.exit(BAD_FILE)
    except OSError as wrong:
        click.echo(f"Error: {wrong.strerror or wrong}: {wrong.filename or 'the output'}", err=True)
        sys.exit(BAD_FILE)
    except click.Abort:
        sys.exit(130)
    sys.exit(status if isinstance(status, int) else 0)


def _known_rule(name: str) -> None:
    from ampwright.assess.book import BOOK

    names = tuple(each.name for each in BOOK.regulations)
    if name not in names:
        raise click.UsageError(f"There is no rule {name!r}.{_hint(name, names)} `ampwright rules` lists them.")


def _hint(word: str, known: tuple[str, ...]) -> str:
    close = get_close_matches(word, known, n=1, cutoff=0.5)
    return f" Did you mean {close[0]}?" if close else ""
