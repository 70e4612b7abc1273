"""The command that serves the pages."""

from __future__ import annotations

import socket
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ampwright.deliver.commands_store import JOBS, opened

if TYPE_CHECKING:
    from ampwright.deliver.store.shape import Place
    from ampwright.deliver.store.store import Store

LINGERS_S = 2
THIS_MACHINE = ("127.0.0.1", "localhost", "::1")
NOT_HERE = ("Ampwright has no accounts yet, so whoever reached it at {host} could read and change every job. It "
            "answers on this machine alone: leave --host out, or give 127.0.0.1.")  # fmt: skip


@click.command()
@JOBS
@click.option("--host", default="127.0.0.1", show_default=True, help="The address to answer at: this machine alone.")
@click.option("--port", type=click.IntRange(0, 65535), default=8722, show_default=True,
              help="The port to answer at; 0 for any that is free.")  # fmt: skip
@click.option("--who", default="", help="The name that changes are kept under; your login name without it.")
@click.option("--with-demo", is_flag=True, help="Take in the three invented jobs, where they are not there yet.")
def serve(place: Place, host: str, port: int, who: str, with_demo: bool) -> None:
    """Open the jobs in a browser on this machine, until Ctrl-C. The exit status is 3 if it cannot be begun."""
    if host not in THIS_MACHINE:
        raise click.UsageError(NOT_HERE.format(host=host))
    import uvicorn

    from ampwright.deliver.web.app import create_app

    store = opened(place)
    if with_demo:
        take_in_demo(store)
    store.close()
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        door = socket.create_server((host, port), family=family)
    except OSError as wrong:
        says = f"Port {port} is taken, perhaps by Ampwright in another window; give another with --port."
        raise click.UsageError(says) from wrong
    shown = f"[{host}]" if ":" in host else host
    click.echo(f"The jobs are at http://{shown}:{door.getsockname()[1]} (Ctrl-C ends it)")
    how = uvicorn.Config(create_app(place, who), log_level="warning", server_header=False,
                         timeout_graceful_shutdown=LINGERS_S)  # fmt: skip
    uvicorn.Server(how).run([door])


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
