"""The figures that a job is worked out by: one's own catalogue, price book, efforts and bits, else those shipped."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Collection, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any

from ampwright.assess import catalogue
from ampwright.assess.catalogue import Catalogue
from ampwright.assess.paperwork.priced import Prices, shipped
from ampwright.assess.quote import book
from ampwright.assess.quote.book import PriceBook
from ampwright.assess.route import bits, effort
from ampwright.assess.route.bits import Bit, using_bits
from ampwright.assess.route.effort import Efforts, using_efforts
from ampwright.assess.user_csv import BadTable, Sort

Marks = tuple[tuple[str, str], ...]
KEPT_COUNT = 8
WAYS = {
    (False, False): "Efforts and tools are those that come with the program, invented or common practice.",
    (True, False): "Efforts are your own; bits are those that come with the program, common practice.",
    (False, True): "Bits are your own; efforts are those that come with the program, invented or common practice.",
    (True, True): "Efforts and bits are your own.",
}
PRICES = {
    (False, False): "Catalogue and price book are those that come with the program, invented.",
    (True, False): "The catalogue is your own; the price book is the one that comes with the program, invented.",
    (False, True): "The price book is your own; the catalogue is the one that comes with the program, invented.",
    (True, True): "Catalogue and price book are your own.",
}


@dataclass(frozen=True, slots=True)
class Kind:
    """Figures that one may have of one's own: by what name, what they are called and for, and how they are read."""

    name: str
    title: str
    says: str
    sort: Sort
    read: Callable[[str | Path | None], Any]

    @property
    def file(self) -> str:
        """The name of a file of them."""
        return Path(self.sort.shipped).name


KINDS: dict[str, Kind] = {each.name: each for each in (
    Kind("catalogue", "Catalogue", "What may be chosen for a job, with its price and its minutes: charge point, "
         "protection, cables, trenches, and an hour of labour.", catalogue.SORT, catalogue.read_catalogue),
    Kind("prices", "Price book", "Small parts and pieces of work, overhead and margin, how long a price stands, VAT, "
         "extras, and what a price is not for.", book.SORT, book.read_price_book),
    Kind("efforts", "Efforts", "Minutes that a way takes, and how far things are kept apart on it.", effort.SORT,
         effort.read_efforts),
    Kind("bits", "Bits and sleeves", "The drill bits that you carry, and the sleeves that you fit.", bits.SORT,
         bits.read_bits),
)}  # fmt: skip


class BadFigures(Exception):
    """Figures that cannot be read; `tables` holds what is wrong with each kind of them, by its name."""

    def __init__(self, tables: Mapping[str, BadTable]) -> None:
        super().__init__(dict(tables))
        self.tables = dict(tables)

    def __str__(self) -> str:
        return "\n".join(map(str, self.tables.values()))


@dataclass(frozen=True)
class Figures:
    """What is in use. By its marks one is the same as another or not."""

    marks: Marks = ()
    prices: Prices = field(default_factory=shipped, compare=False, repr=False)
    efforts: Efforts | None = field(default=None, compare=False, repr=False)
    bits: tuple[Bit, ...] | None = field(default=None, compare=False, repr=False)

    @property
    def catalogue(self) -> Catalogue:
        """What may be chosen."""
        return self.prices.catalogue

    @property
    def book(self) -> PriceBook:
        """What the small parts cost, and how the firm reckons."""
        return self.prices.book

    @property
    def own(self) -> frozenset[str]:
        """The names of the kinds that are one's own."""
        return frozenset(name for name, _ in self.marks)

    @contextmanager
    def in_use(self) -> Iterator[None]:
        """Ways and holes within go by these efforts and bits."""
        with using_efforts(self.efforts), using_bits(self.bits):
            yield

    @property
    def ways_say(self) -> str:
        """Whose efforts and bits they are."""
        return _whose(WAYS, "efforts", "bits", self.own)

    @property
    def drawing_says(self) -> str:
        """Whose efforts and bits a drawing was made by; nothing where they are those shipped."""
        return self.ways_say if self.own & {"efforts", "bits"} else ""

    @property
    def prices_say(self) -> str:
        """Whose catalogue and price book they are."""
        return _whose(PRICES, "catalogue", "prices", self.own)


@lru_cache(maxsize=KEPT_COUNT)
def figures_of_texts(own: tuple[tuple[str, str], ...]) -> Figures:
    """The same of texts by their kinds, each set of them read once in a process. Raises BadFigures."""
    return read_figures(dict(own))


def read_figures(own: Mapping[str, str | Path | None]) -> Figures:
    """Figures of which these kinds are one's own: a text or a file each; what is shipped has none.

    Raises BadFigures with every fault of all of them at once, KeyError for a kind that there is not.
    """
    read: dict[str, Any] = {}
    wrong: dict[str, BadTable] = {}
    given = {name: source for name, source in own.items() if source is not None}
    for name, source in given.items():
        try:
            read[name] = KINDS[name].read(source)
        except BadTable as bad:
            wrong[name] = bad
    if wrong:
        raise BadFigures(wrong)
    prices = Prices(read.get("catalogue") or shipped().catalogue, read.get("prices") or shipped().book)
    return Figures(marks_of(given), prices, read.get("efforts"), read.get("bits"))


def marks_of(own: Mapping[str, str | Path]) -> Marks:
    """Each kind that is one's own with what tells its text from another."""
    return tuple((name, _mark(own[name])) for name in KINDS if name in own)


def _mark(source: str | Path) -> str:
    return hashlib.sha256(source.encode()).hexdigest() if isinstance(source, str) else str(source)


def _whose(words: Mapping[tuple[bool, bool], str], one: str, two: str, own: Collection[str]) -> str:
    return words[one in own, two in own]
