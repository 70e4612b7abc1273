"""The load cap as text for a terminal, as JSON with a stable shape, and as a drawing."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from ampwright.assess.load_cap.attack import SEED
from ampwright.assess.load_cap.day import Day
from ampwright.assess.load_cap.reckoning import LineCap
from ampwright.assess.load_cap.report import Report
from ampwright.assess.load_cap.situation import Situation
from ampwright.deliver.load_plot import picture
from ampwright.deliver.machine import check_json
from ampwright.deliver.screen import WIDTH, Told, check_text, memory_note, tally
from ampwright.job.record import Job
from ampwright.rules.gb.parts.demand import where
from ampwright.working import Check, Verdict, down, up

FORMAT = 1
MINUTE_S = 60
AROUND_S = 150
NOT_NOW = "Not yet: put right what is not met above. A cap that does not act lets house and car overload the fuse."


def summary(report: Report, *, working: bool = False) -> str:
    """The cap in one line, the tally, each answer in reading order, the worst day that was found."""
    title = report.job.title or report.job.reference or "This job"
    blocks = [f"{title}\n{textwrap.fill(headline(report), WIDTH)}", tally(report)]
    told = Told(set(), {})
    blocks += [check_text(check, working=working, told=told) for check in asked_once(report.checks)]
    if report.day is not None and report.line is not None:
        words = textwrap.fill(day_words(report.job, report.line, report.day), WIDTH)
        blocks.append(f"THE WORST DAY THAT WAS FOUND\n{words}")
    words = on_site(report)
    if words:
        blocks.append(f"PROVE IT ON SITE\n{textwrap.fill(words, WIDTH)}")
    blocks += memory_note(report.checks)
    return "\n\n".join(blocks)


def on_site(report: Report) -> str:
    """What to try before leaving, or why not yet; nothing while no cap stands."""
    if report.stands_a is None or report.line is None or report.line.situation is None:
        return ""
    return NOT_NOW if report.count(Verdict.NOT_MET) else site_test(_set_a(report), report.line.situation)


def _set_a(report: Report) -> float:
    """The cap that is set, but never above the one that is offered."""
    set_a = report.job.charge_point.load_cap.limit_a
    offered_a = report.offered_a or 0.0
    return offered_a if set_a is None else min(set_a, offered_a)


def asked_once(checks: Iterable[Check]) -> Iterator[Check]:
    """The checks, those that want nothing new called back to what is asked above."""
    asked: set[str] = set()
    for check in checks:
        if check.verdict is Verdict.NOT_YET_KNOWN and check.needs and asked.issuperset(check.needs):
            yield replace(check, needs=(), says=f"{check.says} Find out what is asked above.")
            continue
        asked.update(check.needs)
        yield check


def headline(report: Report) -> str:
    """What to set, in a sentence."""
    if report.tables_end:
        return "No load cap can be offered: our tables end here, as said below. Ask the operator or a designer."
    if report.offered_a is None and report.line is None:
        return "No load cap can be offered yet: find out what is asked below."
    if report.stands_a is None and report.may_stand:
        return "No load cap can be offered yet: whether one stands hangs on what is still open below."
    if report.stands_a is None:
        return "No load cap can be offered: see below why none stands."
    if report.job.supply.looped:
        return "No load cap can be offered: its sensor does not see the other house on this loop. Ask the operator."
    if report.offered_a is None:
        return (f"No load cap yet: put right what is not met below. Then set no more than {down(report.stands_a, 0)} A,"
                " if it still stands.")  # fmt: skip
    doubts = report.count(Verdict.NOT_MET) + report.count(Verdict.NOT_YET_KNOWN)
    until = " It counts once everything below is met and known." if doubts else ""
    within_a = report.house_within_a
    holds = ("" if within_a is None else
             f" It holds while the house alone stays within its maximum demand ({up(within_a, 1)} A).")  # fmt: skip
    return f"Load cap: set no more than {down(report.offered_a, 0)} A.{holds}{until}"


def day_words(job: Job, line: LineCap, day: Day) -> str:
    """What the opponent reached, and what he cannot reach."""
    on = where(job, line.limit.line)
    tried_a = line.situation.cap_a if line.situation else 0.0
    opening = f"Against {tried_a:g} A{on}, in {day.days_count} days at one second (seed {SEED}):"
    found = (f" the current reaches {up(float(day.total_a.max()), 1)} A, the weakest fuse that conforms comes"
             f" {up(day.warmed_ratio)} of the way to melting{' and can melt' if day.warmed_ratio >= 1 else ''}, at"
             f" {clock(day.fuse_at_s)}, and the tails reach"
             f" {up(day.hottest_c, 0)} °C.")  # fmt: skip
    if line.proved is None:
        return opening + found
    bound = (f" Nothing admissible passes {up(line.proved.warmed_ratio)} and {up(line.proved.hottest_c, 0)} °C: that is"
             " proved, and is what decides.")  # fmt: skip
    admissible = (" Admissible are any house within its loads' ratings and its maximum demand (by diversity or a year"
                  " of readings), a sensor that reads low by its whole error, one reading in ten lost or stale, and as"
                  " many running as the watchdog allows. Starting currents are not in it.")  # fmt: skip
    return opening + found + bound + admissible


def site_test(offered_a: float, situation: Situation) -> str:
    """What to try before leaving, and what must be seen."""
    answered_s = situation.message_s + situation.response_s
    fallen_s = situation.watchdog_s + situation.response_s
    shown_a = offered_a + situation.dead_band_a
    most = f" or be at {situation.fallback_a:g} A or less" if situation.fallback_a > 0 else ""
    return ("With the car at its full current switch on one large load after another: after each the current shown must"
            f" be back at {shown_a:g} A or below within {answered_s} s, or the car must have stopped; if not, stop the"
            " car and switch the load off at once. Then take the sensor's"
            f" signal away as its maker says: within {fallen_s} s the car must have stopped{most}."
            " Write down both times.")  # fmt: skip


def clock(at_s: int) -> str:
    """A second of the day as a clock shows it."""
    return f"{at_s // 3600:02d}:{at_s // 60 % 60:02d}:{at_s % 60:02d}"


def as_json(report: Report) -> dict[str, Any]:
    """The whole report, ready for json.dumps."""
    return {
        "format": FORMAT,
        "title": report.job.title,
        "reference": report.job.reference,
        "edition": report.edition,
        "status": report.exit_status,
        "offered_a": report.offered_a,
        "stands_a": report.stands_a,
        "holds_with_house_within_a": report.house_within_a,
        "by_errors_a": None if report.line is None else report.line.by_errors_a,
        "tally": {verdict.value: report.count(verdict) for verdict in Verdict},
        "checks": [check_json(check) for check in report.checks],
        "attack": None if report.line is None or report.day is None else _attack(report.line, report.day),
    }


def _attack(line: LineCap, day: Day) -> dict[str, Any]:
    start = max(0, day.fuse_at_s - AROUND_S)
    near = slice(start, start + 2 * AROUND_S)
    minutes = [slice(at_s, at_s + MINUTE_S) for at_s in range(0, len(day.total_a), MINUTE_S)]
    return {
        "seed": SEED,
        "days_count": day.days_count,
        "line": line.limit.line,
        "cap_a": None if line.situation is None else line.situation.cap_a,
        "warmed_ratio": round(day.warmed_ratio, 4),
        "hottest_c": round(day.hottest_c, 2),
        "peak_a": round(float(day.total_a.max()), 2),
        "at": clock(day.fuse_at_s),
        "proved_warmed_ratio": None if line.proved is None else round(line.proved.warmed_ratio, 4),
        "proved_hottest_c": None if line.proved is None else round(line.proved.hottest_c, 2),
        "minutes": {
            "highest_a": [round(float(day.total_a[each].max()), 1) for each in minutes],
            "lowest_a": [round(float(day.total_a[each].min()), 1) for each in minutes],
            "tails_c": [round(float(day.tails_c[each].max()), 1) for each in minutes],
        },
        "seconds": {
            "from": clock(start),
            "house_a": [round(float(each), 1) for each in day.house_a[near]],
            "car_a": [round(float(each), 1) for each in day.car_a[near]],
            "lost": [bool(each) for each in day.lost[near]],
        },
    }


def write_plot(report: Report, path: Path) -> None:
    """Draw the worst day into a file, or raise OSError; without an attack there is only a sentence to draw."""
    path.write_text(picture(report), encoding="utf-8", newline="\n")
