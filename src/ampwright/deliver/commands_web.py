"""The commands about the pages and the store behind them."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ampwright.deliver.door import BAD_FILE

if TYPE_CHECKING:
    from ampwright.deliver.store.store import Store

DATABASE = click.Path(path_type=Path, dir_okay=False)
JOBS = click.option("--jobs", "file", type=DATABASE, default="ampwright.db", show_default=True,
                    help="The file that the jobs are kept in; made where there is none.")  # fmt: skip


@click.command()
@JOBS
@click.option("--listen", "--host", "host", default="127.0.0.1", show_default=True,
              help="The address to answer at. Elsewhere than on this machine people must sign in; 0.0.0.0 is all.")
@click.option("--port", type=click.IntRange(0, 65535), default=8722, show_default=True,
              help="The port to answer at; 0 for any that is free.")  # fmt: skip
@click.option("--who", default="", help="The name that changes are kept under; your login name without it.")
@click.option("--with-demo", is_flag=True, help="Take in the three invented jobs, where they are not there yet.")
@click.option("--tls", is_flag=True, help="Answer by https, with a certificate authority of your own beside the jobs.")
@click.option("--plain", is_flag=True, help="Answer others by plain http, which everybody on the network can read.")
@click.option("--name", "names", multiple=True, help="Another name or address of this machine; may be repeated.")
def serve(file: Path, host: str, port: int, who: str, with_demo: bool, tls: bool, plain: bool,
          names: tuple[str, ...]) -> None:  # fmt: skip
    """Open the jobs in a browser on this machine, or to who signs in, until Ctrl-C.

    The exit status is 3 if it cannot be begun.
    """
    from ampwright.deliver import serving

    listening = serving.Listening(host, tls, plain, tuple(each.lower() for each in names))
    serving.checked(listening, file.exists())
    store = _opened(file)
    if with_demo:
        take_in_demo(store)
    serving.owned(listening, store)
    store.close()
    serving.run(file, who, listening, port)


@click.command()
@click.argument("copy", type=click.Path(path_type=Path, dir_okay=False))
@JOBS
def backup(copy: Path, file: Path) -> None:
    """Copy all jobs with their history into COPY, also while they are open. It is read back before it is called done.

    To restore, give the copy to `ampwright serve --jobs`. The exit status is 3 if it cannot be written.
    """
    if not file.exists():
        raise click.UsageError(f"There is no {file}; name the file of the jobs with --jobs.")
    store = _opened(file)
    try:
        store.back_up(copy)
    except FileExistsError as wrong:
        raise click.UsageError(str(wrong)) from wrong
    kept = _opened(copy)
    click.echo(f"{len([kept.read(name) for name in kept.names()])} jobs are in {copy}")


def take_in_demo(store: Store) -> None:
    """Take the demo jobs in; those that were taken in before stay as they are."""
    import tempfile

    from ampwright.deliver.demo import JOBS as NAMES
    from ampwright.deliver.demo import write_demo

    with tempfile.TemporaryDirectory() as folder:
        write_demo(Path(folder))
        for name in NAMES:
            text = (Path(folder) / name).read_text(encoding="utf-8")
            operation = f"demo-{name.removesuffix('.yaml').replace('_', '-')}"
            store.take_in(text, operation=operation, who="Ampwright", origin="the demo", folder=Path(folder))


def _opened(file: Path) -> Store:
    from sqlalchemy.exc import DatabaseError

    from ampwright.deliver.store.store import Store
    from ampwright.deliver.store.tables import WrongShape

    try:
        return Store(file)
    except (WrongShape, DatabaseError) as wrong:
        says = str(wrong) if isinstance(wrong, WrongShape) else f"{file} cannot be opened as a file of jobs"
        click.echo(says, err=True)
        sys.exit(BAD_FILE)
