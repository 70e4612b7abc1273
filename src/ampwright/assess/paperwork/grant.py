"""Who may have the grant, and when: its rules in force on the day of the application, held against the record."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass

from ampwright.assess.paperwork.circuit import rated_kw
from ampwright.assess.paperwork.desk import stated, told
from ampwright.facts import Row, rows
from ampwright.job.fields import in_words
from ampwright.job.paths import at, spread
from ampwright.job.record import Job
from ampwright.working import Verdict

RULES = "gb/grant_rules"
OURS_TO_ASK = Verdict.FOR_THE_DESIGNER
Judge = Callable[[Job, datetime.date, str], Verdict | None]


@dataclass(frozen=True, slots=True)
class Ruling:
    """One rule of the grant: what it asks, the answer, what the record holds of it, and the row that it stands in.

    FOR_THE_DESIGNER is for whoever signs the claim: the record cannot tell.
    """

    rule: str
    says: str
    verdict: Verdict
    holds: str
    paths: tuple[str, ...]
    row: Row


def in_force(row: Row, day: datetime.date) -> bool:
    """Whether a dated row holds on a day; a blank date is open."""
    return (row["from"] or "0001-01-01") <= day.isoformat() <= (row["until"] or "9999-12-31")


def day_of(job: Job, today: datetime.date) -> datetime.date:
    """The day whose rules hold: that of the application, or today while there is none."""
    return job.dates.grant_applied or today


def rulings(job: Job, today: datetime.date) -> tuple[Ruling, ...]:
    """Every rule held for the day of the application: of every grant, and of the one that is asked for."""
    day, schemes = day_of(job, today), ("", job.grant.scheme)
    return tuple(_ruling(job, today, row) for row in rows(RULES) if row["scheme"] in schemes and in_force(row, day))


def _ruling(job: Job, today: datetime.date, row: Row) -> Ruling:
    patterns, judge = JUDGES.get(row["rule"], ((), _nobody_can_tell))
    paths = tuple(path for pattern in patterns for path in spread(job, pattern))
    known = tuple(path for path in paths if stated(job, path))
    verdict = judge(job, today, row["value"]) or Verdict.NOT_YET_KNOWN
    holds = "; ".join(f"{in_words(path)}: {told(path, at(job, path)) if path in known else 'not yet known'}"
                      for path in paths)  # fmt: skip
    says = row["says"].format(value=row["value"], unit=row["unit"])
    return Ruling(row["rule"], says, verdict, holds, known, row)


def _either(holds: bool | None) -> Verdict | None:
    return None if holds is None else Verdict.MET if holds else Verdict.NOT_MET


def _nobody_can_tell(job: Job, today: datetime.date, value: str) -> Verdict:
    """The record has no field for it."""
    return OURS_TO_ASK


def _rents_or_owns_flat(job: Job, today: datetime.date, value: str) -> Verdict | None:
    tenure, dwelling = job.site.tenure, job.site.dwelling
    if tenure == "owner":
        return _either(None if dwelling is None else dwelling == "flat")
    return _either(None if tenure is None else tenure == "tenant")


def _parks(where: str) -> Judge:
    """A shared place may be either: who may use it is in no field."""

    def judge(job: Job, today: datetime.date, value: str) -> Verdict | None:
        parking = job.site.parking
        return OURS_TO_ASK if parking == "shared" else _either(None if parking is None else parking == where)

    return judge


def _council_agrees(job: Job, today: datetime.date, value: str) -> Verdict | None:
    return Verdict.MET if job.grant.pavement_channel else None


def _lets_home(job: Job, today: datetime.date, value: str) -> Verdict | None:
    return _either(None if job.site.tenure is None else job.site.tenure == "landlord")


def _no_owner_with_driveway(job: Job, today: datetime.date, value: str) -> Verdict | None:
    site = job.site
    found = (site.tenure, site.dwelling, site.parking)
    barred = ("owner", "house", "private, off the street")
    if any(each not in (None, bar) for each, bar in zip(found, barred, strict=True)):
        return Verdict.MET
    return Verdict.NOT_MET if found == barred else None


def _no_earlier_grant(job: Job, today: datetime.date, value: str) -> Verdict | None:
    return _either(job.grant.no_earlier_grant)


def _least_power(job: Job, today: datetime.date, value: str) -> Verdict | None:
    """Of several sockets the record does not say how they share the power."""
    power_kw, sockets_count = rated_kw(job), job.charge_point.made.sockets_count
    if power_kw is None or power_kw < float(value):
        return _either(None if power_kw is None else False)
    if sockets_count is None:
        return None
    return Verdict.MET if power_kw / sockets_count >= float(value) else OURS_TO_ASK


def _least_warranty(job: Job, today: datetime.date, value: str) -> Verdict | None:
    """Long enough is not yet on site with parts and fitting: the warranty's own text says that."""
    years_count = job.charge_point.made.warranty_years_count
    return None if years_count is None else OURS_TO_ASK if years_count >= float(value) else Verdict.NOT_MET


def _product_standard(job: Job, today: datetime.date, value: str) -> Verdict | None:
    standards = job.charge_point.made.standards
    return None if not standards else Verdict.MET if "61851-1" in standards else OURS_TO_ASK


def _firm_authorised(job: Job, today: datetime.date, value: str) -> Verdict | None:
    """Since when, the grant office's own letter says."""
    return OURS_TO_ASK if job.firm.grant_number else None


def _applied_first(job: Job, today: datetime.date, value: str) -> Verdict | None:
    applied, installed = job.dates.grant_applied, job.dates.installed
    return None if applied is None else _either(installed is None or applied <= installed)


def _done_in_time(job: Job, today: datetime.date, value: str) -> Verdict | None:
    applied, installed = job.dates.grant_applied, job.dates.installed
    if applied is None:
        return None
    in_time = (installed or today) - applied <= datetime.timedelta(days=int(value))
    return _either(in_time if installed is not None or not in_time else None)


HOME = ("site.tenure", "site.dwelling")
SPAN = ("dates.grant_applied", "dates.installed")
# A rule that stands here not at all is for whoever signs the claim to say: no field of the record holds it.
JUDGES: dict[str, tuple[tuple[str, ...], Judge]] = {
    "rents_or_owns_flat": (HOME, _rents_or_owns_flat),
    "parks_off_street": (("site.parking",), _parks("private, off the street")),
    "vehicle_listed": (("vehicles[].model",), _nobody_can_tell),
    "parks_on_street": (("site.parking",), _parks("on the street")),
    "council_agrees": (("grant.pavement_channel",), _council_agrees),
    "lets_home": (("site.tenure",), _lets_home),
    "no_owner_with_driveway": ((*HOME, "site.parking"), _no_owner_with_driveway),
    "no_earlier_grant": (("grant.no_earlier_grant",), _no_earlier_grant),
    "least_power": (("charge_point.rated_a", "charge_point.phases", "charge_point.made.sockets_count"), _least_power),
    "point_listed": (("charge_point.made.model",), _nobody_can_tell),
    "least_warranty": (("charge_point.made.warranty_years_count",), _least_warranty),
    "product_standard": (("charge_point.made.standards",), _product_standard),
    "firm_authorised": (("firm.grant_number",), _firm_authorised),
    "applied_first": (SPAN, _applied_first),
    "done_in_time": (SPAN, _done_in_time),
}
