"""The best lawful designs for a job, what others were ruled out by, and what each still hangs on."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from ampwright.assess.assessment import Assessment, assess
from ampwright.assess.catalogue import Catalogue, Choice
from ampwright.assess.price import Price, vat_percent
from ampwright.assess.search.bench import OPEN, SETTLED
from ampwright.assess.search.front import front
from ampwright.assess.search.search import Found, Search
from ampwright.assess.search.space import HUB, Cables
from ampwright.assess.search.ways import costs_of
from ampwright.job.paths import unseen
from ampwright.job.record import Job
from ampwright.reading import BEST, WORST, End, Reading
from ampwright.rules.gb.parts.demand import DEMAND, heaviest_house_a, limit_counted_a, line_demands, missing
from ampwright.working import Verdict, Working

LOST, POWER = 2, 3
STANDS_SAFE, STANDS_IF, STANDS_NOT = "safe whatever the survey finds", "safe if", "not safe"
STANDS_JUDGED = "safe whatever the survey finds, if you judge it so"
CAP_MIND = ("the load cap stands with the data of its unit as written here; once it is fitted, prove its sensor by "
            "readings and its fallback on site (`ampwright loadcap`)")  # fmt: skip
RADIO_MIND = ("safe only if enough of the sensor's readings arrive by radio: count them for ten minutes, doors shut, "
              "the car in its place; the load cap is proved with 10 % lost, no more")  # fmt: skip
AROUND = ("network_notice", "drilling_hazards", "surge_protection_decided", "planning_permission")


@dataclass(frozen=True)
class Picked:
    """One choice on every axis and a cable for every stretch, as the job then stands."""

    choices: Mapping[str, Choice]
    cables: Cables
    job: Job

    @cached_property
    def assessment(self) -> Assessment:
        """Every check of the book on this design."""
        return assess(self.job)

    @property
    def standing(self) -> str:
        """Safe whatever the survey finds, the same if you judge it so, safe if what is open turns out well, or not.

        What is yours to judge around the circuit, not of it, leaves a design safe: whom to ask, where to look first.
        """
        if self.assessment.count(Verdict.NOT_MET):
            return STANDS_NOT
        if self.assessment.count(Verdict.NOT_YET_KNOWN) or self._to_be_counted:
            return STANDS_IF
        judged = {check.rule for check in self.assessment.checks if check.verdict is Verdict.FOR_THE_DESIGNER}
        return STANDS_JUDGED if judged - set(AROUND) else STANDS_SAFE

    @property
    def left_for_car_a(self) -> float | None:
        """What a load cap leaves the car on the heaviest line while the house draws its maximum demand, A.

        None where no cap is fitted or the demand is not known.
        """
        limit_a = limit_counted_a(self.job)
        if limit_a is None or unseen(self.job, DEMAND) or missing(self.job):
            return None
        return max(0.0, limit_a - heaviest_house_a(line_demands(self.job, WORST, Working())))

    @property
    def minds(self) -> tuple[str, ...]:
        """What the catalogue bids you mind of the choices made."""
        rows = (*self.choices.values(), *dict.fromkeys(self.cables))
        notes = (f"{row.words}: {row.note.partition(';')[2].strip()}" for row in rows if ";" in row.note)
        capped = () if limit_counted_a(self.job) is None else (CAP_MIND,)
        counted = (RADIO_MIND,) if self._to_be_counted else ()
        return tuple(dict.fromkeys((*notes, *counted, *capped)))

    @property
    def _to_be_counted(self) -> bool:
        """Whether the load cap's sensor will talk by radio and nobody counted yet what arrives in its place."""
        radio = limit_counted_a(self.job) is not None and self.choices["load cap"].sensor_link == "radio"
        return radio and any(sensor.lost_percent is None for sensor in self.job.sensors if sensor.watches == "grid")

    @property
    def words(self) -> str:
        """The choices in words, the cable last, stretch by stretch or one throughout."""
        return "; ".join((*(choice.words for choice in self.choices.values()), self.cable_words))

    @property
    def cable_words(self) -> str:
        """The cable in words, stretch by stretch, or one throughout."""
        if len(set(self.cables)) == 1:
            return f"{self.cables[0].words} throughout"
        laid = zip(self.cables, self.job.route, strict=True)
        return "; then ".join(f"{cable.words} ({section.name})" for cable, section in laid)


@dataclass(frozen=True)
class Design(Picked):
    """A design that was searched for, with what it is compared by."""

    way: int
    price: Price
    minutes: tuple[int, int]
    lost_kwh_per_mwh: float
    power_kw: float


