"""The files that a job names, beside its changes: under one name stands one content, for ever."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory

import sqlalchemy as sql

from ampwright.deliver.store.clock import utc_now, written
from ampwright.deliver.store.tables import job_files

LARGEST_BYTES_COUNT = 16 * 1024 * 1024
LONGEST_NAME_COUNT = 200
_TOLD = (job_files.c.name, job_files.c.operation, job_files.c.who, job_files.c.at, job_files.c.origin,
         job_files.c.hash, job_files.c.says)  # fmt: skip
Known = Callable[[sql.Connection, str], str]


class FileReused(ValueError):
    """Another content stands under this name already."""


@dataclass(frozen=True, slots=True)
class Brought:
    """A file to be kept: its name below the job's folder, its content, and what was read in from it."""

    name: str
    content: bytes
    says: str

    @property
    def hash(self) -> str:
        """SHA-256 of the content."""
        return hashlib.sha256(self.content).hexdigest()


@dataclass(frozen=True, slots=True)
class JobFile:
    """What is told of a kept file: the operation that brought it, the hash of its content, what was read in."""

    name: str
    operation: str
    who: str
    at: str
    origin: str
    hash: str
    says: str


class JobFiles:
    """The files of the jobs of a store. Each method is one transaction, and raises NoSuchJob where the store would."""

    def __init__(self, opened: sql.Engine, known: Known) -> None:
        self._engine, self._known = opened, known

    def of_job(self, job: str) -> dict[str, JobFile]:
        """What is told of every file of a job, by its name."""
        with self._engine.begin() as link:
            self._known(link, job)
            wanted = sql.select(*_TOLD).where(job_files.c.job == job).order_by(job_files.c.at, job_files.c.name)
            return {row.name: JobFile(*row) for row in link.execute(wanted)}

    def content(self, job: str, name: str) -> bytes | None:
        """A file of a job, or None where it has none of that name."""
        with self._engine.begin() as link:
            self._known(link, job)
            wanted = sql.select(job_files.c.content).where(job_files.c.job == job, job_files.c.name == name)
            found = link.scalar(wanted)
            return None if found is None else bytes(found)

    @contextmanager
    def folder(self, job: str, names: Iterable[str]) -> Iterator[Path]:
        """A folder with these files of a job, for what reads files, until it is left. Names not kept are not there."""
        with TemporaryDirectory(prefix="ampwright-") as made:
            folder = Path(made)
            for name in names:
                content = self.content(job, name)
                if content is not None:
                    (folder / name).parent.mkdir(parents=True, exist_ok=True)
                    (folder / name).write_bytes(content)
            yield folder


def is_name(name: str) -> bool:
    """Whether a file may be kept under a name: it leads nowhere but below the folder that it is written into."""
    parts = PurePosixPath(name).parts
    return (0 < len(name) <= LONGEST_NAME_COUNT and name.isprintable() and not set(name) & set('\\:*?"<>|')
            and bool(parts) and name == "/".join(parts) and not {"..", "/"} & set(parts))  # fmt: skip


def plain_name(name: str) -> str:
    """The last part of a name, with plain signs alone."""
    last = name.replace("\\", "/").rpartition("/")[2]
    return re.sub(r"[^A-Za-z0-9_.() -]+|^[. ]+", "-", last)[-80:].strip(" -") or "file"


def free_name(held: dict[str, JobFile], wanted: str, content: bytes) -> str:
    """A plain name like the one wanted, that is free or has this very content: meter.csv, meter-2.csv, ..."""
    plain = plain_name(wanted)
    stem, dot, ending = plain.rpartition(".")
    digest = hashlib.sha256(content).hexdigest()
    number, name = 1, plain
    while name in held and held[name].hash != digest:
        number += 1
        name = f"{stem}-{number}.{ending}" if dot and stem else f"{plain}-{number}"
    return name


def keep(link: sql.Connection, job: str, brought: Iterable[Brought], *, operation: str, who: str, origin: str) -> None:
    """Keep files of a job inside the transaction of the operation that brings them.

    The same content again changes nothing. Raises FileReused, and ValueError for a name or a size that cannot be kept.
    """
    for each in brought:
        if not is_name(each.name) or len(each.content) > LARGEST_BYTES_COUNT:
            raise ValueError("a file is kept under a plain name and is at most 16 MiB long")
        here = sql.select(job_files.c.hash).where(job_files.c.job == job, job_files.c.name == each.name)
        before = link.scalar(here)
        if before is None:
            link.execute(sql.insert(job_files).values(
                job=job, name=each.name, operation=operation, who=who, at=written(utc_now()), origin=origin,
                hash=each.hash, says=each.says, content=each.content))  # fmt: skip
        elif before != each.hash:
            raise FileReused("another file came in under this name at the same moment; send yours again")
