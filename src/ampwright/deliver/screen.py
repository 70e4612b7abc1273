"""Checks, working and unknowns as text for a terminal."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Protocol

from ampwright.assess.assessment import Assessment, Unknown
from ampwright.job.fields import in_words
from ampwright.working import Check, Step, Trust, Verdict, shown

WIDTH = 100
MARGIN = 16
ON_SCREEN = {verdict: verdict.value.upper() for verdict in Verdict} | {Verdict.FOR_THE_DESIGNER: "YOURS TO JUDGE"}
TALLIED = {Verdict.DOES_NOT_APPLY: "do not apply"}


@dataclass(frozen=True, slots=True)
class Told:
    """What the screen has said in full so far: cautions, and stretches of working with the rule they stood under."""

    cautions: set[str]
    working: dict[tuple[str, ...], str]


class Counted(Protocol):
    """Whatever can say how many of its answers have a verdict."""

    def count(self, verdict: Verdict) -> int:
        """How many have it."""


def summary(assessment: Assessment, *, working: bool = False) -> str:
    """The whole assessment: a heading, the tally, each check in reading order, what to find out next."""
    title = assessment.job.title or assessment.job.reference or "This job"
    blocks = [f"{title}\njudged by {assessment.edition}", tally(assessment)]
    told = Told(set(), {})
    blocks += [check_text(check, working=working, told=told) for check in assessment.checks]
    if assessment.to_find_out:
        blocks.append(find_out(assessment.to_find_out))
    blocks += memory_note(assessment.checks)
    return "\n\n".join(blocks)


def tally(assessment: Counted) -> str:
    """How many checks gave each answer, in one line."""
    counts = [(assessment.count(verdict), TALLIED.get(verdict, verdict.value)) for verdict in Verdict]
    return ", ".join(f"{count} {words}" for count, words in counts if count)


def check_text(check: Check, *, working: bool = False, told: Told | None = None) -> str:
    """One check: verdict, question, sentence, clause, what is missing, cautions and, if asked, the working.

    What was `told` in full before, a caution or a stretch of working, is only called back.
    """
    told = told or Told(set(), {})
    lines = [f"{ON_SCREEN[check.verdict]:<{MARGIN}}{check.asks}", *wrapped(check.says)]
    if check.verdict is Verdict.NOT_YET_KNOWN and check.needs:
        lines += wrapped("Find out: " + "; ".join(in_words(path) for path in check.needs) + ".")
    memory = "; clause from memory" if check.clause_trust is Trust.MEMORY else ""
    lines += wrapped(f"[{check.rule}; {check.clause}{memory}]")
    for caution in check.cautions:
        brief = f"CAUTION, as above: {caution.split('. ')[0].rstrip('.')}."
        lines += wrapped(brief if caution in told.cautions else f"CAUTION: {caution}")
        told.cautions.add(caution)
    if working:
        lines += working_lines(check, told)
    return "\n".join(lines)


def working_lines(check: Check, told: Told) -> list[str]:
    """The sheet, as written on paper, under its headings; a stretch told before is named and not repeated."""
    lines = []
    for heading, under in groupby(check.working, key=lambda step: step.under):
        stretch = [line for step in under for line in step_lines(step)]
        first = told.working.setdefault((heading, *stretch), check.rule)
        if first != check.rule and len(stretch) > 2:
            stretch = [f"as worked under {first}"]
        if heading:
            lines.append(" " * MARGIN + f"{heading}:")
        lines += [" " * (MARGIN + 2) + line for line in stretch]
    return lines


def step_lines(step: Step) -> Iterator[str]:
    """One line of working: a remark, a number with where it comes from, or an equation, filled in and done."""
    if step.value is None:
        yield from textwrap.wrap(step.formula, WIDTH - MARGIN - 2)
        return
    result = f"{shown(step.value)} {unit_words(step.unit)}".strip()
    if step.formula:
        yield f"{paper(step.symbol)} = {paper(step.formula)}"
        if step.filled not in (step.formula, shown(step.value)):
            yield f"{' ' * len(paper(step.symbol))} = {paper(step.filled)}"
        yield f"{' ' * len(paper(step.symbol))} = {result}"
        return
    trust = f" ({step.trust.value})" if step.trust else ""
    yield f"{paper(step.symbol)} = {result}    {step.source}{trust}"


def find_out(unknowns: tuple[Unknown, ...]) -> str:
    """What to find out next, the reading that settles most first."""
    lines = ["WHAT TO FIND OUT NEXT"]
    for number, unknown in enumerate(unknowns, start=1):
        counts = (("settles", unknown.settles), ("may settle", unknown.may_settle), ("part of", unknown.asked_by))
        gain = next(f"{verb} {_checks(len(rules))}" for verb, rules in counts if rules)
        wrapped = textwrap.wrap(f"{in_words(unknown.path, how=True)} ({gain})", WIDTH - 5)
        lines += [f"{number:>3}. {wrapped[0]}", *(f"     {line}" for line in wrapped[1:])]
    return "\n".join(lines)


def paper(text: str) -> str:
    """An equation with the signs of paper: `Vd_1 * L` is written `Vd1 × L`."""
    joined = re.sub(r"(?<=[A-Za-z])_(?=\d+\b)", "", text)
    return joined.replace("**", "^").replace("*", "×").replace("ohm", "Ω")


def unit_words(unit: str) -> str:
    """A unit as printed: `ohm/km` is `Ω/km`, a ratio or a count has none."""
    if unit in ("ratio", "count"):
        return ""
    return {"percent": "%"}.get(unit, unit).replace("ohm", "Ω").replace("mm2", "mm²").replace("A2", "A²")


def _checks(count: int) -> str:
    return "1 check" if count == 1 else f"{count} checks"


def wrapped(text: str, indent: int = MARGIN) -> list[str]:
    """A text in lines no wider than the screen, all set in by so many spaces."""
    return [" " * indent + line for line in textwrap.wrap(text, WIDTH - indent)]


def memory_note(checks: Iterable[Check]) -> list[str]:
    """How many of the numbers used rest on memory, as one paragraph; nothing if none do."""
    rows = {step.row for check in checks for step in check.working if step.trust is Trust.MEMORY}
    if not rows:
        return []
    note = (f"{len(rows)} of the published numbers used here rest on memory of the standard: compare them with your "
            "own copy before you issue anything (`ampwright facts` lists each with its source).")  # fmt: skip
    return [textwrap.fill(note, WIDTH)]


def counted(number: int, noun: str, several: str = "") -> str:
    """1 hole, 2 holes; `several` where an s does not make it many."""
    return f"{number} {noun}" if number == 1 else f"{number} {several or noun + 's'}"
