"""The command about how far the papers are filled."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from ampwright.deliver.door import catalogue_of, job_of, price_book_of


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--coverage", "covered", is_flag=True, help="Print the boxes filled, and who owes each empty one.")
@click.option("--catalogue", type=click.Path(path_type=Path), help="A catalogue of your own, with your prices.")
@click.option("--prices", type=click.Path(path_type=Path), help="A price book of your own: small parts, firm, extras.")
@click.pass_context
def papers(context: click.Context, file: Path, covered: bool, catalogue: Path | None, prices: Path | None) -> None:
    """What the papers of the job in FILE hold.

    The exit status with --coverage is 2 while a compulsory box is empty, else 0; 3 if the file cannot be read.
    """
    from ampwright.assess.paperwork.priced import Prices
    from ampwright.deliver.coverage import print_coverage

    if not covered:
        raise click.UsageError("Say --coverage.")
    by = Prices(catalogue_of(catalogue), price_book_of(prices))
    context.exit(print_coverage(job_of(file), datetime.date.today(), by))
