"""What every command does at the door: read the job, and refuse in words."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

if TYPE_CHECKING:
    from ampwright.assess.catalogue import Catalogue
    from ampwright.assess.design import Proposal
    from ampwright.assess.quote.book import PriceBook
    from ampwright.job.record import Job

BAD_FILE = 3


def job_of(file: Path) -> Job:
    """The job in the file; a file that cannot be read ends the program with its faults."""
    from ampwright.job.files import BadJobFile, load

    try:
        return load(file)
    except BadJobFile as bad:
        click.echo(str(bad), err=True)
        sys.exit(BAD_FILE)


def refused(file: Path, faults: tuple[str, ...]) -> NoReturn:
    """End the program: the job was read, but a command cannot judge it."""
    click.echo("\n".join([f"{file} cannot be judged:", *(f"  {each}" for each in faults)]), err=True)
    sys.exit(BAD_FILE)


def proposal_of(job: Job, catalogue: Catalogue) -> Proposal:
    """The designs of the catalogue for the job; where none can be sought the program ends, saying why."""
    from ampwright.assess.design import propose
    from ampwright.assess.price import CannotPrice
    from ampwright.assess.search.space import CannotSearch

    try:
        return propose(job, catalogue)
    except (CannotSearch, CannotPrice) as bad:
        click.echo(str(bad), err=True)
        sys.exit(BAD_FILE)


def price_book_of(file: Path | None) -> PriceBook:
    """The price book in the file, or the one shipped; a file that cannot be read ends the program with its faults."""
    from ampwright.assess.quote.book import BadPriceBook, read_price_book

    try:
        return read_price_book(file)
    except BadPriceBook as bad:
        click.echo(str(bad), err=True)
        sys.exit(BAD_FILE)


def catalogue_of(file: Path | None) -> Catalogue:
    """The catalogue in the file, or the one shipped; a file that cannot be read ends the program with its faults."""
    from ampwright.assess.catalogue import BadCatalogue, read_catalogue

    try:
        return read_catalogue(file)
    except BadCatalogue as bad:
        click.echo(str(bad), err=True)
        sys.exit(BAD_FILE)
