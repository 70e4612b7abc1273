"""What a look through past jobs found, as text for a terminal, as CSV and as JSON."""

from __future__ import annotations

import csv
import datetime
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from ampwright.assess.recall.again import Again
from ampwright.assess.recall.condition import Condition, Holds
from ampwright.assess.recall.finding import Found, Hit
from ampwright.deliver.documents.recorded import value_words
from ampwright.deliver.screen import ON_SCREEN, wrapped
from ampwright.deliver.spreadsheet import as_text
from ampwright.job.fields import in_words
from ampwright.reading import Reading

HEADS = {Holds.YES: "HOLDS", Holds.MAY: "MAY HOLD: the survey left a range",
         Holds.NOT_LOOKED: "CANNOT BE TOLD: nobody looked"}  # fmt: skip
SHOWN_COUNT = 6
COLUMNS = ("job", "reference", "title", "date", "judged by", "holds", "path", "field", "value")
COLUMNS_AGAIN = ("job", "reference", "title", "rule", "question", "verdict now", "clause now",
                 "verdict then", "clause then", "says")  # fmt: skip
NOTE = ("A number that its table does not date is the same under every edition held here; judge by a changed one with "
        "--tables. A verdict is on the record as it was left: what was changed at the house since is not in it.")


@dataclass(frozen=True)
class Recalled:
    """All that was found: what was asked, among how many jobs, who holds it, and how they are judged again."""

    asked: tuple[Condition, ...]
    jobs_count: int
    found: tuple[Found, ...]
    rules: str = ""
    again: tuple[Again, ...] = ()
    unread: tuple[str, ...] = ()

    @property
    def differing(self) -> tuple[Again, ...]:
        """The jobs that would be judged otherwise, or could not be judged."""
        return tuple(each for each in self.again if each.verdicts or each.wrong)


def recall_text(of: Recalled) -> str:
    """What was asked and where it was looked for, then the jobs by how sure it is, then what is judged otherwise."""
    asked = "; ".join(each.text for each in of.asked) or "every job"
    held = sum(each.holds is Holds.YES for each in of.found)
    blocks = ["\n".join(wrapped(f"{held} of {of.jobs_count} jobs hold this: {asked}.", 0))]
    looked = [each for one in of.asked for each in one.tests if len(one.tests) <= SHOWN_COUNT]
    if looked:
        blocks[0] += "\n" + "\n".join(wrapped(f"Looked at: {', '.join(dict.fromkeys(looked))}.", 4))
    for holds, head in HEADS.items():
        rows = [row for each in of.found if each.holds is holds for row in _job(each)]
        if rows and not of.rules:
            blocks.append("\n".join([head, *rows]))
    if of.rules:
        blocks += [*_again(of), "\n".join(wrapped(NOTE, 0))]
    return "\n\n".join(blocks)


def called(of: Found) -> str:
    """A job by its reference and title, with the name that it is kept under."""
    title = ", ".join(each for each in (of.job.reference, of.job.title) if each)
    return f"{title or 'A job without a name'} [{of.name}]"


def _job(of: Found) -> Iterator[str]:
    yield from wrapped(f"{called(of)}, judged by {of.edition}", 2)
    for hit in of.hits[:SHOWN_COUNT]:
        yield from wrapped(f"{hit.path}: {in_words(hit.path)} = {_value(hit)}", 6)
    if len(of.hits) > SHOWN_COUNT:
        yield f"      and {len(of.hits) - SHOWN_COUNT} places more"


def _value(hit: Hit) -> str:
    return value_words(hit.path, hit.value) or "not looked at"


def _again(of: Recalled) -> Iterator[str]:
    named = {each.name: each for each in of.found}
    verdicts = sum(len(each.verdicts) for each in of.again)
    clauses = sum(each.clauses_count for each in of.again)
    yield "\n".join(wrapped(f"JUDGED AGAIN by {of.rules}: {len(of.again)} jobs; {len(of.differing)} would differ, in "
                            f"{verdicts} verdicts; {clauses} checks stand under another clause.", 0))  # fmt: skip
    for each in of.differing:
        lines = wrapped(called(named[each.name]), 2)
        lines += wrapped(f"could not be judged: {each.wrong}", 6) if each.wrong else []
        for one in each.verdicts:
            lines += wrapped(f"{one.before.asks} {ON_SCREEN[one.before.verdict]} is now "
                             f"{ON_SCREEN[one.after.verdict]} ({one.after.clause}). {one.after.says}", 6)  # fmt: skip
        yield "\n".join(lines)


def recall_csv(of: Recalled) -> str:
    """A row a place that holds it; or, where jobs were judged again, a row a verdict that differs."""
    named = {each.name: each for each in of.found}
    rows: list[tuple[str, ...]] = [COLUMNS_AGAIN if of.rules else COLUMNS]
    for each in of.differing:
        rows += [(*_name(named[each.name]), one.before.rule, one.before.asks, ON_SCREEN[one.before.verdict],
                  one.before.clause, ON_SCREEN[one.after.verdict], one.after.clause, one.after.says)
                 for one in each.verdicts]  # fmt: skip
        if each.wrong:
            rows.append((*_name(named[each.name]), "", "", "", "", "could not be judged", "", each.wrong))
    for found in () if of.rules else of.found:
        head = (*_name(found), found.job.date.isoformat() if found.job.date else "", found.edition)
        rows += [(*head, _word(found.holds), hit.path, in_words(hit.path), _value(hit))
                 for hit in found.hits] or [(*head, _word(found.holds), "", "", "")]  # fmt: skip
    text = io.StringIO()
    csv.writer(text).writerows([as_text(cell) for cell in row] for row in rows)
    return text.getvalue()


def _name(of: Found) -> tuple[str, str, str]:
    return of.name, of.job.reference or "", of.job.title or ""


def _word(holds: Holds) -> str:
    return holds.name.lower().replace("_", " ")


def recall_json(of: Recalled) -> dict[str, Any]:
    """The same as plain values of a stable shape."""
    told: dict[str, Any] = {
        "format": 1,
        "asked": [{"text": each.text, "fields": list(each.tests)} for each in of.asked],
        "jobs_count": of.jobs_count,
        "jobs": [_plain_job(each) for each in of.found],
        "unread": list(of.unread),
        "again": None,
    }
    if of.rules:
        told["again"] = {"rules": of.rules, "differing": [_plain_again(each) for each in of.differing],
                         "clauses_count": sum(each.clauses_count for each in of.again)}  # fmt: skip
    return told


def _plain_job(of: Found) -> dict[str, Any]:
    hits = [{"path": hit.path, "field": in_words(hit.path), "holds": _word(hit.holds), "value": plain(hit.value)}
            for hit in of.hits]  # fmt: skip
    return {"job": of.name, "reference": of.job.reference, "title": of.job.title, "date": plain(of.job.date),
            "edition": of.edition, "holds": _word(of.holds), "hits": hits}  # fmt: skip


def _plain_again(of: Again) -> dict[str, Any]:
    verdicts = [{"rule": each.before.rule, "asks": each.before.asks, "now": each.before.verdict.value,
                 "then": each.after.verdict.value, "clause": each.after.clause, "says": each.after.says}
                for each in of.verdicts]  # fmt: skip
    return {"job": of.name, "verdicts": verdicts, "wrong": of.wrong or None}


def plain(value: Any) -> Any:
    """A value of the record as JSON has it; a range as its two ends."""
    if isinstance(value, Reading):
        return value.low if value.exact else [value.low, value.high]
    if isinstance(value, datetime.date):
        return value.isoformat()
    return list(value) if isinstance(value, Sequence) and not isinstance(value, str) else value
