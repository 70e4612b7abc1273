"""The price book: what small parts and holes cost, and how the firm reckons. A plain CSV that the user edits.

The one shipped is price_book.csv in `ampwright.assess`; every price in it is INVENTED, as its notes say. Pounds are net
of VAT (with it where the firm charges none and pays it itself), written to the penny; minutes are whole. Sorts:

- `firm`: overhead_percent, margin_percent (of the net price), valid_days, charges_vat (1 or 0), each in `value`;
- `part`: one piece or metre of what the take-off lists, by its code; `work`: material and minutes of a piece of work;
- `extra`: priced options that the customer may add, and `exclusion`: what the price is not for, in `words`.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from difflib import get_close_matches
from pathlib import Path

from ampwright.assess.materials.items import codes
from ampwright.assess.user_csv import Found, Sort
from ampwright.job.faults import Fault, shortened

SORT = Sort("price book", "price_book.csv", ("sort", "code", "pounds", "minutes", "value", "words", "note"))
SORTS = ("firm", "part", "work", "extra", "exclusion")
CODED = {"part": "item", "work": "operation"}
HOLE = "set out, sleeve and seal a hole"
FIRM = {"overhead_percent": (Decimal(0), Decimal(500)), "margin_percent": (Decimal(0), Decimal(90)),
        "valid_days": (Decimal(1), Decimal(365)), "charges_vat": (Decimal(0), Decimal(1))}  # fmt: skip
MONEY, WHOLE, PLAIN = r"[0-9]{1,6}(\.[0-9]{1,2})?", r"[0-9]{1,5}", r"[0-9]{1,4}(\.[0-9]{1,3})?"
Says = Callable[[str, str], None]


@dataclass(frozen=True, slots=True)
class Rate:
    """A row: pounds net of VAT for one piece or metre (None where none is given), minutes of work, and its words."""

    code: str
    pounds_gbp: Decimal | None
    minutes_count: int
    words: str


@dataclass(frozen=True, slots=True)
class PriceBook:
    """All rows by sort and code, and the firm's own figures."""

    parts: dict[str, Rate]
    works: dict[str, Rate]
    extras: tuple[Rate, ...]
    exclusions: tuple[str, ...]
    firm: dict[str, Decimal]


def read_price_book(source: str | Path | None = None) -> PriceBook:
    """The price book in a text or in a file, or the one shipped. Raises BadTable with every fault at once."""
    with SORT.reading(source) as found:
        rates = [(row["sort"], _rate(line, row, found.faults)) for line, row in found.rows]
        firm = {row["code"]: value for line, row in found.rows if row["sort"] == "firm"
                and (value := _firm_value(line, row, found.faults)) is not None}  # fmt: skip
        if found.whole:
            _judge_together(found)
    of = {sort: tuple(rate for own, rate in rates if own == sort) for sort in SORTS}
    return PriceBook({each.code: each for each in of["part"]}, {each.code: each for each in of["work"]},
                     of["extra"], tuple(each.words for each in of["exclusion"]), firm)  # fmt: skip


def _rate(line: int, row: dict[str, str], faults: list[Fault]) -> Rate:
    def says(column: str, words: str) -> None:
        faults.append(Fault(line, column, words))

    _judge_code(row, says)
    for column in ("code", "words", "note"):
        if not row[column].isprintable():
            says(column, "this holds a sign that cannot be printed; write it in plain letters on one line")
    if row["sort"] in ("extra", "exclusion") and not row["words"]:
        says("words", "say what it is: the customer reads this")
    pounds = _number(row, "pounds", MONEY, "write pounds as 12.50, net of VAT", says)
    minutes = _number(row, "minutes", WHOLE, "write whole minutes", says)
    if row["sort"] == "part" and not row["pounds"]:
        says("pounds", "a part needs its price; write 0 where it costs nothing")
    return Rate(row["code"], pounds, int(minutes or 0), row["words"])


def _judge_code(row: dict[str, str], says: Says) -> None:
    sort, code = row["sort"], row["code"]
    if sort not in SORTS:
        says("sort", f"'{shortened(sort)}' is none of {', '.join(SORTS)}")
        return
    known = [each.code for each in codes().values() if each.sort == CODED[sort]] if sort in CODED else list(FIRM)
    if sort not in ("extra", "exclusion") and code not in known:
        close = get_close_matches(code, known, n=1)
        says("code", f"'{shortened(code)}' is not known" + (f"; did you mean {close[0]}?" if close else ""))


def _number(row: dict[str, str], column: str, form: str, wanted: str, says: Says) -> Decimal | None:
    text = row[column]
    if not text:
        return None
    if re.fullmatch(form, text):
        return Decimal(text)
    says(column, f"'{shortened(text)}' is not understood; {wanted}")
    return None


def _firm_value(line: int, row: dict[str, str], faults: list[Fault]) -> Decimal | None:
    if row["code"] not in FIRM:
        return None
    low, high = FIRM[row["code"]]
    whole = row["code"] in ("valid_days", "charges_vat")
    text = row["value"]
    if not re.fullmatch(WHOLE if whole else PLAIN, text) or not low <= Decimal(text) <= high:
        kind = "whole number" if whole else "number"
        faults.append(Fault(line, "value", f"'{shortened(text)}' will not do; write a {kind} from {low} to {high}"))
        return None
    return Decimal(text)


def _judge_together(found: Found) -> None:
    found.judge_doubles(("sort", "code"), lambda row, before: Fault(None, "code", f"'{shortened(row['code'])}' stands "
                                                                    f"already on line {before}"))  # fmt: skip
    there = {row["code"] for _, row in found.rows if row["sort"] == "firm"}
    found.faults.extend(Fault(None, "", f"there is no row of sort firm with {code}") for code in FIRM
                        if code not in there)  # fmt: skip
