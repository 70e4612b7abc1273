"""The take-off and the drum plan as text for a terminal and as JSON."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any

from ampwright.assess.materials.drums import DrumPlan
from ampwright.assess.materials.gathering import whole_cm
from ampwright.assess.materials.items import Operation, TakeOff
from ampwright.assess.quote.work import minutes
from ampwright.deliver.screen import wrapped
from ampwright.job.fields import in_words
from ampwright.job.record import Job
from ampwright.reading import Reading

LEFT_OUT = ("Not on this list: the charge point, protective devices, isolator, board and current sensors, which the "
            "design names.")  # fmt: skip


def take_off_text(job: Job, found: TakeOff) -> str:
    """What to cut, to buy, to do and to load, how full conduit and trunking are, and what cannot be said yet."""
    blocks = [job.title or job.reference or "This job"]
    if found.cuts:
        lines = ["CUT"]
        for cut in found.cuts:
            extras = ", ".join(f"{name} {metres:g} m" for name, metres in cut.allowed_m)
            lines += wrapped(f"{need_words(cut.length_m, 'm')} of {cut.name}: {need_words(cut.measured_m, 'm')} "
                             f"measured, and at most {extras}", 4)  # fmt: skip
        blocks.append("\n".join(lines))
    if found.fills:
        lines = ["FILL"]
        for fill in found.fills:
            verdict = "fits" if fill.holds else "TOO FULL"
            lines += wrapped(f"{fill.stretch}, {fill.name}: {verdict}; {fill.sum}", 4)
        blocks.append("\n".join(lines))
    if found.items:
        lines = ["BUY"]
        for each in found.items:
            lines += wrapped(f"{need_words(each.need, each.unit)}  {each.name} ({each.why})", 4)
        blocks.append("\n".join(lines))
    if found.operations:
        blocks.append("\n".join(["WORK", *(line for each in work_says(found.operations) for line in wrapped(each, 4))]))
    if found.tools:
        lines = ["LOAD"]
        for tool in found.tools:
            lines += wrapped(f"{tool.name} ({tool.why})", 4)
        blocks.append("\n".join(lines))
    if found.missing:
        asked = [line for path in found.missing for line in wrapped(in_words(path), 4)]
        blocks.append("\n".join(["FIND OUT FIRST", *asked]))
    blocks += ["\n".join(wrapped(each, 0)) for each in (*found.remarks, LEFT_OUT)]
    return "\n\n".join(blocks)


def work_says(operations: Sequence[Operation]) -> list[str]:
    """Each piece of work with its minutes, and the sum."""
    rows = [f"{need_words(each.need, each.unit)}  {each.name}: {minutes_words(each)}" for each in operations]
    return [*rows, f"together {hours_words(operations)} on site, by the minutes of the catalogue and of the price book"]


def hours_words(operations: Sequence[Operation]) -> str:
    """The sum of the work in hours."""
    low, high = (f"{spent_min / 60:.1f}" for spent_min in minutes(operations))
    return f"{low if low == high else f'{low} to {high}'} h"


def minutes_words(work: Operation) -> str:
    """The minutes of one piece or metre."""
    one = "a metre" if work.unit == "m" else "each"
    return f"{work.minutes_each} min{'' if work.unit == 'each' and work.need.high == 1 else f' {one}'}"


def take_off_json(found: TakeOff) -> dict[str, Any]:
    """The take-off, ready for json.dumps."""
    return {"format": 1, **dataclasses.asdict(found)}


def need_words(need: Reading, unit: str) -> str:
    """So much of something: 12.5 m, 4 to 6 ×."""
    return f"{(whole_cm(need) if unit == 'm' else need).ends} {'m' if unit == 'm' else '×' if unit == 'each' else unit}"


def drums_text(plans: dict[str, DrumPlan]) -> str:
    """Drum by drum what to cut from it, and the waste against going through the jobs in order."""
    blocks = []
    for name, plan in plans.items():
        lines = [name]
        for number, drum in enumerate(plan.drums, start=1):
            of = "in hand" if drum.stock.count is not None else "bought"
            cuts = ", ".join(f"{cut.length_m:g} m ({cut.label})" for cut in drum.cuts) or "nothing"
            lines += wrapped(f"drum {number}, {drum.stock.length_m:g} m {of}: {cuts}; {drum.left_m:.1f} m left", 4)
        proof = ("no plan buys fewer" if plan.gap_percent < 1e-6 else
                 f"no plan buys fewer than {plan.at_least_m:g} m: it is within {plan.gap_percent:.1f} %")  # fmt: skip
        lines += wrapped(f"{plan.bought_m:g} m bought ({proof}); without a plan it would be {plan.in_order_m:g} m: job "
                         f"by job from the longest rest that holds the cut, else from the {plan.in_order_by} drum that "
                         "does (of the shortest and the longest, the one that buys less)", 4)  # fmt: skip
        blocks.append("\n".join(lines))
    return "\n\n".join(blocks)
