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
    from ampwright.deliver.figures import Figures
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


def figures_of(job: Path | None = None, **own: Path | None) -> Figures:
    """The user's own figures from these files, by the names of their kinds; for a job of the server in use, of each
    kind without a file those that its firm has there. What cannot be read ends the program with its faults."""
    from ampwright.deliver.figures import KINDS, BadFigures, read_figures
    from ampwright.deliver.server import ID, ServerSays

    def there() -> dict[str, str]:
        server = server_in_use() if job is not None and ID.fullmatch(str(job)) else None
        return server.figures([each for each in KINDS if own.get(each) is None]) if server else {}

    return _or_end(lambda: read_figures({**own, **there()}), BadFigures, ServerSays)


def figure_texts(**own: Path | None) -> dict[str, str]:
    """The texts of these files, by the names of their kinds; one with a fault ends the program."""
    figures_of(**own)
    return {name: file.read_text(encoding="utf-8-sig") for name, file in own.items() if file is not None}
