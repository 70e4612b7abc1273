"""What the papers of one job are written from: each thing reckoned once, when the first paper asks for it."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from ampwright.assess.assessment import Assessment, assess
from ampwright.assess.design import Proposal, propose
from ampwright.assess.forecast.forecast import CannotForecast, Forecast, forecast
from ampwright.assess.forecast.skies import source_of
from ampwright.assess.load_cap.report import Report, report
from ampwright.assess.materials.items import TakeOff
from ampwright.assess.materials.take_off import take_off
from ampwright.assess.paperwork.boxes import Box, boxes_of
from ampwright.assess.paperwork.priced import invented
from ampwright.assess.price import CannotPrice
from ampwright.assess.quote.work import with_work
from ampwright.assess.search.space import CannotSearch
from ampwright.assess.testing.sheet import Sheet, sheet
from ampwright.assess.visit import NO_FRONT, Survey, visit
from ampwright.deliver.documents.draft import FromMemory, Reason, from_memory, gates, gates_of, not_owed
from ampwright.deliver.documents.photographs import Photograph
from ampwright.deliver.documents.recorded import value_words
from ampwright.deliver.documents.signing import Signed, with_signatures
from ampwright.deliver.figures import Figures
from ampwright.deliver.offer import AsRecorded, Offer, Priced, as_recorded
from ampwright.job.fields import in_words
from ampwright.job.half_hourly import BadReadings
from ampwright.job.paths import at
from ampwright.job.record import Job, Person
from ampwright.working import Check, capital

SEED = 1
Kept = Callable[[], AbstractContextManager[tuple[Job, Path]]]
DECIDED = "The record holds a design already, so none was sought."


@dataclass(frozen=True)
class Pack:
    """A job, the day that its papers bear, and the figures that it is priced and drilled by."""

    job: Job
    day: datetime.date
    figures: Figures = field(default_factory=Figures)
    folder: Path = Path()
    years_count: int = 0
    signed: tuple[Signed, ...] = ()
    confirmed: frozenset[tuple[str, str]] = frozenset()
    photographs: tuple[Photograph, ...] = ()
    files: tuple[str, ...] = ()  # what tells those that a store keeps from others
    kept: Kept | None = field(default=None, compare=False, repr=False)

    @contextmanager
    def beside(self) -> Iterator[tuple[Job, Path]]:
        """A folder with the files that the job names, until it is left, and the job: of a store only its own are there,
        and it names no others."""
        if self.kept is None:
            yield self.job, self.folder
        else:
            with self.kept() as found:
                yield found

    @property
    def name(self) -> str:
        """What the job is called on every page."""
        return self.job.title or self.job.reference or "This job"

    @cached_property
    def assessment(self) -> Assessment:
        """Every check on the job as entered."""
        return assess(self.job)

    @cached_property
    def checks(self) -> tuple[Check, ...]:
        """Every check on the job, those on its load cap with them."""
        beside = self.load_cap.checks if self.job.charge_point.load_cap.fitted else ()
        return (*self.assessment.checks, *beside)

    @cached_property
    def gates(self) -> tuple[Reason, ...]:
        """Why not all of the papers may be issued, and of which kind each reason is."""
        return gates(self.job, self.checks, self.sheet, self.signed, self.confirmed, self.boxes, self.invented)

    @cached_property
    def invented(self) -> tuple[str, ...]:
        """Which prices are those shipped: of the catalogue, of the price book."""
        return invented(self.figures.prices)

    def held_by(self, *papers: str) -> tuple[Reason, ...]:
        """The reasons that hold one of these papers at least."""
        of = tuple(map(gates_of, papers))
        held = tuple(each for each in self.gates if any(paper.hold(each) for paper in of))
        return (*held, *not_owed(papers, self.boxes))

    def draft(self, *papers: str) -> tuple[str, ...]:
        """Why any of these papers is a draft, in words."""
        return tuple(each.says for each in self.held_by(*papers))

    @property
    def from_memory(self) -> tuple[FromMemory, ...]:
        """What the firm has still to confirm against its own copy."""
        return tuple(each for each in from_memory(self.checks) if (each.what, each.says) not in self.confirmed)

    @cached_property
    def load_cap(self) -> Report:
        """The load cap with its proof. The attack that only illustrates it is left to `ampwright loadcap`."""
        return report(self.job, attacked=False)

    @cached_property
    def own(self) -> AsRecorded | None:
        """The design that the record holds with its price, if it holds one."""
        return as_recorded(self.job, self.figures.catalogue, self.figures.book)

    @cached_property
    def sought(self) -> tuple[Proposal | None, str]:
        """The designs of the catalogue, or why there are none: where the record has decided, none is sought."""
        if self.own is not None:
            return None, DECIDED
        try:
            found = propose(self.job, self.figures.catalogue)
        except (CannotSearch, CannotPrice) as bad:
            return None, str(bad)
        return (found, "") if found.front else (None, NO_FRONT)

    @cached_property
    def offer(self) -> Priced | None:
        """The price of the record's own design, else of the first that was found, if there is one."""
        if self.own is not None:
            return self.own
        proposal, _ = self.sought
        return None if proposal is None else Offer(proposal, 1, self.figures.catalogue, self.figures.book)

    @property
    def designed(self) -> Job:
        """The job as the design that is priced leaves it, which is what is bought; as entered where none is priced."""
        return self.job if self.offer is None else self.offer.design.job

    @cached_property
    def otherwise(self) -> tuple[str, ...]:
        """What the record holds otherwise than the design that is priced."""
        if self.own is not None or self.offer is None:
            return ()
        decided = (path for number, cable in enumerate(self.offer.design.cables) for path in cable.changes(number))
        paths = [*(path for each in self.offer.design.choices.values() for path in each.changes()), *decided]
        return tuple(f"{capital(in_words(path))}: {value_words(path, at(self.job, path))}; "
                     f"here {value_words(path, at(self.designed, path)) or 'none'}."
                     for path in dict.fromkeys(paths)
                     if at(self.job, path) not in (None, (), at(self.designed, path)))  # fmt: skip

    @cached_property
    def survey(self) -> Survey:
        """The visit list."""
        return visit(self.job, *self.sought)

    @cached_property
    def take_off(self) -> TakeOff:
        """What to cut, buy, do and load for the design that is priced."""
        return with_work(take_off(self.designed), self.designed, self.figures.catalogue, self.figures.book)

    @cached_property
    def sheet(self) -> Sheet:
        """The test sheet."""
        return sheet(self.job)

    @cached_property
    def boxes(self) -> tuple[Box, ...]:
        """The boxes of every paper that the job owes."""
        return boxes_of(with_signatures(self.job, self.signed), self.day, self.figures.prices)

    @cached_property
    def forecast(self) -> Forecast | str:
        """The sunshine forecast, without what moves it most; or why there is none."""
        if not self.years_count:
            return "No forecast is printed here: none was asked for."
        try:
            with self.beside() as (job, folder):
                return forecast(job, folder, source_of(job, SEED, folder), seed=SEED, years_count=self.years_count,
                                with_bars=False)  # fmt: skip
        except (CannotForecast, BadReadings) as bad:
            return str(bad)

    def person(self, *roles: str) -> Person | None:
        """The first person who has one of these roles, in the order of the roles."""
        return next((each for role in roles for each in self.job.people if each.role == role), None)
