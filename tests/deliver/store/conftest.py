import itertools

import pytest

from ampwright.deliver.demo import demo_files
from ampwright.deliver.store.store import Store

TERRACE = demo_files()["terrace.yaml"]


class Desk:
    """A store with one job, and a short way to change it."""

    def __init__(self, file):
        self.file = file
        self.store = Store(file)
        self.number = itertools.count()
        self.job = self.store.take_in(TERRACE, operation="first", who="Owner", origin="a file")

    def head(self):
        return self.store.read(self.job)[1]

    def change(self, new, *, base=None, operation=None, who="Owner"):
        operation = operation or f"op-{next(self.number)}"
        base = self.head() if base is None else base
        return self.store.change(self.job, new, operation=operation, base=base, who=who, origin="the office")

    def undo(self, of, operation=None):
        return self.store.undo(self.job, of, operation=operation or f"op-{next(self.number)}", who="Owner",
                               origin="the office")  # fmt: skip

    def settle(self, seq, *, keep_held):
        return self.store.settle(self.job, seq, keep_held=keep_held, operation=f"op-{next(self.number)}", who="Owner",
                                 origin="the office")  # fmt: skip

    def at(self, path):
        from ampwright.job.paths import at

        return at(self.store.read(self.job)[0], path)


@pytest.fixture
def desk(tmp_path):
    return Desk(tmp_path / "jobs.db")
