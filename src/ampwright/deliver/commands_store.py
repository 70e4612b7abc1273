"""The commands about the store alone, and how every command is told where it is."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from ampwright.deliver.door import BAD_FILE

if TYPE_CHECKING:
    from ampwright.deliver.store.shape import Place
    from ampwright.deliver.store.store import Store

FILE = click.Path(path_type=Path, dir_okay=False)
SETTING = "AMPWRIGHT_STORE"


def _place(_context: click.Context, _option: click.Parameter, value: str) -> Place:
    return value if "://" in value else Path(value)


JOBS = click.option("--jobs", "--store", "place", default="ampwright.db", show_default=True, metavar="PLACE",
                    envvar=SETTING, show_envvar=True, callback=_place,
                    help="Where the jobs are kept: a file, made where there is none, or the address of a PostgreSQL "
                         "database, as postgresql://name@host/jobs.")  # fmt: skip


@click.command()
@click.argument("copy", type=FILE)
@JOBS
def backup(copy: Path, place: Place) -> None:
    """Copy all jobs with their history into the file COPY, also while they are open; it is read back and compared.

    To restore, give the copy to `ampwright serve --jobs`, or `ampwright restore` it into a database. The exit status
    is 3 if it cannot be written.
    """
    if copy.exists():
        raise click.UsageError(f"{copy} is there already; a backup never overwrites")
    unfinished = copy.with_name(f"{copy.name}.unfinished")
    for end in ("", "-wal", "-shm"):
        copy.with_name(f"{unfinished.name}{end}").unlink(missing_ok=True)
    count = _copied(place, unfinished)
    unfinished.rename(copy)
    click.echo(f"{count} jobs are in {copy}")


@click.command()
@click.argument("copy", type=click.Path(path_type=Path, dir_okay=False, exists=True))
@JOBS
def restore(copy: Path, place: Place) -> None:
    """Bring all jobs of the file COPY, with their history, into an empty store: the way from a file to PostgreSQL.

    `ampwright backup` is the way back. The exit status is 3 if there are jobs already, or it cannot be written.
    """
    from ampwright.deliver.store.databases import shown

    click.echo(f"{_copied(copy, place)} jobs are in {shown(place)}")


def opened(place: Place) -> Store:
    """The store of that place; one that cannot be opened ends the program, saying why."""
    from sqlalchemy.exc import DatabaseError

    from ampwright.deliver.store.databases import BadAddress
    from ampwright.deliver.store.shape import WrongShape
    from ampwright.deliver.store.store import Store

    try:
        return Store(place)
    except (WrongShape, BadAddress) as wrong:
        _refused(str(wrong))
    except DatabaseError as wrong:
        _refused(_why(place, wrong))


def _copied(source: Place, target: Place) -> int:
    from sqlalchemy.exc import DatabaseError

    from ampwright.deliver.store.copying import CannotCopy, copy_all
    from ampwright.deliver.store.databases import BadAddress
    from ampwright.deliver.store.shape import WrongShape

    if isinstance(source, Path) and not source.exists():
        raise click.UsageError(f"There is no {source}; name the file of the jobs with --jobs.")
    try:
        return copy_all(source, target)
    except (CannotCopy, WrongShape, BadAddress) as wrong:
        _refused(str(wrong))
    except DatabaseError as wrong:
        _refused(f"{_why(source, wrong)}; nothing was copied")


def _why(place: Place, wrong: Exception) -> str:
    from ampwright.deliver.store.databases import is_address, shown

    if not is_address(place):
        return f"{place} cannot be opened as a file of jobs"
    return f"{shown(place)} cannot be opened as a place of jobs: {str(getattr(wrong, 'orig', wrong)).strip()}"


def _refused(says: str) -> NoReturn:
    click.echo(says, err=True)
    sys.exit(BAD_FILE)