@dataclass(frozen=True)
class Proposal:
    """What the search found: the front, dearest power first, how many combinations it covers, how many were asked."""

    search: Search
    front: tuple[Design, ...]
    judged_count: int

    @property
    def count(self) -> int:
        """How many combinations were searched."""
        return self.search.count

    @property
    def exit_status(self) -> int:
        """0 if a design is safe whatever the survey finds, 2 if each still hangs on it, 1 if there is none."""
        if not self.front:
            return 1
        return 0 if any(each.standing in (STANDS_SAFE, STANDS_JUDGED) for each in self.front) else 2

    @cached_property
    def best(self) -> tuple[tuple[str, Design], ...]:
        """The few worth a look, each with why: cheapest, surest, quickest, least lost, and cheaper at less power."""
        chosen: dict[int, tuple[str, Design]] = {}
        for why, design in self._outstanding():
            chosen.setdefault(id(design), (why, design))
        return tuple(chosen.values())

    def _outstanding(self) -> Iterator[tuple[str, Design]]:
        if not self.front:
            return
        most_kw = max(each.power_kw for each in self.front)
        full = [each for each in self.front if each.power_kw == most_kw]
        cheapest = min(full, key=_dearness)
        yield f"the cheapest at {most_kw:.1f} kW", cheapest
        sure = [each for each in full if each.standing == STANDS_SAFE]
        if sure:
            yield "the cheapest that is safe whatever the survey finds", min(sure, key=_dearness)
        told_after = [each for each in full if _told_after(each)]
        if told_after and not _told_after(cheapest):
            yield "the cheapest that may be connected first and the operator told after", min(told_after, key=_dearness)
        yield "the least time on site", min(full, key=lambda each: each.minutes[1])
        yield "the least lost in the cable", min(full, key=lambda each: each.lost_kwh_per_mwh)
        cheaper = cheapest
        for power_kw in sorted({each.power_kw for each in self.front if each.power_kw < most_kw}, reverse=True):
            lower = min((each for each in self.front if each.power_kw == power_kw), key=_dearness)
            if _dearness(lower) < _dearness(cheaper):
                cheaper = lower
                yield f"cheaper, at {power_kw:.1f} kW", lower


def _dearness(design: Design) -> int:
    return design.price.net_high_pence


def _told_after(design: Design) -> bool:
    return any(check.rule == "network_notice" and check.verdict is Verdict.MET for check in design.assessment.checks)


def charged_kwh_per_year(job: Job) -> Reading | None:
    """What the vehicles take in a year by the miles they go; None while a vehicle's miles are not known."""
    low = high = 0.0
    for each in job.vehicles:
        if each.miles_per_year is None or each.miles_per_kwh is None or each.miles_per_kwh.low <= 0:
            return None
        low += each.miles_per_year.low / each.miles_per_kwh.high
        high += each.miles_per_year.high / each.miles_per_kwh.low
    return Reading(low, high) if job.vehicles else None


def propose(job: Job, catalogue: Catalogue,
            told: Callable[[str, int, int], None] = lambda words, done, count: None) -> Proposal:  # fmt: skip
    """Search the catalogue for this job. Raises CannotSearch where job or catalogue leave nothing to search.

    `told` hears how far it is, and may end the search by raising.
    """
    search = Search(job, catalogue)
    half = len(search.charges)
    sure = [(each, 0.0) for each in search.designs(SETTLED, lambda number: told("what is safe", number, 2 * half))]
    known = {(each.picked, each.way) for each, _ in sure}
    open_yet = search.designs(OPEN, lambda number: told("what may be safe", half + number, 2 * half))
    hopeful = [(each, 1.0) for each in open_yet if (each.picked, each.way) not in known]
    found = front([*sure, *hopeful], lambda pair: (*pair[0].figures, pair[1]))
    designs = sorted((designed(search, each) for each, _ in found),
                     key=lambda each: (-each.power_kw, each.price.net_high_pence))  # fmt: skip
    return Proposal(search, tuple(designs), search.judged_count)


def designed(search: Search, found: Found) -> Design:
    """A design with its job, and its price and time at both ends of the survey."""
    axes = search.space.axes
    choices = dict(zip((HUB, *(axis for axis in axes if axis != HUB)), found.picked, strict=True))
    low, high = (_priced(search, found, end) for end in (BEST, WORST))
    job = search.space.designed(found.picked, found.cables)
    price = Price(low[0], high[0], vat_percent(job.date))
    return Design(choices, found.cables, job, found.way, price, (low[1], high[1]), found.figures[LOST],
                  -found.figures[POWER])  # fmt: skip


def _priced(search: Search, found: Found, end: End) -> tuple[int, int]:
    """Net pence and minutes at one end of the lengths."""
    both = search.priced(costs_of({}, (*search.space.catalogue.axis("always"), *found.picked)))
    pence, minutes = search.route_costs(search.routes.only(found.way), both.lead, end)
    return both.pence + int(pence[0]), both.minutes + int(minutes[0])
