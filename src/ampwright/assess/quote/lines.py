"""The lines of a quote: what each choice, each cable and each small part costs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from ampwright.assess.catalogue import Catalogue, Choice
from ampwright.assess.materials.cables import ENDS_COUNT, runs_of
from ampwright.assess.materials.gathering import plus
from ampwright.assess.materials.items import Item, TakeOff, codes, exactly
from ampwright.assess.quote.book import HOLE, PriceBook
from ampwright.assess.quote.money import Band, to_pence
from ampwright.job.record import Job
from ampwright.reading import Reading
from ampwright.rules.gb.parts.carrying import BURIED

BY_THE_BOOK = ("fixings", "ends", "boxes", "ground")
BY_THE_CATALOGUE = "joint box"
ONE = exactly(1.0)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of material, net: so much of it, at that price for each, and the paths of the record it came from."""

    words: str
    need: Reading
    unit: str
    each_gbp: Decimal
    cost: Band
    of: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Chosen:
    """What is to be priced: the choices, one cable a stretch, and the catalogue that they are of."""

    catalogue: Catalogue
    choices: tuple[Choice, ...]
    cables: tuple[Choice, ...]

    @property
    def rows(self) -> tuple[Choice, ...]:
        """What is had on every job, then the choices."""
        return (*self.catalogue.axis("always"), *self.choices)


def line(words: str, need: Reading, unit: str, each_gbp: Decimal, *of: str) -> Line:
    """A line with its cost, each end to the penny."""
    cost = Band(*(to_pence(Decimal(str(end)) * each_gbp) for end in (need.low, need.high)))
    return Line(words, need, unit, each_gbp, cost, of)


def material(job: Job, chosen: Chosen, found: TakeOff, book: PriceBook) -> Iterator[Line]:
    """Every line of material: choices, cable as it is cut, joints, sensor leads, trench, holes and small parts."""
    for each in chosen.rows:
        if each.fixed.pence:
            yield line(each.words, ONE, "each", _gbp(each.fixed.pence))
    yield from _cables(job, chosen, found)
    for words, metres, each_gbp, of in _by_the_metre(job, chosen):
        yield line(words, metres, "m", each_gbp, *of)
    holes_count = sum(len(section.through) for section in job.route)
    hole = book.works.get(HOLE)
    if holes_count and hole is not None and hole.pounds_gbp:
        yield line("sleeve and sealant for a hole", exactly(float(holes_count)), "each", hole.pounds_gbp, "route")
    for item in found.items:
        rate = book.parts.get(item.code)
        if rate is not None and rate.pounds_gbp and _is_small(item):
            yield line(item.name, item.need, item.unit, rate.pounds_gbp, *item.of)


def unpriced(found: TakeOff, book: PriceBook) -> tuple[str, ...]:
    """Small parts of the take-off that the price book has no row for."""
    return tuple(item.name for item in found.items
                 if _is_small(item) and item.code not in book.parts)  # fmt: skip


def _is_small(item: Item) -> bool:
    """Whether a price book prices it: labels, sealant and sleeves stand in the rows for every job and for a hole."""
    return codes()[item.code].group in BY_THE_BOOK and not item.code.startswith(BY_THE_CATALOGUE)


def _cables(job: Job, chosen: Chosen, found: TakeOff) -> Iterator[Line]:
    """Each run as it is cut, with its terminations, and the boxes where one cable changes to another."""
    by_run = {run.paths: chosen.cables[run.sections[0][0]] for run in runs_of(job)}
    lengths = {cut.of: cut.length_m for cut in found.cuts}
    for paths, cable in by_run.items():
        if paths in lengths:
            of = (f"{each}.length_m" for each in paths)
            yield line(cable.words, lengths[paths], "m", _gbp(cable.per_m.pence), *of)
    for cable in (each for each in chosen.cables if each.fixed.pence):
        yield line(f"{cable.words}, for each stretch", ONE, "each", _gbp(cable.fixed.pence))
    for cable in like_runs(chosen.cables):
        if cable.per_end.pence:
            yield line(f"making off {cable.words}", exactly(float(ENDS_COUNT)), "each", _gbp(cable.per_end.pence))
    boxes_count = joints_count(chosen.cables)
    for box in chosen.catalogue.axis("joint") if boxes_count else ():
        yield line(box.words, exactly(float(boxes_count)), "each", _gbp(box.fixed.pence))


def _by_the_metre(job: Job, chosen: Chosen) -> Iterator[tuple[str, Reading, Decimal, list[str]]]:
    """Trench for what is buried, and a sensor's lead beside cable that carries no data."""
    trench = chosen.catalogue.axis("trench")[0]
    buried = [number for number, section in enumerate(job.route) if section.method in BURIED]
    bare = [number for number, cable in enumerate(chosen.cables) if not has_data(cable)]
    wanted = [(trench, buried), *((each, bare) for each in chosen.rows)]
    for row, numbers in wanted:
        lengths = [length_m for number in numbers if (length_m := job.route[number].length_m) is not None]
        if row.per_m.pence and lengths:
            words = row.words if row is trench else f"the lead for {row.words}"
            yield words, plus(*lengths), _gbp(row.per_m.pence), [f"route[{number}].length_m" for number in numbers]


def like_runs(cables: Sequence[Choice]) -> list[Choice]:
    """The cable of each run of like stretches, in the order of the route; each is made off at both its ends."""
    return [cables[0], *(right for left, right in pairwise(cables) if left != right)] if cables else []


def joints_count(cables: Sequence[Choice]) -> int:
    """How often one cable changes to another."""
    return sum(left != right for left, right in pairwise(cables))


def has_data(cable: Choice) -> bool:
    """Whether a data pair runs in its sheath."""
    return bool(dict(cable.sets).get("route[].cable.carries_data"))


def _gbp(pence: int) -> Decimal:
    return to_pence(Decimal(pence) / 100)
