"""The lines of a quote: what each choice, each cable and each small part costs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from ampwright.assess.catalogue import Catalogue, Choice
from ampwright.assess.materials.cables import ENDS_COUNT, runs_of
from ampwright.assess.materials.gathering import plus, whole_cm
from ampwright.assess.materials.items import Item, TakeOff, codes, exactly
from ampwright.assess.quote.book import HOLE, PriceBook
from ampwright.assess.quote.money import Band, to_pence
from ampwright.assess.trench import Trench, trenches
from ampwright.job.record import Job
from ampwright.reading import Reading

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
    """A line with its cost, each end to the penny; metres in whole centimetres, as they are printed."""
    need = whole_cm(need) if unit == "m" else need
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
    for trench in trenches(job, chosen.catalogue):
        yield from _dug(job, trench)
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
    of_runs = run_cables(job, chosen.cables)
    lengths = {cut.of: cut.length_m for cut in found.cuts}
    for run, cable in zip(runs_of(job), of_runs, strict=True):
        if run.paths in lengths:
            of = (f"{each}.length_m" for each in run.paths)
            yield line(cable.words, lengths[run.paths], "m", _gbp(cable.per_m.pence), *of)
    for cable in (each for each in chosen.cables if each.fixed.pence):
        yield line(f"{cable.words}, for each stretch", ONE, "each", _gbp(cable.fixed.pence))
    for cable in of_runs:
        if cable.per_end.pence:
            yield line(f"making off {cable.words}", exactly(float(ENDS_COUNT)), "each", _gbp(cable.per_end.pence))
    boxes_count = joints_count(job)
    for box in chosen.catalogue.axis("joint") if boxes_count else ():
        yield line(box.words, exactly(float(boxes_count)), "each", _gbp(box.fixed.pence))


def _by_the_metre(job: Job, chosen: Chosen) -> Iterator[tuple[str, Reading, Decimal, list[str]]]:
    """A sensor's lead beside cable that carries no data."""
    bare = [number for number, cable in enumerate(chosen.cables) if not has_data(cable)]
    lengths = [length_m for number in bare if (length_m := job.route[number].length_m) is not None]
    for row in chosen.rows:
        if row.per_m.pence and lengths:
            of = [f"route[{number}].length_m" for number in bare]
            yield f"the lead for {row.words}", plus(*lengths), _gbp(row.per_m.pence), of


def _dug(job: Job, trench: Trench) -> Iterator[Line]:
    """What a trench takes by the least that it may be, and what it may take more where the surface was not said."""
    least, most = (pick(trench.rows, key=lambda each: each.per_m.pence) for pick in (min, max))
    lengths = {f"route[{number}].length_m": job.route[number].length_m for number in trench.numbers}
    long_m = plus(*(each for each in lengths.values() if each is not None))
    per_m, fixed = trench.per_m("pence"), trench.fixed("pence")
    found = ((least.words, long_m, "m", per_m.low),
             (f"more should it be {most.words}", Reading(0, long_m.high), "m", per_m.high - per_m.low),
             ("making ready to dig", ONE, "each", fixed.low),
             ("more to make ready to dig, by surface", Reading(0, 1), "each", fixed.high - fixed.low))  # fmt: skip
    for words, need, unit, pence in found:
        if pence and need.high:
            yield line(words, need, unit, _gbp(int(pence)), *lengths)


def run_cables(job: Job, cables: Sequence[Choice]) -> list[Choice]:
    """The cable of each unbroken run of the cut list, by its first stretch that the catalogue has a row for; each is
    made off at both its ends, and a box stands between two."""
    return [next((cables[number] for number, _ in run.sections if cables[number].sets), cables[run.sections[0][0]])
            for run in runs_of(job)]  # fmt: skip


def joints_count(job: Job) -> int:
    """How often one cable changes to another."""
    return max(len(runs_of(job)) - 1, 0)


def has_data(cable: Choice) -> bool:
    """Whether a data pair runs in its sheath."""
    return bool(dict(cable.sets).get("route[].cable.carries_data"))


def _gbp(pence: int) -> Decimal:
    return to_pence(Decimal(pence) / 100)
