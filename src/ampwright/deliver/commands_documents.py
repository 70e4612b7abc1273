"""The command that prints the papers of a job."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from ampwright.deliver.door import figures_of, firm_in_use, job_of, refused


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
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
def papers(context: click.Context, file: Path, names: tuple[str, ...], folder: Path, day: datetime.datetime | None,
           catalogue: Path | None, prices: Path | None, years_count: int, with_forms: bool,
           archived: bool, covered: bool) -> None:  # fmt: skip
    """Print the papers of the job in FILE as PDF, the job file attached inside each.

    The same job and date give the same bytes. A paper of that name in the folder is written anew. The exit status is 3
    if a file cannot be read, the job has no date and none is given, or there is no paper of that name; with --coverage
    2 while a compulsory box is empty; else 0.
    """
    from ampwright.deliver.coverage import print_coverage
    from ampwright.deliver.documents.archive import write_archive
    from ampwright.deliver.documents.book import PAPERS, every_paper
    from ampwright.deliver.documents.pack import Pack
    from ampwright.deliver.documents.writing import draft_words, write
    from ampwright.job.writing import dump

    unknown = [each for each in names if each not in every_paper()]
    if unknown:
        raise click.UsageError(f"There is no paper {', '.join(unknown)}. There are: {', '.join(every_paper())}.")
    job, figures = job_of(file), figures_of(file, catalogue=catalogue, prices=prices)
    if covered:
        today = day.date() if day is not None else datetime.date.today()
        context.exit(print_coverage(job, today, figures.prices))
    on = day.date() if day is not None else job.date
    if on is None:
        refused(file, ("it has no date, and a paper bears one: put `date` into the job, or give --date",))
    pack = Pack(job, on, figures, file.parent, years_count)
    chosen = tuple(dict.fromkeys(names)) or tuple(every_paper() if with_forms else PAPERS)
    as_it_is = file.is_file() and firm_in_use() is None
    text = file.read_bytes().decode("utf-8") if as_it_is else dump(job)
    written = []
    for path in write(pack, file.name, text, folder, chosen):
        written.append(path)
        click.echo(f"{path} is written")
    if archived:
        click.echo(f"{write_archive(pack, file.name, text, folder, written)} is written")
    if says := draft_words(pack, chosen):
        click.echo(says)
