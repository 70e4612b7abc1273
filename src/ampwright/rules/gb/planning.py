"""Planning law: whether a charge point may be put up without applying, by nation and by day."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from ampwright.facts import look_up, rows
from ampwright.job.paths import at
from ampwright.job.record import Job
from ampwright.reading import Reading
from ampwright.rules.regulation import (
    Finding,
    ask,
    for_the_designer,
    open_where_loose,
    regulation,
    seen,
    settled,
    weigh,
)
from ampwright.working import Fact, Verdict, Working

_TABLE = "gb/planning"
_PROTECTED = {"site.listed": "the curtilage of a listed building", "site.scheduled_monument": "a scheduled monument"}


@dataclass(frozen=True, slots=True)
class Mounted:
    """What an order limits of a charge point mounted one way: its rows, the field, the symbols and the sentence."""

    topic: str
    near: str
    path: str
    symbols: tuple[str, str]
    says: str


_MOUNTED = {
    "wall": Mounted("outlet_casing", "outlet_near_highway", "charge_point.casing_m3", ("Vcase", "Vcasemax"),
                    "The casing is {has:.3g} m³; the limit on a wall is {limit:g} m³."),
    "post": Mounted("upstand_height_at_house", "upstand_near_highway", "charge_point.post_height_m",
                    ("hpost", "hpostmax"),
                    "The post is {has:.3g} m; the limit at a home is {limit:g} m, one for each parking space."),
}  # fmt: skip


@regulation(asks="May the charge point be put up without a planning application?", needs=("site.nation",))
def planning_permission(job: Job) -> Finding:
    """By the nation's order as it stood on the day: place, size and what is protected."""
    nation = seen(job.site.nation)
    key = nation.lower().replace(" ", "_")
    if not any(row["nation"] == key and row["limit"] for row in rows(_TABLE)):
        return for_the_designer(f"{nation} has its own orders: ask the planning authority.", Working())
    sheet = Working()
    _put_conditions(job, sheet)
    protected = _protected(job)
    if protected is not None:
        return protected
    if job.charge_point.mounting is None:
        return ask("charge_point.mounting")
    mounted = _MOUNTED[job.charge_point.mounting]
    finding = _sized(job, key, mounted, sheet)
    highway = _in_force(job, key, mounted.near)
    if highway is None or finding.verdict is not Verdict.MET:
        return finding
    says = f"{finding.says} But nothing within {highway.value:g} m of a highway is allowed on the day of this job."
    return for_the_designer(f"{says} Measure to it.", sheet)


def _protected(job: Job) -> Finding | None:
    """A refusal for a protected place, a question where nobody has looked, or None."""
    answers = {"site.listed": job.site.listed, "site.scheduled_monument": job.site.scheduled_monument}
    for path, yes in answers.items():
        if yes:
            says = f"It would stand in {_PROTECTED[path]}: apply to the planning authority before any work."
            return settled(False, says, Working())
    gaps = tuple(path for path, answer in answers.items() if answer is None)
    return ask(*gaps) if gaps else None


def _sized(job: Job, nation: str, mounted: Mounted, sheet: Working) -> Finding:
    limit = _in_force(job, nation, mounted.topic)
    if limit is None:
        return for_the_designer("The order held here gives no figure for that day: ask the planning authority.", sheet)
    value: Reading | None = at(job, mounted.path)
    if value is None:
        return ask(mounted.path)
    has, most = mounted.symbols
    sheet.given(has, value.high, value.basis)
    allowed = sheet.fact(most, limit)
    says = mounted.says.format(has=value.high, limit=allowed)
    finding = weigh(best=value.low <= allowed, worst=value.high <= allowed, says=says, sheet=sheet)
    return open_where_loose(finding, job, (mounted.path,))


def _put_conditions(job: Job, sheet: Working) -> None:
    sheet.remark("The place is one lawfully used for parking off the street.")
    sheet.remark("A conservation area or a local direction may take the right away: ask the authority.")
    sheet.remark("It is removed when it is no longer needed.")
    if job.date is None:
        sheet.remark("The job has no date: judged by the order as it stands last.")


def _in_force(job: Job, nation: str, topic: str) -> Fact | None:
    """The limit that held on the job's day; on the last day known where the job has none."""
    day = (job.date or datetime.date.max).isoformat()
    for row in rows(_TABLE):
        if row["nation"] == nation and row["topic"] == topic and _covers(row, day):
            keys = {"nation": nation, "topic": topic, "from": row["from"], "until": row["until"]}
            return look_up(_TABLE, "limit", **keys)
    return None


def _covers(row: dict[str, str], day: str) -> bool:
    return (not row["from"] or row["from"] <= day) and (not row["until"] or day < row["until"])
