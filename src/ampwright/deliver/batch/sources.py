"""Where a batch takes its jobs from: a folder of job files, or the store."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from ampwright.deliver.store.figure_book import last_number
from ampwright.deliver.store.shape import Place
from ampwright.deliver.store.store import Store
from ampwright.deliver.store.trust import TrustBook
from ampwright.job.files import load
from ampwright.job.firm import read_firm, with_firm
from ampwright.job.record import Job


@dataclass(frozen=True)
class Folder:
    """The job files (*.yaml) of a folder and of those below it, with what a file of the firm says for all of them."""

    folder: Path
    firm: Path | None = None

    def jobs(self) -> Iterator[tuple[str, str]]:
        """Name and fingerprint of each: of its bytes, and of those of the firm's file and each file that it names."""
        of_firm = b"" if self.firm is None else self.firm.read_bytes()
        for file in (each for each in sorted(self.folder.rglob("*.yaml")) if not self._is_firm(each)):
            found = hashlib.sha256(file.read_bytes() + of_firm)
            text = file.read_text(encoding="utf-8", errors="replace")
            for beside in sorted(file.parent.glob("*.csv")):
                if beside.name in text:
                    found.update(beside.read_bytes())
            yield str(file.relative_to(self.folder)), found.hexdigest()

    def read(self, name: str, _fingerprint: str) -> tuple[Job, Path]:
        """The job and the folder that it stands in. Raises BadJobFile."""
        job = load(self.folder / name)
        return job if self.firm is None else with_firm(job, read_firm(self.firm)), (self.folder / name).parent

    def _is_firm(self, file: Path) -> bool:
        return self.firm is not None and file.resolve() == self.firm.resolve()


@dataclass(frozen=True)
class Kept:
    """The jobs of a store, each as it stands when the batch begins."""

    place: Place

    def jobs(self) -> Iterator[tuple[str, str]]:
        """Name of each and the number of its newest change."""
        for name, head in store_at(self.place).heads().items():
            yield name, str(head)

    def trusted(self) -> dict[str, str]:
        """Of each: its newest change and its newest signature, of the store the newest confirmation and the newest
        figures, if any firm has its own: what gates and papers hang on."""
        store = store_at(self.place)
        signed, confirmed = TrustBook(store.engine).newest()
        figures = last_number(store.engine)
        more = f"/{figures}" if figures else ""
        return {name: f"{head}/{signed.get(name, 0)}/{confirmed}{more}" for name, head in store.heads().items()}

    def read(self, name: str, fingerprint: str) -> tuple[Job, Path]:
        """The job after that change. Files beside it are looked for where the command runs."""
        return store_at(self.place).read(name, head_of(fingerprint))[0], Path()


def head_of(fingerprint: str) -> int:
    """The number of the newest change in the fingerprint of a job of a store."""
    return int(fingerprint.partition("/")[0])


@lru_cache(maxsize=4)
def store_at(place: Place) -> Store:
    """The store of that place, opened once in each process."""
    return Store(place)


Source = Folder | Kept
