"""The commands about many jobs at once."""

from __future__ import annotations

import datetime
import getpass
import json
import os
import sys
import time
from collections import Counter
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ampwright.deliver.commands_issue import WHO, papers_named
from ampwright.deliver.commands_store import JOBS, opened
from ampwright.deliver.door import BAD_FILE, figure_texts, firm_in_use

if TYPE_CHECKING:
    from ampwright.deliver.batch.pool import Task
    from ampwright.deliver.batch.results import Key, Results
    from ampwright.deliver.batch.steps import Made, Settings, Step, StoreStep
    from ampwright.deliver.store.shape import Place

FILE = click.Path(path_type=Path, exists=True, dir_okay=False)
NAMES = ("judge", "forecast", "papers", "issue")
LOOK_S = 1.0
NOT_IN_A_FOLDER = ("Papers are issued from the store: `ampwright take-in FOLDER` brings a folder of job files there; "
                   "then `ampwright batch --step issue` without a folder.")  # fmt: skip
NOT_ACROSS = ("Several machines share the jobs of a PostgreSQL store: give its address with --jobs and no folder. "
              "`ampwright take-in FOLDER` brings a folder of job files there.")  # fmt: skip


@click.command()
@click.argument("folder", required=False, type=click.Path(path_type=Path, exists=True, file_okay=False))
@JOBS
@click.option("--step", "names", type=click.Choice(NAMES), multiple=True, default=("judge",), show_default=True,
              help="What to make of each job; may be given more than once.")  # fmt: skip
@click.option("--years", "years_count", type=click.IntRange(1, 10_000), default=12, show_default=True,
              help="How many invented years a forecast has.")  # fmt: skip
@click.option("--processes", "processes_count", type=click.IntRange(1, 256), default=os.cpu_count() or 1,
              show_default="one a core", help="How many jobs are worked on at once.")  # fmt: skip
@click.option("--catalogue", type=FILE, help="With --step papers or issue: a catalogue of your own, with your prices.")
@click.option("--prices", type=FILE,
              help="With --step papers or issue: a price book of your own: small parts, firm, extras.")  # fmt: skip
@click.option("--paper", "kinds", multiple=True, metavar="NAME",
              help="With --step issue: this paper; as often as wanted. Without it: tests, commissioning, handover.")
@click.option("--date", "day", type=click.DateTime(["%Y-%m-%d"]),
              help="The day that papers issued now bear; today without.")  # fmt: skip
@WHO
@click.option("--across", is_flag=True, help="Leave the work to `ampwright work`, on this and other machines.")
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), help="Write each result to a file here too.")
def batch(folder: Path | None, place: Place, names: tuple[str, ...], years_count: int, processes_count: int,
          catalogue: Path | None, prices: Path | None, kinds: tuple[str, ...], day: datetime.datetime | None, who: str,
          across: bool, out: Path | None) -> None:  # fmt: skip
    """Judge, forecast and print every job of FOLDER (*.yaml), or of the store; the results are kept in the store.

    What has a result for the same job, settings and Ampwright is not done again, so a run that was broken off goes on
    where it was. A job that cannot be read or forecast has that as its result. The step issue issues papers of the jobs
    of the store; a job that is not ready has as its result what holds it, and is tried again once it was changed or
    signed, or numbers were confirmed. The exit status is 1 if a step broke off for a job, which the next run tries
    again; 2 if a result is a refusal or a job is not ready.
    """
    from ampwright.deliver.batch.pool import run, tasks_of
    from ampwright.deliver.batch.results import Results
    from ampwright.deliver.batch.sources import Folder, Kept

    if folder is not None and "issue" in names:
        raise click.UsageError(NOT_IN_A_FOLDER)
    opened(place).close()
    priced = figure_texts(catalogue=catalogue, prices=prices)
    steps = _steps(names, {"forecast": {"years": years_count}, "papers": priced,
                           "issue": {**_issuing(kinds, day, who), **priced}}, folder is None)  # fmt: skip
    if folder is None and firm_in_use():
        click.echo("Jobs of the store are taken as they are there; --firm is heard by `ampwright take-in`.", err=True)
    tasks = tasks_of(Folder(folder, sound_firm()) if folder else Kept(place), steps)
    results = Results(place)
    if across:
        wrong = _across(place if folder is None else Path(), tasks, results)
    else:
        report = run(tasks, results, processes_count, _bar)
        click.echo(f"{report.done_count} done now, {report.before_count} done before, {len(report.wrong)} broke off")
        wrong = list(report.wrong)
    for name, says in wrong:
        click.echo(f"{name}: {says}", err=True)
    refused = _given_out(tasks, results, out)
    results.close()
    sys.exit(1 if wrong else 2 if refused else 0)


@click.command()
@JOBS
@click.option("--silent", "silent_s", type=click.FloatRange(1), default=30, show_default=True,
              help="After so many seconds without a sign, a worker's job is given to another.")  # fmt: skip
@click.option("--once", is_flag=True, help="End when nothing is queued, instead of waiting for more.")
def work(place: Place, silent_s: float, once: bool) -> None:
    """Work on the batches that were left to `ampwright work`, until Ctrl-C; start as many as there are cores."""
    import asyncio

    from ampwright.deliver.store.databases import is_address

    if not is_address(place):
        raise click.UsageError(NOT_ACROSS)
    opened(place).close()
    from ampwright.deliver.batch.across import make_queue
    from ampwright.deliver.batch.across import work as working

    make_queue(str(place))
    asyncio.run(working(str(place), silent_s=silent_s, wait=not once))


