"""Photos of a job, beside its changes: each stays as it was taken in, under the field that it shows."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable
from dataclasses import dataclass

import sqlalchemy as sql

from ampwright.deliver.store.clock import utc_now, written
from ampwright.deliver.store.databases import writing
from ampwright.deliver.store.tables import photos
from ampwright.deliver.store.values import NoSuchPlace, is_place

_TOLD = (photos.c.id, photos.c.path, photos.c.who, photos.c.at, photos.c.origin, photos.c.hash)
Known = Callable[[sql.Connection, str], str]
_NAME = re.compile(r"[0-9a-zA-Z-]{8,64}")


class PhotoReused(ValueError):
    """The id of a photo came again with another photo, another field or another job."""


@dataclass(frozen=True, slots=True)
class Photo:
    """What is told of a photo: the operation that brought it, the field that it shows, and the hash of its content."""

    id: str
    path: str
    who: str
    at: str
    origin: str
    hash: str


class Photos:
    """The photos of the jobs of a store. Each method is one transaction, and raises NoSuchJob where the store would.

    `known` is how the store says that it has a job, or has none that who asks may see.
    """

    def __init__(self, opened: sql.Engine, known: Known) -> None:
        self._engine, self._known = opened, known

    def add(self, job: str, path: str, content: bytes, *, sent: bytes, operation: str, who: str,
            origin: str) -> Photo:  # fmt: skip
        """Keep a photo, `content`, that was made of what was `sent`. The same operation again changes nothing.

        Raises NoSuchJob, NoSuchPlace for a path that is no field, PhotoReused.
        """
        if not _NAME.fullmatch(operation):
            raise ValueError("the id of an operation is 8 to 64 letters and digits")
        if not is_place(path):
            raise NoSuchPlace(path[:80], "the job record has no such field")
        sent_hash = hashlib.sha256(sent).hexdigest()
        with writing(self._engine, operation) as link:
            self._known(link, job)
            before = link.execute(sql.select(photos).where(photos.c.id == operation)).one_or_none()
            if before is None:
                at = written(utc_now())
                row = {"id": operation, "path": path, "who": who, "at": at, "origin": origin,
                       "hash": hashlib.sha256(content).hexdigest()}  # fmt: skip
                link.execute(sql.insert(photos).values(job=job, sent_hash=sent_hash, content=content, **row))
                return Photo(**row)
        if (before.job, before.path, before.sent_hash) != (job, path, sent_hash):
            raise PhotoReused("another photo came under this id before")
        return Photo(before.id, before.path, before.who, before.at, before.origin, before.hash)

    def of_job(self, job: str) -> tuple[Photo, ...]:
        """What is told of every photo of a job, the newest first."""
        wanted = sql.select(*_TOLD).where(photos.c.job == job).order_by(photos.c.at.desc(), photos.c.id)
        with self._engine.begin() as link:
            self._known(link, job)
            return tuple(Photo(*row) for row in link.execute(wanted))

    def content(self, job: str, photo: str) -> bytes | None:
        """The image (JPEG) of one photo of a job, or None where it has no such photo."""
        wanted = sql.select(photos.c.content).where(photos.c.job == job, photos.c.id == photo)
        with self._engine.begin() as link:
            self._known(link, job)
            found: bytes | None = link.scalar(wanted)
            return found
