"""The test sheet as text for a terminal and as JSON."""

from __future__ import annotations

import dataclasses
from dataclasses import replace
from typing import Any

from ampwright.assess.testing.doubts import Cause, Doubt
from ampwright.assess.testing.sheet import Box, Sheet
from ampwright.deliver.machine import step_as_json
from ampwright.deliver.screen import ON_SCREEN, step_lines, wrapped
from ampwright.facts import look_up_text, rows
from ampwright.job.fields import in_words
from ampwright.job.record import Job
from ampwright.job.writing import dump
from ampwright.reading import Reading
from ampwright.rules.regulation import seen
from ampwright.working import Trust, Verdict, capital, down, shown, up

FORMAT = 1
STAGES = {
    "dead": "DEAD TESTS, isolated and proved dead",
    "live": "LIVE TESTS",
    "charge point": "CHARGE POINT",
}


def sheet_text(sheet: Sheet, *, working: bool = False) -> str:
    """The whole sheet, in the order of the trade."""
    blocks = [f"{sheet.job.title or sheet.job.reference or 'This job'}\nTest sheet, judged by {sheet.edition}"]
    stage, told = "", set[str]()
    for box in sheet.boxes:
        if box.test.stage != stage:
            stage = box.test.stage
            blocks.append(STAGES[stage])
            if stage == "live" and sheet.before_energising:
                first = "; ".join(sheet.before_energising)
                blocks.append("\n".join(wrapped(f"STOP: do not energise yet. First settle: {first}.", 4)))
        blocks.append("\n".join(_box(box, told, working)))
    lines = ["INSTRUMENTS", *[line for each in sheet.instruments for line in wrapped(each, 4)]]
    if not sheet.instruments:
        lines += wrapped("None stated: give each its name, serial number and date of calibration.", 4)
    lines += [line for each in sheet.faults for line in wrapped(each, 4)]
    blocks.append("\n".join(lines))
    return "\n\n".join(blocks)


def readings_yaml(job: Job) -> str:
    """The measured values of a job as they stand in a job file, with those that stand under supply and electrode."""
    electrode = replace(Job().electrode, measured_ohm=job.electrode.measured_ohm)
    supply = replace(Job().supply, ze_ohm=job.supply.ze_ohm, pfc_ka=job.supply.pfc_ka)
    text = dump(replace(Job(), tests=job.tests, supply=supply, electrode=electrode))
    return "".join(line for line in text.splitlines(keepends=True) if not line.startswith("version")).rstrip()


def _box(box: Box, told: set[str], working: bool) -> list[str]:
    lines = [box.test.title, *wrapped(box.test.how, 4)]
    for caution in box.test.cautions:
        text = look_up_text("gb/cautions", "text", id=caution)
        lines += wrapped(f"CAUTION: {text}" if caution not in told else f"CAUTION, as above: {text.split('. ')[0]}.", 4)
        told.add(caution)
    if not box.test.rule:
        lines += wrapped(f"done         {read_words(box)}", 4)
        return [*lines, *_again(box)]
    lines += wrapped(f"should read  {expected_words(box)}", 4)
    if box.limit.value is not None:
        lines += wrapped(f"limit        {limit_words(box)}", 4)
    elif box.limit.needs:
        needed = "; ".join(in_words(path) for path in box.limit.needs)
        lines += wrapped(f"limit        not yet known; find out: {needed}", 4)
    if box.test.id == "pilot":
        lines += [line for each in pilot_states() for line in wrapped(each, 8)]
    if working:
        lines += [f"        {line}" for step in box.expected.working for line in step_lines(step)]
    lines += wrapped(f"read         {read_words(box)}", 4)
    lines += wrapped(f"supposed     {supposed_words(box)}", 4) if box.supposed else []
    lines += _verdict(box)
    if box.doubt is not None:
        lines += doubt_lines(box.doubt, box.test.unit)
    return [*lines, *_again(box)]


def _again(box: Box) -> list[str]:
    return wrapped(f"After the repair repeat: {'; '.join(box.repeat)}.", 4) if box.repeat else []


def expected_words(box: Box) -> str:
    """What a test should read, or what must be found out before that can be said."""
    should = box.expected
    if should.low is not None and should.high is not None:
        return f"{_span(should.low, should.high)} {box.test.unit}, {should.basis}"
    if should.needs:
        return "not yet known; find out: " + "; ".join(in_words(path) for path in should.needs)
    return should.basis or {
        "insulation": "far above its limit", "polarity": "right at every terminal", "ze": "no more than its limit",
        "rcd": "well within its limit", "dc": "within its limit",
        "pilot": "as below", "open_pen": "cuts off and stays off", "lost_sensor": "no more than its limit",
    }.get(box.test.id, "cannot be computed from the record")  # fmt: skip


def limit_words(box: Box) -> str:
    """The limit of a test that has one, with its clause."""
    value = seen(box.limit.value)
    most = box.test.side == "most"
    number = (down(value) if most else up(value)) if box.test.unit == "Ω" else shown(value)
    clause = f", {box.check.clause}" if box.check else ""
    memory = " (clause from memory)" if box.check and box.check.clause_trust is Trust.MEMORY else ""
    of = ", so that Zs with Ze stays within its own" if box.test.id == "r1r2" else ""
    return f"at {box.test.side} {number} {box.test.unit}{of}{clause}{memory}"