@click.command("take-in")
@click.argument("folder", type=click.Path(path_type=Path, exists=True, file_okay=False))
@JOBS
@click.option("--who", default="", help="The name that the jobs are kept under; your login name without it.")
def take_in(folder: Path, place: Place, who: str) -> None:
    """Bring every job file (*.yaml) of FOLDER into the store; a file that was taken in before is left as it is there.

    The exit status is 3 if a file cannot be read; the others are taken in.
    """
    from ampwright.deliver.batch.sources import Folder
    from ampwright.deliver.store.store import OperationReused
    from ampwright.job.files import BadJobFile, dump

    source = Folder(folder, sound_firm())
    store = opened(place)
    count, bad_count = 0, 0
    for name, fingerprint in source.jobs():
        file = folder / name
        try:
            text = file.read_text(encoding="utf-8")
            text = text if source.firm is None else dump(source.read(name, fingerprint)[0])
            store.take_in(text, operation=f"file-{fingerprint[:48]}",
                          who=who or getpass.getuser(), origin=f"the file {name}", folder=file.parent)  # fmt: skip
            count += 1
        except OperationReused:
            count += 1  # an older Ampwright took it in, and read it another way
        except (BadJobFile, UnicodeDecodeError) as bad:
            click.echo(f"{file}: {bad}", err=True)
            bad_count += 1
    click.echo(f"{count} jobs are in the store, {bad_count} could not be read")
    sys.exit(BAD_FILE if bad_count else 0)


def sound_firm() -> Path | None:
    """The file of the firm in use, once it was read without a fault; one that is not ends the program."""
    from ampwright.job.files import BadJobFile
    from ampwright.job.firm import read_firm

    file = firm_in_use()
    try:
        if file is not None:
            read_firm(file)
    except BadJobFile as bad:
        click.echo(str(bad), err=True)
        sys.exit(BAD_FILE)
    return file


def _issuing(kinds: tuple[str, ...], day: datetime.datetime | None, who: str) -> dict[str, Any]:
    """The settings of the step that issues: which papers, the day that they bear, and who issues them."""
    on = day.date() if day else datetime.date.today()
    papers = {"papers": papers_named(kinds)} if kinds else {}
    return {"day": on.isoformat(), "who": who or getpass.getuser(), **papers}


def _steps(names: tuple[str, ...], own: Mapping[str, Mapping[str, Any]],
           in_store: bool) -> list[tuple[Step | StoreStep, Settings]]:  # fmt: skip
    from ampwright.deliver.batch.steps import step_of

    chosen = [step_of(name, in_store=in_store) for name in dict.fromkeys(names)]
    return [(step, {**step.settings, **own.get(step.name, {})}) for step in chosen]


def _across(place: Place, tasks: list[Task], results: Results) -> list[tuple[str, str]]:
    """Queue the tasks and wait until each has a result or was given up."""
    from ampwright.deliver.store.databases import is_address

    if not is_address(place):
        raise click.UsageError(NOT_ACROSS)
    from ampwright.deliver.batch.across import in_hand, make_queue, put_in_queue

    make_queue(str(place))
    wanted = {task.key for task in tasks}
    before = results.keys() & wanted
    count = put_in_queue(str(place), tasks, before)
    click.echo(f"{count} queued, {len(wanted) - len(before) - count} queued before, {len(before)} done before; "
               "Ctrl-C leaves the rest to the workers")  # fmt: skip
    left_before: set[Key] = set()
    while True:
        hoped = in_hand(str(place)) if left_before else wanted
        left = wanted - results.keys()
        _bar(len(wanted) - len(left), len(wanted))
        if not left & hoped:
            return [(f"{name}, {step}", "every worker that tried broke off; its log says why")
                    for name, step, _ in sorted(left)]  # fmt: skip
        left_before = left
        time.sleep(LOOK_S)


def _given_out(tasks: Iterable[Task], results: Results, out: Path | None) -> int:
    """Write the results to files if that is wanted; how many are refusals."""
    refused_count = 0
    issued: Counter[str] = Counter()
    for (name, step, _), made in results.read({task.key for task in tasks}):
        refused_count += made.refused
        if step == "issue":
            issued += _counted(made)
        if out:
            file = out / f"{name.removesuffix('.yaml')}.{step}.{made.media.rsplit('/', 1)[-1]}"
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(made.body)
    for what in sorted(issued):
        click.echo(f"{what}: {issued[what]}")
    if refused_count:
        click.echo(f"{refused_count} refused; each result says why", err=True)
    return refused_count


def _counted(made: Made) -> Counter[str]:
    """What to tell of a job whose papers were to be issued: how many are, or which gates hold it."""
    found = json.loads(made.body)
    gates = {each["gate"] for each in found.get("not_ready", ())}
    return Counter({"papers issued": len(found.get("issued", ())), **{f"jobs held by: {gate}": 1 for gate in gates}})


def _bar(done: int, count: int) -> None:
    if sys.stderr.isatty():
        click.echo(f"\r{done} of {count}", err=True, nl=done >= count)
