"""The work on site, piece by piece: how much of each, and the minutes of one by the catalogue and the price book."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from decimal import ROUND_HALF_EVEN, Decimal

from ampwright.assess.catalogue import AXES, Catalogue, Choice, Cost, held, offered
from ampwright.assess.materials.cables import ENDS_COUNT
from ampwright.assess.materials.gathering import plus
from ampwright.assess.materials.items import Operation, TakeOff, exactly
from ampwright.assess.quote.book import HOLE, PriceBook
from ampwright.assess.quote.lines import ONE, Chosen, has_data, joints_count, run_cables
from ampwright.assess.search.space import NOT_CHOSEN
from ampwright.assess.trench import Trench, surfaces, trenches, unsaid
from ampwright.job.record import Job
from ampwright.reading import Reading

NO_SURFACE = "{stretch}: what lies over the trench was not said, so the work is a band over {what}."
NO_ROW = "The catalogue has no row for this as entered, so no minutes: {what}. Add one, or reckon that work by hand."


def works(job: Job, chosen: Chosen, book: PriceBook) -> Iterator[Operation]:
    """All work that takes time: what is had on every job, each choice, the holes, then cable, boxes and trench."""
    for each in chosen.rows:
        yield Operation(each.words, "each", ONE, each.fixed.minutes)
    holes_count, hole = sum(len(section.through) for section in job.route), book.works.get(HOLE)
    yield Operation(HOLE, "each", _times(holes_count), hole.minutes_count if hole else 0)
    yield from _laid(job, chosen)
    for cable in run_cables(job, chosen.cables):
        yield Operation(f"make off {cable.words}", "each", _times(ENDS_COUNT), cable.per_end.minutes)
    for box in chosen.catalogue.axis("joint"):
        yield Operation(box.words, "each", _times(joints_count(job)), box.fixed.minutes)
    for trench in trenches(job, chosen.catalogue):
        yield from _dug(job, trench)


def _dug(job: Job, trench: Trench) -> Iterator[Operation]:
    """A trench by the least that it may be, and what it may be more where the surface was not said."""
    least, most = (pick(trench.rows, key=lambda each: each.per_m.minutes) for pick in (min, max))
    long_m = plus(*(job.route[number].length_m or exactly(0) for number in trench.numbers))
    per_m, fixed = trench.per_m("minutes"), trench.fixed("minutes")
    yield Operation("make ready to dig", "each", ONE, int(fixed.low))
    yield Operation("more to make ready to dig, by the surface", "each", Reading(0, 1), int(fixed.high - fixed.low))
    yield Operation(least.words, "m", long_m, int(per_m.low))
    yield Operation(f"more should it be {most.words}", "m", Reading(0, long_m.high), int(per_m.high - per_m.low))


def _laid(job: Job, chosen: Chosen) -> Iterator[Operation]:
    """Each kind of cable by the metre, what each stretch of it takes besides, and sensors' leads beside it."""
    pairs = list(zip(job.route, chosen.cables, strict=True))
    for cable in dict.fromkeys(chosen.cables):
        lengths = [section.length_m or exactly(0) for section, own in pairs if own is cable]
        yield Operation(f"lay {cable.words}", "m", plus(*lengths), cable.per_m.minutes)
        yield Operation(f"{cable.words}, for each stretch", "each", _times(len(lengths)), cable.fixed.minutes)
    bare = [section.length_m or exactly(0) for section, cable in pairs if not has_data(cable)]
    for row in chosen.rows:
        yield Operation(f"the lead for {row.words}", "m", plus(*bare), row.per_m.minutes)


def work_list(job: Job, chosen: Chosen, book: PriceBook) -> tuple[Operation, ...]:
    """The work that there is any of."""
    return tuple(each for each in works(job, chosen, book) if each.minutes_each and each.need.high)


def minutes(found: Sequence[Operation]) -> tuple[int, int]:
    """Minutes on site at both ends of the lengths."""
    low, high = (sum(each.minutes_each * end for each, end in ends) for ends in
                 ([(each, each.need.low) for each in found], [(each, each.need.high) for each in found]))  # fmt: skip
    return _whole(low), _whole(high)


def first_held(job: Job, rows: Iterable[Choice], section: int | None = None) -> Choice | None:
    """The first row that is offered here and fixes only what the record has."""
    return next((row for row in rows if offered(row, job, section) and all(
        held(job, path, value) for path, value in row.changes(section).items())), None)  # fmt: skip


def as_entered(job: Job, catalogue: Catalogue) -> tuple[Chosen, tuple[str, ...]]:
    """The rows of the catalogue that say what the record holds already; and what it has no row for."""
    picked = {axis: first_held(job, catalogue.axis(axis)) for axis in AXES if axis not in NOT_CHOSEN}
    laid = [first_held(job, catalogue.axis("cable"), number) for number in range(len(job.route))]
    without = [axis for axis, choice in picked.items() if choice is None]
    without += [f"the cable of {section.name!r}"
                for section, cable in zip(job.route, laid, strict=True) if cable is None]  # fmt: skip
    cables = tuple(cable or _nameless(section.name) for section, cable in zip(job.route, laid, strict=True))
    return Chosen(catalogue, tuple(each for each in picked.values() if each), cables), tuple(without)


def with_work(found: TakeOff, job: Job, catalogue: Catalogue, book: PriceBook) -> TakeOff:
    """The take-off with the work of the job as entered."""
    chosen, without = as_entered(job, catalogue)
    remarks = [NO_ROW.format(what=", ".join(without))] if without else []
    open_ground = list(unsaid(job, catalogue))
    remarks += [NO_SURFACE.format(stretch=job.route[number].name, what=" or ".join(surfaces(job, number)))
                for number in open_ground]  # fmt: skip
    missing = dict.fromkeys((*found.missing, *(f"route[{number}].surface" for number in open_ground)))
    return replace(found, operations=work_list(job, chosen, book), remarks=(*found.remarks, *remarks),
                   missing=tuple(missing))  # fmt: skip


def _nameless(stretch: str) -> Choice:
    return Choice("cable", stretch, stretch, (), (), Cost(), Cost(), Cost(), "")


def _times(count: int) -> Reading:
    return exactly(float(count))


def _whole(spent_min: float) -> int:
    return int(Decimal(str(round(spent_min, 6))).quantize(Decimal(1), ROUND_HALF_EVEN))
