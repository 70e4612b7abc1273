"""Placement and diagnosis of sensors as text for a terminal."""

from __future__ import annotations

import textwrap
from itertools import groupby
from typing import TYPE_CHECKING

from ampwright.assess.sensors.placement import Placement, Plan
from ampwright.deliver.screen import WIDTH, step_lines
from ampwright.working import capital

if TYPE_CHECKING:
    from ampwright.assess.sensors.diagnosis import Diagnosis, SensorFinding

ANSWERS = {
    "right": "RIGHT", "wrong": "WRONG", "not yet known": "NOT YET KNOWN", "cannot be judged": "NOT JUDGED",
    "none of these": "NONE OF THESE",
}  # fmt: skip
MARGIN = 16


def plan_text(plan: Plan, *, working: bool = False) -> str:
    """Where every sensor goes, what it sees, what it would show elsewhere, and its lead."""
    blocks = ["\n".join(_wrapped(f"Assumed: {each}.", 0)) for each in plan.tree.assumed]
    moments = ["Moments to compare places by (invented; the house itself takes 1 kW):"]
    moments += [f"  {letter}  {moment.words}" for letter, moment in zip(_letters(plan), plan.moments, strict=True)]
    blocks += ["\n".join(moments)] if plan.placements else []
    if not plan.placements:
        blocks.append("The job lists no sensors.")
    blocks += [_placement_text(plan, each, working=working) for each in plan.placements]
    blocks += ["\n".join(_wrapped(f"CAUTION: {each}", 0)) for each in plan.cautions]
    return "\n\n".join(blocks)


def _placement_text(plan: Plan, placement: Placement, *, working: bool) -> str:
    lines = _wrapped(f"{placement.clamp.name}: {placement.says}", 0)
    if placement.stretch is not None:
        lines += _wrapped(f"Pair it with the voltage of {placement.channel}.", 2)
        blind = f"it does not see {', '.join(placement.misses)}" if placement.misses else "it misses nothing listed"
        lines += _wrapped(f"It sees {', '.join(placement.sees)}; {blind}.", 2)
    lines += _wrapped(placement.reach, 2)
    lines += [line for each in placement.lead.says for line in _wrapped(each, 2)]
    if placement.elsewhere:
        lines += _table(plan, placement)
    if working:
        for heading, steps in groupby(placement.lead.working, key=lambda step: step.under):
            lines += [f"  {heading}:", *(f"    {line}" for step in steps for line in step_lines(step))]
    return "\n".join(lines)


def _table(plan: Plan, placement: Placement) -> list[str]:
    """What it shows in kW at the plan's moments, in the right place and in wrong ones."""
    lines = ["  It would show, in kW at the moments above:", "    " + "".join(f"{each:>7}" for each in _letters(plan))]
    rows = [("in its place", placement.shows_kw, False)]
    rows += [(each.where, each.shows_kw, each.same_kw) for each in placement.elsewhere]
    for where, shows_kw, same in rows:
        figures = "".join(f"{kw:7.1f}" for kw in shows_kw)
        doubt = " (not to be told by these)" if same else ""
        lines += textwrap.wrap(f"{where}{doubt}", WIDTH, initial_indent=f"    {figures}  ", subsequent_indent=" " * 12)
    return lines


def _letters(plan: Plan) -> list[str]:
    return [chr(ord("A") + number) for number in range(len(plan.moments))]


def diagnosis_text(found: Diagnosis) -> str:
    """Each sensor with its sentence and reasons; the proof after a repair; the next test."""
    blocks = ["\n".join(_finding_text(each)) for each in found.sensors]
    if found.proof:
        blocks.append("\n".join(_proof_lines(found)))
    if found.next_tests:
        lines = ["NEXT TEST, the most telling a minute first (let the figures stand still, read all, read again);",
                 "a test that takes longer and tells more comes last"]  # fmt: skip
        for number, each in enumerate(found.next_tests, start=1):
            lines += _wrapped(f"{number}. {each.words}: about {each.takes_min:.0f} min, removes about "
                              f"{each.expected_bits_count:.2f} bits of doubt", 2)  # fmt: skip
        blocks.append("\n".join(lines))
    if found.notes:
        blocks.append("\n".join(line for each in found.notes for line in _wrapped(each, 0)))
    blocks += ["\n".join(_wrapped(f"CAUTION: {each}", 0)) for each in found.cautions]
    return "\n\n".join(blocks)


def _finding_text(finding: SensorFinding) -> list[str]:
    sentence = capital(finding.sentence)
    first, *rest = textwrap.wrap(sentence, WIDTH - MARGIN)
    lines = [f"{ANSWERS[finding.answer]:<{MARGIN}}{first}", *(" " * MARGIN + line for line in rest)]
    for each in finding.reasons:
        lines += _wrapped(capital(each) + ".", MARGIN)
    if len(finding.causes) > 1 and finding.answer in ("wrong", "not yet known"):
        lines += _wrapped("It may be that it:", MARGIN)
        for cause in finding.causes:
            lines += _wrapped(f"{100 * cause.chance_ratio:5.1f} %  {cause.words}", MARGIN + 2)
    return lines


def _proof_lines(found: Diagnosis) -> list[str]:
    lines = _wrapped(f"AFTER '{found.changed}': how sure it is that every sensor is right", 0)
    before_ratio = 0.0
    for step in found.proof:
        mark = "  <- proves it" if step.right_ratio > 0.99 >= before_ratio else ""
        lines += _wrapped(f"reading {step.reading} ({step.words}): {100 * step.right_ratio:.1f} %{mark}", 2)
        before_ratio = step.right_ratio
    if found.proof[-1].right_ratio <= 0.99:
        lines += _wrapped("The readings do not prove it yet.", 2)
    return lines


def _wrapped(text: str, indent: int) -> list[str]:
    return [" " * indent + line for line in textwrap.wrap(text, WIDTH - indent)] or [""]
