"""What every command does at the door: read the job, and refuse in words."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn, TypeVar

import click

if TYPE_CHECKING:
    from ampwright.assess.catalogue import Catalogue
    from ampwright.assess.design import Proposal
    from ampwright.assess.quote.book import PriceBook
    from ampwright.deliver.own import Own
    from ampwright.deliver.server import Server
    from ampwright.job.record import Job

BAD_FILE = 3
KEY = "ampwright.key"
T = TypeVar("T")


def server_in_use() -> Server | None:
    """The server that `--server` or AMPWRIGHT_SERVER names, if one does. Raises ServerSays."""
    from ampwright.deliver.server import Key, Server

    context = click.get_current_context(silent=True)
    named = context.find_root().params.get("server") if context else None
    if context is None or not named:
        return None
    if KEY not in context.meta:
        ask = _ask_for_token if _somebody_is_there() else None
        key = context.meta[KEY] = Key(os.environ.get("AMPWRIGHT_TOKEN", "").strip(), ask)
        if key.token and Server.at(named).in_the_clear:
            click.echo(f"The token goes to {named} by plain http, where everybody on the way can read it.", err=True)
    return Server.at(named, context.meta[KEY])


def _somebody_is_there() -> bool:
    return sys.stdin.isatty()


def _ask_for_token() -> str:
    """Ask on the terminal, where it is not seen; it never stands on a command line, which others can list."""
    answer: str = click.prompt("Token", hide_input=True, err=True)
    return answer


def firm_in_use() -> Path | None:
    """The file of the firm that `--firm` or AMPWRIGHT_FIRM names, if one does."""
    context = click.get_current_context(silent=True)
    return context.find_root().params.get("firm") if context else None


def with_firm_in_use(job: Job) -> Job:
    """The job with what is the same on every job of the firm, where a file of the firm is named. Raises BadJobFile."""
    from ampwright.job.firm import read_firm, with_firm

    file = firm_in_use()
    return job if file is None else with_firm(job, read_firm(file))


def loaded(file: Path) -> Job:
    """The job in the file; with a server in use and an id for a file, that job of the server. Raises BadJobFile."""
    from ampwright.deliver.server import ID, ServerSays
    from ampwright.job.files import BadJobFile, Fault, load

    try:
        server = server_in_use() if ID.fullmatch(str(file)) else None
        return with_firm_in_use(load(file) if server is None else server.read(str(file))[0])
    except ServerSays as wrong:
        raise BadJobFile((Fault(None, "", str(wrong)),)) from wrong


def job_of(file: Path) -> Job:
    """The job as `loaded`; one that cannot be read ends the program with its faults."""
    from ampwright.job.files import BadJobFile

    return _or_end(lambda: loaded(file), BadJobFile)


def job_of_file(file: Path) -> Job:
    """The job in the file and nowhere else; a file that cannot be read ends the program with its faults."""
    from ampwright.job.files import BadJobFile, load

    return _or_end(lambda: load(file), BadJobFile)


def _or_end(work: Callable[[], T], *why: type[Exception]) -> T:
    """What the work gives; one of these exceptions ends the program with its words."""
    try:
        return work()
    except why as bad:
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

    return _or_end(lambda: propose(job, catalogue), CannotSearch, CannotPrice)


def price_book_of(file: Path | None) -> PriceBook:
    """The price book in the file, or the one shipped; a file that cannot be read ends the program with its faults."""
    from ampwright.assess.quote.book import BadPriceBook, read_price_book

    return _or_end(lambda: read_price_book(file), BadPriceBook)


def catalogue_of(file: Path | None) -> Catalogue:
    """The catalogue in the file, or the one shipped; a file that cannot be read ends the program with its faults."""
    from ampwright.assess.catalogue import BadCatalogue, read_catalogue

    return _or_end(lambda: read_catalogue(file), BadCatalogue)


def price_texts(catalogue: Path | None, prices: Path | None) -> dict[str, str]:
    """The texts of the user's own catalogue and price book, if there are any; one with a fault ends the program."""
    given = {"catalogue": catalogue, "prices": prices}
    if catalogue is not None:
        catalogue_of(catalogue)
    if prices is not None:
        price_book_of(prices)
    return {name: file.read_text(encoding="utf-8-sig") for name, file in given.items() if file is not None}


def own_of(efforts: Path | None, bits: Path | None) -> Own:
    """The user's own efforts and bits; files that cannot be read end the program with their faults."""
    from ampwright.deliver.own import read_own

    own = read_own(efforts, bits)
    if isinstance(own, str):
        click.echo(own, err=True)
        sys.exit(BAD_FILE)
    return own
