"""The command that prints the papers of a job."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ampwright.deliver.commands_store import JOBS, opened
from ampwright.deliver.door import BAD_FILE, figure_texts, figures_of, firm_in_use, job_of, refused

if TYPE_CHECKING:
    from ampwright.deliver.documents.pack import Pack
    from ampwright.deliver.store.shape import Place

HOW_TO_SIGN = (
    "Signatures and confirmed numbers are kept with a job in the store and not in a file: `ampwright issue FILE` takes "
    "it in and says how to sign and to confirm; `ampwright papers --job ID` then prints it as signed and confirmed."
)


@click.command()
@click.argument("file", required=False, type=click.Path(path_type=Path))
@click.option("--job", "name", help="A job of the store, by its id, instead of a file: as signed and confirmed there.")
@JOBS
@click.option("--only", "names", multiple=True, metavar="NAME", help="Print this paper alone; as often as wanted.")
@click.option("--to", "folder", type=click.Path(path_type=Path, file_okay=False), default="papers", show_default=True,
              help="The folder that they are written into.")  # fmt: skip
@click.option("--date", "day", type=click.DateTime(["%Y-%m-%d"]),
              help="The day that the papers bear; the job's own if not given.")  # fmt: skip
@click.option("--catalogue", type=click.Path(path_type=Path), help="A catalogue of your own, with your prices.")
@click.option("--prices", type=click.Path(path_type=Path), help="A price book of your own: small parts, firm, extras.")
@click.option("--years", "years_count", type=click.IntRange(0, 10_000), default=10, show_default=True,
              help="How many invented years the handover's forecast has; 0 for no forecast.")  # fmt: skip
@click.option("--forms", "with_forms", is_flag=True,
              help="Also a form of plain boxes for each of the 22 papers whose data is listed.")  # fmt: skip
@click.option("--archive", "archived", is_flag=True,
              help="Also a zip of the job file, the files beside it and these papers, each with its SHA-256.")
@click.option("--coverage", "covered", is_flag=True,
              help="Print no paper, but the boxes filled for each entry, and who owes each empty one.")  # fmt: skip
@click.pass_context
def papers(context: click.Context, file: Path | None, name: str | None, place: Place, names: tuple[str, ...],
           folder: Path, day: datetime.datetime | None, catalogue: Path | None, prices: Path | None, years_count: int,
           with_forms: bool, archived: bool, covered: bool) -> None:  # fmt: skip
    """Print the papers of the job in FILE, or of a job of the store, as PDF, the job file attached inside each.

    The same job and date give the same bytes. A paper of that name in the folder is written anew. The exit status is 3
    if a file cannot be read, the job has no date and none is given, or there is no paper of that name; with --coverage
    2 while a compulsory box is empty; else 0.
    """
    from ampwright.deliver.coverage import print_coverage
    from ampwright.deliver.documents.archive import write_archive
    from ampwright.deliver.documents.book import PAPERS, every_paper
    from ampwright.deliver.documents.writing import draft_words, write

    if (file is None) == (name is None):
        raise click.UsageError("Name a job file, or a job of the store with --job.")
    unknown = [each for each in names if each not in every_paper()]
    if unknown:
        raise click.UsageError(f"There is no paper {', '.join(unknown)}. There are: {', '.join(every_paper())}.")
    own = {"catalogue": catalogue, "prices": prices}
    pack, named, text = _of_file(file, own) if file is not None else _of_store(place, name or "", own)
    pack = replace(pack, years_count=years_count)
    if covered:
        today = day.date() if day is not None else datetime.date.today()
        context.exit(print_coverage(replace(pack, day=today)))
    pack = replace(pack, day=_dated(pack, named, day))
    chosen = tuple(dict.fromkeys(names)) or tuple(every_paper() if with_forms else PAPERS)
    written = []
    for path in write(pack, named, text, folder, chosen):
        written.append(path)
        click.echo(f"{path} is written")
    if archived:
        click.echo(f"{write_archive(pack, named, text, folder, written)} is written")
    if says := draft_words(pack, chosen):
        click.echo(says)
    if file is not None and {each.gate for each in pack.held_by(*chosen)} & {"person", "memory"}:
        click.echo(HOW_TO_SIGN)


def _dated(pack: Pack, named: str, day: datetime.datetime | None) -> datetime.date:
    """The day that the papers bear: the one given, or the job's; without either the program ends."""
    on = day.date() if day is not None else pack.job.date
    if on is None:
        refused(Path(named), ("it has no date, and a paper bears one: put `date` into the job, or give --date",))
    return on


def _of_file(file: Path, own: Mapping[str, Path | None]) -> tuple[Pack, str, str]:
    """What the papers of a job file are written from, the name of the file and its text: nobody signs in a file."""
    from ampwright.deliver.issuing import bare_pack
    from ampwright.job.writing import dump

    job = job_of(file)
    as_it_is = file.is_file() and firm_in_use() is None
    pack = bare_pack(job, figures_of(file, **own), folder=file.parent)
    return pack, file.name, file.read_bytes().decode("utf-8") if as_it_is else dump(job)


def _of_store(place: Place, name: str, own: Mapping[str, Path | None]) -> tuple[Pack, str, str]:
    """The same of a job in the store, as its people signed it and its firm confirmed it."""
    from ampwright.deliver.figures import BadFigures
    from ampwright.deliver.issuing import pack_of
    from ampwright.deliver.store.firms import as_its_firm
    from ampwright.deliver.store.store import NoSuchJob
    from ampwright.job.writing import dump

    texts, store = figure_texts(**own), opened(place)
    try:
        pack = pack_of(as_its_firm(store, name), name, own=texts)
    except (NoSuchJob, BadFigures) as wrong:
        click.echo(str(wrong), err=True)
        click.get_current_context().exit(BAD_FILE)
    return pack, f"{name}.yaml", dump(pack.job)
