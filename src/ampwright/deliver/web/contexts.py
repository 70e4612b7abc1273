"""What each page shows, one dataclass a page."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar

from ampwright.assess.assessment import Assessment, Unknown
from ampwright.deliver.screen import memory_note, tally
from ampwright.deliver.store.history import Change, Operation
from ampwright.deliver.store.job_files import JobFile
from ampwright.deliver.store.photos import Photo
from ampwright.deliver.web.line import Line
from ampwright.deliver.web.parts import Standing, called
from ampwright.deliver.web.survey import Addition, Section
from ampwright.job.record import Job
from ampwright.working import Check, Verdict


@dataclass(frozen=True, slots=True)
class Listed:
    """One job in the list."""

    id: str
    title: str
    reference: str
    tally: str


@dataclass(frozen=True, slots=True)
class JobsPage:
    """The list of jobs, and a file that could not be taken in."""

    jobs: tuple[Listed, ...]
    operation: str
    faults: tuple[str, ...] = ()
    typed: str = ""


@dataclass(frozen=True, slots=True)
class Head:
    """What every page of a job begins with; by the record its entries are called by their names."""

    id: str
    title: str
    reference: str
    record: Job = field(default_factory=Job, repr=False)

    def words(self, path: str) -> str:
        """A path in words, with the names that entries of lists have in this job."""
        return called(self.record, path)


@dataclass(frozen=True, slots=True)
class JobPage:
    """The line, what to find out next (`FIRST` of it unfolded), what was changed in two places."""

    FIRST: ClassVar[int] = 10
    head: Head
    assessment: Assessment
    line: Line
    beside: tuple[Standing, ...]
    conflicts: tuple[tuple[Change, str], ...]
    no_longer_agree: tuple[str, ...] = ()

    @property
    def tally(self) -> str:
        """How many checks gave each answer."""
        return tally(self.assessment)

    @property
    def to_find_out(self) -> tuple[Unknown, ...]:
        """What to find out next, what settles most first."""
        return self.assessment.to_find_out


@dataclass(frozen=True, slots=True)
class ChecksPage:
    """Every check with its working."""

    head: Head
    assessment: Assessment

    @property
    def groups(self) -> tuple[tuple[Verdict, tuple[Check, ...]], ...]:
        """The checks by their answer, those that want something done first."""
        order = (Verdict.NOT_MET, Verdict.NOT_YET_KNOWN, Verdict.FOR_THE_DESIGNER, Verdict.MET, Verdict.DOES_NOT_APPLY)
        found = ((each, tuple(check for check in self.assessment.checks if check.verdict is each)) for each in order)
        return tuple((verdict, checks) for verdict, checks in found if checks)

    @property
    def notes(self) -> list[str]:
        """How many numbers rest on memory."""
        return memory_note(self.assessment.checks)


@dataclass(frozen=True, slots=True)
class FileField:
    """A field that names a file: what it is, how it is got, the name in the record, the file where the store has it."""

    which: str
    path: str
    title: str
    hint: str
    name: str
    file: JobFile | None
    base: int
    operation: str


@dataclass(frozen=True, slots=True)
class PartPage:
    """The survey of one part."""

    head: Head
    standing: Standing
    base: int
    operation: str
    sections: tuple[Section, ...]
    additions: tuple[Addition, ...]
    faults: tuple[str, ...] = ()
    photos: tuple[Photo, ...] = ()
    files: tuple[FileField, ...] = ()


@dataclass(frozen=True, slots=True)
class Turned:
    """A check that answers otherwise than before; `before` is None where it says the same with other numbers."""

    check: Check
    before: Verdict


@dataclass(frozen=True, slots=True)
class DonePage:
    """What an operation changed, in the record and in the answers."""

    head: Head
    operation: Operation
    turned: tuple[Turned, ...]
    reworded: tuple[Check, ...]
    newly_asked: tuple[str, ...]
    no_longer_asked: tuple[str, ...]
    undo_as: str
    can_undo: bool
    read_in: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class HistoryPage:
    """Everything that was done to a job, the newest first."""

    head: Head
    operations: tuple[Operation, ...]


@dataclass(frozen=True, slots=True)
class ErrorPage:
    """Something that cannot be done, and what to do instead."""

    title: str
    says: str
    lines: tuple[str, ...] = field(default=())
