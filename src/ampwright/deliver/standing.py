"""Issued papers held against the job and the firm's own figures as they are now."""

from __future__ import annotations

import dataclasses
import datetime
import hashlib
import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial

from ampwright.deliver.documents.blocks import Paper
from ampwright.deliver.documents.book import PAPERS
from ampwright.deliver.documents.draft import Gate, gates_of
from ampwright.deliver.documents.grant import NAME as GRANT
from ampwright.deliver.documents.grant import claimed
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.photographs import Photograph
from ampwright.deliver.figures import Figures, Marks
from ampwright.deliver.firm_figures import figures_in_use, marks_in_use
from ampwright.deliver.store.ledger import Issued, Ledger
from ampwright.deliver.store.photos import Photo
from ampwright.deliver.store.store import Store
from ampwright.deliver.store.values import Values, leaves_of, put, value_at
from ampwright.job.fields import in_words
from ampwright.job.files import BadJobFile, built
from ampwright.job.record import Job

ANY_DAY = datetime.date(2000, 1, 1)
CERTIFICATE = "tests"
# Papers whose words hang on nothing but the fields they print; the others are compared with the whole job.
PLAIN = (CERTIFICATE, "commissioning", "plan", "materials", "network", "labels")
# Papers that the firm's own figures show in.
FIGURED = ("quote", "costs", "visit", "materials")


@dataclass(frozen=True, slots=True)
class Standing:
    """An issued paper: what superseded it, if anything, and the fields in which the job has changed since.

    `other_figures` is whether the firm has other figures in use now than it was made with, or the job other photographs
    on the grant's bundle.
    """

    issued: Issued
    by: Issued | None
    differs: tuple[str, ...]
    other_figures: bool = False

    @property
    def agrees(self) -> bool:
        """Whether it still says what the job says."""
        return not self.differs and not self.other_figures


def differs_words(standing: Standing) -> str:
    """Whether an issued paper agrees with its job, in words."""
    if standing.agrees:
        return "agrees with the job"
    why = [in_words(path) for path in standing.differs]
    what = "figures of your own, or other photographs," if standing.issued.kind == GRANT else "figures of your own"
    why += [f"made with other {what} than are in use now"] if standing.other_figures else []
    return f"no longer agrees with the job: {'; '.join(why)}"


def key_of(firm: str, job: str, kind: str, state: str, edition: str, marks: Marks, there: Iterable[Issued]) -> str:
    """What makes a paper the same as one that was issued before: not one of those `there` that was superseded since.

    A firm's own figures count where they show, and so do photographs.
    """
    of = {each.key: each for each in there}
    gone = {each.supersedes for each in of.values()}
    own = [marks] if marks and (kind in FIGURED or Gate.PRICE in gates_of(kind).of) else []
    key = sha256(json.dumps([firm, job, kind, state, edition, *own]))
    while key in of and of[key].number in gone:
        key = sha256(key)
    return key


def claim_photos(store: Store, name: str) -> tuple[Photo, ...]:
    """The newest photo of each field that the grant's claim shows, the newest first."""
    newest: dict[str, Photo] = {}
    for each in store.photos.of_job(name):
        if each.path in claimed():
            newest.setdefault(each.path, each)
    return tuple(newest.values())


def marks_on(kind: str, marks: Marks, kept: Iterable[Photo | Photograph]) -> Marks:
    """What tells a paper from another of the same job: the figures, and on the grant's bundle its photographs."""
    return (*marks, *sorted((each.path, each.hash) for each in kept)) if kind == GRANT else marks


def standings(store: Store, name: str) -> tuple[Standing, ...]:
    """Every paper issued of a job, the newest first, with what in the job is no longer as it was issued."""
    rows = Ledger(store.engine).rows(store.firm, name)
    by = {each.supersedes: each for each in rows if each.supersedes is not None}
    if not rows:
        return ()
    now, marks, kept = store.values(name), marks_in_use(store, name), claim_photos(store, name)
    return tuple(Standing(each, by[each.number], ()) if each.number in by else
                 Standing(each, None, _differs(store, each, now),
                          _made_otherwise(each, marks_on(each.kind, marks, kept), rows))
                 for each in reversed(rows))  # fmt: skip


def _made_otherwise(row: Issued, marks: Marks, rows: Iterable[Issued]) -> bool:
    """Whether it was made with other figures than those of these marks: then it has another key."""
    return row.key != key_of(row.firm, row.job, row.kind, row.job_hash, row.edition, marks, rows)


def _differs(store: Store, row: Issued, now: Values) -> tuple[str, ...]:
    """The fields that the paper was issued from and that the job has otherwise now."""
    old = store.values(row.job, row.head)
    paths = dict.fromkeys(path for values in (old, now) for path, _ in leaves_of(values))
    changed = tuple(path for path in paths if value_at(old, path) != value_at(now, path))
    if row.kind not in PLAIN or not changed:
        return changed
    old_job, now_job = built(old), built(now)
    figures = figures_in_use(store, row.job) if row.kind in FIGURED else Figures()
    content = partial(content_of, row.kind, figures=figures)
    if content(old_job) == content(now_job):
        return ()
    alone = tuple(path for path in changed if _matters(content, now_job, old, now, path))
    return alone or changed


def _matters(content: Callable[[Job], str], job: Job, old: Values, now: Values, path: str) -> bool:
    """Whether the paper of the job as it is now would say something else with this one field as it was."""
    back = json.loads(json.dumps(now))
    try:
        put(back, path, value_at(old, path))
        return content(built(back)) != content(job)
    except BadJobFile:
        return True  # it cannot stand alone as it was, so it did not change alone


def content_of(kind: str, job: Job, figures: Figures) -> str:
    """The hash of all that a paper says of a job, whatever day it bears and whoever signs it."""
    paper: Paper = PAPERS[kind](Pack(job, ANY_DAY, figures))
    return sha256(json.dumps(dataclasses.asdict(paper), ensure_ascii=False))


def sha256(text: str) -> str:
    """The hash of a text."""
    return hashlib.sha256(text.encode()).hexdigest()
