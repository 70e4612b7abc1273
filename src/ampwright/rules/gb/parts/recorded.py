"""Demand by a year of half-hourly readings: whether they stand for a year, and what they come to."""

from __future__ import annotations

import datetime

from ampwright.job.paths import unseen
from ampwright.job.record import HalfHourly, Job
from ampwright.physics.demand import half_hour_mean_a
from ampwright.reading import End
from ampwright.rules.gb.parts.demand import LineDemand, largest_load_a, line_demands, with_car
from ampwright.rules.regulation import seen
from ampwright.working import Working

READINGS = "installation.half_hourly"
OF_THE_YEAR = tuple(f"{READINGS}.{name}" for name in ("highest_kwh", "days_count", "missing_count", "months"))
# Our own bars for a year of readings to stand for a year: no standard sets one.
_YEAR_DAYS = 350
_MONTHS = frozenset(range(1, 13))
_GAPS_RATIO = 0.02
_HALF_HOURS_COUNT = 48
_OLDEST_MONTHS = 18


def not_a_year(job: Job) -> str:
    """Why the readings do not stand for a year; nothing if they do. `OF_THE_YEAR` must have been looked at."""
    half_hourly = job.installation.half_hourly
    days_count, missing_count = seen(half_hourly.days_count), seen(half_hourly.missing_count)
    if days_count < _YEAR_DAYS:
        return f"The readings cover {days_count:g} days; they must cover at least {_YEAR_DAYS}."
    absent = sorted(_MONTHS - set(half_hourly.months))
    if absent:
        return f"The readings have nothing from {len(absent)} of the 12 months; the highest may lie there."
    allowed_count = _GAPS_RATIO * days_count * _HALF_HOURS_COUNT
    if missing_count > allowed_count:
        return f"{missing_count:g} half hours are missing; no more than {allowed_count:.0f} are allowed."
    if _stale(half_hourly, job.date):
        return f"The readings are more than {_OLDEST_MONTHS} months older than this job; get the latest year."
    return ""


def year_stands(job: Job) -> bool:
    """Whether there is a year of readings that stands for a year."""
    return not unseen(job, OF_THE_YEAR) and not not_a_year(job)


def recorded(job: Job, end: End, sheet: Working) -> LineDemand:
    """Demand as if the whole house were on one line: the highest half hour, the largest known load, and the car."""
    half_hourly = job.installation.half_hourly
    sheet.heading("The largest known load")
    largest_a = largest_load_a(job, end, sheet)
    sheet.heading("The highest half hour")
    sheet.remark("Read as if the whole house were on one line, at unity power factor.")
    kwh = sheet.given("Ehh", seen(half_hourly.highest_kwh), f"half-hourly readings, {half_hourly.highest_at or ''}")
    u0_v = sheet.given("U0", job.supply.declared_v, "declared by the supplier")
    mean_a = half_hour_mean_a(energy_kwh=kwh, voltage_v=u0_v)
    sheet.given("thh", 0.5, "half an hour")
    sheet.step("Ihh = 1000 * Ehh / thh / U0", mean_a)
    sheet.remark(
        "The current inside the half hour has been higher than its mean. The largest known load is added whole:"
        " that is our allowance, not a bound. Loads added since the readings are not in them."
    )
    tag, line = ("", "L1") if job.supply.phases != 3 else (f"_{_car_line(job)[1]}", _car_line(job))
    house_a = sheet.step(f"Ihouse{tag} = Ihh + Ibig", mean_a + largest_a)
    return with_car(job, line, house_a, sheet)


def larger_demands(job: Job, end: End, sheet: Working) -> tuple[LineDemand, ...]:
    """The demand of each line after diversity, or by a year of readings where that is more; the larger last.

    On three phases the meter read the whole house and no line of it, so that only diversity counts.
    """
    if job.supply.phases != 1 or not year_stands(job):
        return line_demands(job, end, sheet)
    by_year, by_diversity = recorded(job, end, Working()), line_demands(job, end, Working())
    if by_year.house_a > by_diversity[0].house_a:
        line_demands(job, end, sheet)
        return (recorded(job, end, sheet),)
    recorded(job, end, sheet)
    return line_demands(job, end, sheet)


def _car_line(job: Job) -> str:
    """A line that the car is on: the worst case has the whole house there too."""
    charge_point = job.charge_point
    return "L1" if charge_point.phases == 3 or charge_point.line == "all" else charge_point.line


def _stale(half_hourly: HalfHourly, today: datetime.date | None) -> bool:
    """Whether the highest reading and the job lie more than 18 months apart; not where a date is not known."""
    try:
        highest = datetime.date.fromisoformat((half_hourly.highest_at or "")[:10])
    except ValueError:  # words in place of a date: the readings stand as they are
        return False
    if today is None:
        return False
    months_count = 12 * (today.year - highest.year) + today.month - highest.month - (today.day < highest.day)
    return months_count > _OLDEST_MONTHS or (months_count == _OLDEST_MONTHS and today.day != highest.day)
