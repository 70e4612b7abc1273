"""A store with one job, for the tests of the store on every database."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from typing import Any

from ampwright.deliver.demo import demo_files
from ampwright.deliver.store.history import Outcome
from ampwright.deliver.store.shape import Place
from ampwright.deliver.store.store import Store
from ampwright.job.paths import at

TERRACE = demo_files()["terrace.yaml"]


class Desk:
    """A store with one job, and a short way to change it."""

    def __init__(self, place: Place) -> None:
        self.place = place
        self.store = Store(place)
        self.number = itertools.count()
        self.job = self.store.take_in(TERRACE, operation="first", who="Owner", origin="a file")

    def head(self) -> int:
        """The number of the newest change."""
        return self.store.read(self.job)[1]

    def change(self, new: Mapping[str, Any], *, base: int | None = None, operation: str | None = None,
               who: str = "Owner") -> Outcome:  # fmt: skip
        """Change fields, on the newest change unless told another."""
        operation = operation or f"op-{next(self.number)}"
        base = self.head() if base is None else base
        return self.store.change(self.job, new, operation=operation, base=base, who=who, origin="the office")

    def undo(self, of: str, operation: str | None = None) -> Outcome:
        """Take an operation back."""
        return self.store.undo(self.job, of, operation=operation or f"op-{next(self.number)}", who="Owner",
                               origin="the office")  # fmt: skip

    def settle(self, seq: int, *, keep_held: bool) -> Outcome:
        """Decide a conflict."""
        return self.store.settle(self.job, seq, keep_held=keep_held, operation=f"op-{next(self.number)}", who="Owner",
                                 origin="the office")  # fmt: skip

    def at(self, path: str) -> Any:
        """What stands at a path of the job."""
        return at(self.store.read(self.job)[0], path)
