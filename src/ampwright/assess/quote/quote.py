"""The quote of a design: cost, overhead, margin, VAT, and what a reading would take off the width of its band."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from ampwright.assess.materials.items import Operation
from ampwright.assess.materials.take_off import take_off
from ampwright.assess.price import HUNDRED, vat_percent
from ampwright.assess.quote.book import PriceBook, Rate
from ampwright.assess.quote.lines import Chosen, Line, material, unpriced
from ampwright.assess.quote.money import Band, to_pence, total
from ampwright.assess.quote.work import minutes, work_list
from ampwright.assess.trench import surfaces, unsaid
from ampwright.job.fields import bare, leaves
from ampwright.job.paths import at, pattern_of, replaced, spread
from ampwright.job.record import Job
from ampwright.reading import Reading


@dataclass(frozen=True, slots=True)
class Quote:
    """What one design costs. Sums add up to the penny: lines and labour are the cost, with overhead and margin they
    are the net price, with VAT what is to pay. `missing`: paths without which the upper end is not known.
    """

    lines: tuple[Line, ...]
    operations: tuple[Operation, ...]
    minutes: tuple[int, int]
    labour: Band
    overhead: Band
    margin: Band
    net: Band
    charges_vat: bool
    vat_percent: Decimal
    vat: Band
    gross: Band
    missing: tuple[str, ...]
    unpriced: tuple[str, ...]

    @property
    def cost(self) -> Band:
        """Material and labour."""
        return total([each.cost for each in self.lines]) + self.labour


@dataclass(frozen=True, slots=True)
class Saving:
    """What a reading at this path takes off the width of the band, GBP with VAT.

    So at both ends of its range; in between whole cleats and pennies may make it a pound or so less.
    """

    path: str
    narrows_gbp: Decimal


def quoted(job: Job, chosen: Chosen, book: PriceBook) -> Quote:
    """The quote for a job that stands as the choices leave it. Raises CannotPrice for a day without a rate of VAT."""
    found = take_off(_fitted(job, chosen))
    lines = tuple(material(job, chosen, found, book))
    work = work_list(job, chosen, book)
    spent = minutes(work)
    labour = Band(*(to_pence(_worked(each, chosen)) for each in spent))
    cost = total([each.cost for each in lines]) + labour
    overhead, margin = _added(cost, book)
    net = cost + overhead + margin
    percent = _vat_percent(job, book)
    vat = net.share(percent)
    return Quote(lines, work, spent, labour, overhead, margin, net, bool(book.firm["charges_vat"]), percent, vat,
                 net + vat, found.missing, unpriced(found, book))  # fmt: skip


def _fitted(job: Job, chosen: Chosen) -> Job:
    """The job with the sensor at the supply as the chosen load cap brings it: one by radio has no lead to tie up."""
    if not any(row.sensor_link == "radio" for row in chosen.rows):
        return job
    return replace(job, sensors=tuple(replace(each, link="radio") if each.watches == "grid" else each
                                      for each in job.sensors))  # fmt: skip


def extra_gross_gbp(rate: Rate, job: Job, chosen: Chosen, book: PriceBook) -> Decimal | None:
    """What a priced extra adds to what is to pay; None for one that has no price."""
    if rate.pounds_gbp is None:
        return None
    cost = to_pence(rate.pounds_gbp + _worked(rate.minutes_count, chosen))
    overhead, margin = _added(Band(cost, cost), book)
    net = Band(cost, cost) + overhead + margin
    return (net + net.share(_vat_percent(job, book))).high_gbp


def savings(job: Job, chosen: Chosen, book: PriceBook) -> tuple[Saving, ...]:
    """The readings that narrow the band, the most first: each range of the record is tried at both of its ends, and
    what lies over a trench as each surface that it may be."""
    wide_gbp = quoted(job, chosen, book).gross.width_gbp
    found = []
    tried: list[tuple[str, list[object]]]
    tried = [(path, [Reading(end, end) for end in (at(job, path).low, at(job, path).high)]) for path in _ranges(job)]
    tried += [(f"route[{number}].surface", list(surfaces(job, number))) for number in unsaid(job, chosen.catalogue)]
    for path, values in tried:
        left_gbp = max(quoted(replaced(job, path, value), chosen, book).gross.width_gbp for value in values)
        if left_gbp < wide_gbp:
            found.append(Saving(path, wide_gbp - left_gbp))
    return tuple(sorted(found, key=lambda each: -each.narrows_gbp))


def _ranges(job: Job) -> list[str]:
    """The paths of the readings that are ranges."""
    patterns = [pattern for pattern, hint in leaves().items() if bare(hint) is Reading]
    paths = [path for pattern in patterns for path in spread(job, pattern) if pattern_of(path) in leaves()]
    return [path for path in paths if isinstance(value := at(job, path), Reading) and value.low < value.high]


def _worked(spent_min: int, chosen: Chosen) -> Decimal:
    return Decimal(spent_min) * chosen.catalogue.labour_pence_per_h / 60 / HUNDRED


def _added(cost: Band, book: PriceBook) -> tuple[Band, Band]:
    """Overhead on the cost, and the margin that leaves its share of the net price."""
    overhead = cost.share(book.firm["overhead_percent"])
    both, margin_percent = cost + overhead, book.firm["margin_percent"]
    return overhead, both.share(HUNDRED * margin_percent / (HUNDRED - margin_percent))


def _vat_percent(job: Job, book: PriceBook) -> Decimal:
    return vat_percent(job.date) if book.firm["charges_vat"] else Decimal(0)