def read_words(box: Box) -> str:
    """What was read, or a dotted line."""
    reading = box.reading
    if reading is None:
        return "........"
    if isinstance(reading, Reading):
        said = f"{_span(reading.low, reading.high)} {box.test.unit}"
        return f"{said}, by calculation: {reading.because}" if box.by_calculation else said
    return reading if isinstance(reading, str) else {True: "yes", False: "no"}[reading]


def supposed_words(box: Box) -> str:
    """What the record supposes where nothing was read, and why; nothing where it supposes nothing."""
    if box.supposed is None:
        return ""
    return f"{_span(box.supposed.low, box.supposed.high)} {box.test.unit}, not read: {box.supposed.because}"


def verdict_words(box: Box) -> str:
    """What came of a test, in a word: the rule's verdict; where no rule judges, done or not passed."""
    if box.reading is None:
        return "to be done"
    if box.check is None:
        return "NOT PASSED" if box.failed else "done"
    return ON_SCREEN[box.check.verdict]


def says_words(box: Box) -> str:
    """What the rule says of what was read."""
    says = box.check.says if box.check else ""
    if box.by_calculation or box.test.id == "r1r2":
        says = says.replace("Zs was read as", "Ze with R1 + R2 makes Zs")
    return says


def _verdict(box: Box) -> list[str]:
    if box.reading is None or box.check is None:
        return []
    lines = wrapped(f"{ON_SCREEN[box.check.verdict]}  {says_words(box)}", 4)
    if box.check.verdict is Verdict.NOT_YET_KNOWN and box.check.needs:
        lines += wrapped("Find out: " + "; ".join(in_words(path) for path in box.check.needs) + ".", 4)
    return lines


def doubt_lines(doubt: Doubt, unit: str) -> list[str]:
    """Why a reading is odd, and what to look at first, in lines."""
    weighed = any(cause.low is not None for cause in doubt.causes)
    ranked = "Likeliest first" if weighed else "Look in this order"
    lines = wrapped(f"LOOK AGAIN   It is {doubt.says}. {ranked}:", 4)
    for number, cause in enumerate(doubt.causes, start=1):
        lines += wrapped(f"{number}. {cause_words(cause, unit)}. {capital(cause.prove)}.", 8)
    if doubt.ruled_out:
        others = "; ".join(cause_words(each, unit) for each in doubt.ruled_out)
        lines += wrapped(f"Would read otherwise: {others}.", 8)
    return lines


def cause_words(cause: Cause, unit: str) -> str:
    """One thing that may have made an odd reading, and what it would read."""
    if cause.low is None or cause.high is None:
        return capital(cause.name)
    return f"{capital(cause.name)} (would read {_span(cause.low, cause.high)} {unit})"


def _span(low: float, high: float) -> str:
    if shown_ohm(low) == shown_ohm(high):
        return shown_ohm(low)
    return f"{shown_ohm(low)} to {shown_ohm(high)}"


def shown_ohm(value: float) -> str:
    """A reading as an instrument gives it: two decimals below a hundred, none above."""
    return f"{value:.2f}".rstrip("0").rstrip(".") if abs(value) < 100 else f"{value:.0f}"


def pilot_states() -> list[str]:
    """The states of IEC 61851-1 with the resistance that stands for each."""
    lines = []
    for row in rows("iec/pilot_states"):
        ohm = f"{row['adapter_ohm']} Ω" if row["adapter_ohm"] else "open"
        volts = f", {row['least_v']} to {row['most_v']} V" if row["least_v"] else f", {row['nominal_v']} V"
        output = {"either": "dead unless rated for it"}.get(row["output"], row["output"])
        lines.append(f"{row['state']}: {row['meaning']}, {ohm}{volts}, output {output} ({row['trust']})")
    return lines


def sheet_json(sheet: Sheet) -> dict[str, Any]:
    """The sheet, ready for json.dumps."""
    return {
        "format": FORMAT,
        "edition": sheet.edition,
        "status": sheet.exit_status,
        "before_energising": list(sheet.before_energising),
        "boxes": [_box_json(each) for each in sheet.boxes],
        "instruments": list(sheet.instruments),
        "faults": list(sheet.faults),
    }


def _box_json(box: Box) -> dict[str, Any]:
    reading = box.reading
    return {
        "id": box.test.id,
        "stage": box.test.stage,
        "title": box.test.title,
        "path": box.test.path,
        "unit": box.test.unit,
        "expected": {**dataclasses.asdict(replace(box.expected, working=())),
                     "working": [step_as_json(step) for step in box.expected.working]},
        "limit": box.limit.value,
        "limit_is": box.test.side,
        "limit_needs": list(box.limit.needs),
        "clause": box.check.clause if box.check else None,
        "reading": {"low": reading.low, "high": reading.high} if isinstance(reading, Reading) else reading,
        "by_calculation": box.by_calculation,
        "verdict": box.check.verdict.value if box.check and reading is not None else None,
        "says": box.check.says if box.check and reading is not None else None,
        "doubt": dataclasses.asdict(box.doubt) if box.doubt else None,
        "repeat": list(box.repeat),
    }  # fmt: skip
