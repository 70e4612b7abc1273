"""Boxes about money: the quote as it is reckoned elsewhere, and the grant by the terms of the day of application."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from decimal import Decimal

from ampwright.assess.paperwork.desk import Desk, Fill, Filled
from ampwright.assess.paperwork.grant import in_force, rulings
from ampwright.assess.quote.book import PriceBook
from ampwright.assess.quote.money import Band, to_pence
from ampwright.assess.quote.quote import Quote
from ampwright.facts import Row, rows
from ampwright.job.record import Job
from ampwright.working import Verdict, written_day

TERMS = "gb/grant_terms"
OF_THE_JOB = ("charge point", "work", "time")


def money(desk: Desk, what: str) -> Filled:
    """A sum or a list of the quote of the job as it stands."""
    if what in ("valid", "exclusions"):
        return Filled(_valid(desk) if what == "valid" else "; ".join(desk.prices.book.exclusions) or "none")
    quote = desk.quote()
    if quote is None:
        return Filled(None)
    return Filled(_extras(desk.prices.book) if what == "extras" else TOLD[what](quote))


def _valid(desk: Desk) -> str | None:
    if desk.job.date is None:
        return None
    return written_day(desk.job.date + datetime.timedelta(days=int(desk.prices.book.firm["valid_days"])))


def _band(sums: Band) -> str:
    low, high = (f"£{end:,.2f}" for end in (sums.low_gbp, sums.high_gbp))
    return low if low == high else f"{low} to {high}"


def _materials(quote: Quote) -> str:
    return "; ".join(f"{each.words}, {each.need.ends} {each.unit}" for each in quote.lines)


def _labour(quote: Quote) -> str:
    low, high = (f"{each / 60:.1f}" for each in quote.minutes)
    return f"{low} h" if low == high else f"{low} to {high} h"


def _vat(quote: Quote) -> str:
    return f"{_band(quote.vat)} at {quote.vat_percent:f} %" if quote.charges_vat else "none charged"


def _extras(book: PriceBook) -> str:
    return "; ".join(f"{each.words}, {'at cost' if each.pounds_gbp is None else f'£{each.pounds_gbp:,.2f} and work'}"
                     for each in book.extras) or "none"  # fmt: skip


TOLD: dict[str, Callable[[Quote], str]] = {
    "materials": _materials, "labour": _labour, "net": lambda quote: _band(quote.net), "vat": _vat,
    "gross": lambda quote: _band(quote.gross),
}  # fmt: skip


def term_on(name: str, day: datetime.date) -> Row | None:
    """The grant's term of that name on the day of the application; None where none is held for it."""
    valid = [row for row in rows(TERMS) if row["name"] == name and in_force(row, day)]
    return valid[0] if len(valid) == 1 else None


def grant_gbp(gross_gbp: Decimal, sockets_count: int, applied: datetime.date) -> Decimal | None:
    """The share of the cost with VAT, at most so much a socket; None for a day without a term."""
    share, most = term_on("share", applied), term_on("most", applied)
    if share is None or most is None:
        return None
    return min(to_pence(gross_gbp * Decimal(share["value"]) / 100), Decimal(most["value"]) * sockets_count)


def grant_amount(desk: Desk, _: str) -> Filled:
    """By the term that was in force when the customer applied."""
    quote, applied = desk.quote(), desk.job.dates.grant_applied
    sockets_count = desk.job.charge_point.made.sockets_count
    if quote is None or applied is None or sockets_count is None:
        return Filled(None)
    sums = [grant_gbp(end, sockets_count, applied) for end in (quote.gross.low_gbp, quote.gross.high_gbp)]
    share, most = term_on("share", applied), term_on("most", applied)
    if sums[0] is None or sums[1] is None or share is None or most is None:
        return Filled(None)
    since = f"from {written_day(datetime.date.fromisoformat(most['from']))} " if most["from"] else ""
    until = written_day(datetime.date.fromisoformat(most["until"]))
    terms = f"{share['value']} % of the cost, at most £{most['value']} a socket; applications {since}to {until}"
    return Filled(f"{_band(Band(sums[0], sums[1]))}: {terms}")


def grant_scheme(desk: Desk, _: str) -> Filled:
    """Which grant, and what of its dated terms the record does not meet."""
    scheme = desk.job.grant.scheme
    if scheme is None:
        return Filled(None)
    faults = grant_faults(desk.job, desk.today)
    return Filled(f"{scheme}. NOT MET: {'; '.join(faults)}" if faults else scheme)


def grant_faults(job: Job, today: datetime.date) -> tuple[str, ...]:
    """Every term on the charge point, the work and the time that the record is known not to meet. Who may have the
    grant stands among its rules on the bundle, and is the grant office's to say.
    """
    applied = job.dates.grant_applied
    unheld = applied is not None and term_on("most", applied) is None
    found = (f"no amount is held for an application of {written_day(applied)}",) if applied and unheld else ()
    return (*found, *(each.says for each in rulings(job, today)
                      if each.verdict is Verdict.NOT_MET and each.row["about"] in OF_THE_JOB))  # fmt: skip


def invoice_number(desk: Desk, _: str) -> Filled:
    """The job's reference with an I behind it: one job, one invoice."""
    reference = desk.job.reference
    return Filled(f"{reference}-I" if reference else None)


MONEY: dict[str, Fill] = {each.__name__: each for each in (money, grant_amount, grant_scheme, invoice_number)}
