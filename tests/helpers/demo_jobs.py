"""A file of jobs with the demo in it: taken in once, then copied."""

import sqlite3
from contextlib import closing
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from ampwright.deliver.commands_web import take_in_demo
from ampwright.deliver.store.store import Store


def with_demo(place: Path) -> Path:
    """Put it where it is wanted; the same path."""
    place.write_bytes(_made())
    return place


@cache
def _made() -> bytes:
    with TemporaryDirectory() as folder:
        place = Path(folder) / "jobs.db"
        store = Store(place)
        take_in_demo(store)
        store.close()
        with closing(sqlite3.connect(place)) as jobs:
            return jobs.serialize()
