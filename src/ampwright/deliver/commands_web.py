"""The command that serves the pages."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from ampwright.deliver.commands_store import JOBS, opened

if TYPE_CHECKING:
    from ampwright.deliver.store.shape import Place
    from ampwright.deliver.store.store import Store


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
def serve(place: Place, host: str, port: int, who: str, with_demo: bool, tls: bool, plain: bool,
          names: tuple[str, ...]) -> None:  # fmt: skip
    """Open the jobs in a browser on this machine, or to who signs in, until Ctrl-C.

    The exit status is 3 if it cannot be begun.
    """
    from ampwright.deliver import serving

    listening = serving.Listening(host, tls, plain, tuple(each.lower() for each in names))
    serving.checked(listening, not isinstance(place, Path) or place.exists())
    store = opened(place)
    if with_demo:
        take_in_demo(store)
    serving.owned(listening, store)
    store.close()
    serving.run(place, who, listening, port)


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
