"""What an electrician can change by degrees or by a word, from levers.csv, and the least of each that mends a check."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR
from functools import lru_cache
from importlib import resources
from typing import Any, Literal, get_args, get_origin

from ampwright.assess.search.tracing import Trace
from ampwright.assess.turning import among, as_field, scanned
from ampwright.assess.turning_words import rounded, with_unit
from ampwright.facts import rows
from ampwright.job.fields import bare, field, leaves
from ampwright.job.paths import at, changed, pattern_of, spread
from ampwright.job.record import Job
from ampwright.reading import Reading
from ampwright.rules.gb.parts.loop import BREAKERS, device_row
from ampwright.rules.gb.parts.route import design_current_a
from ampwright.rules.regulation import Regulation
from ampwright.working import Verdict

GOOD = (Verdict.MET, Verdict.DOES_NOT_APPLY)
UNIT = "charge_point.load_cap."
OF_THE_UNIT = (UNIT, "sensors")
Changes = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Lever:
    """One row of levers.csv: a field pattern, `up`, `down` or `set`, how far or to what, and what must be set with it.

    Without `to` it moves as far as fields.csv calls sane, and down to no less than `least_ratio` of what it was.
    """

    path: str
    direction: str
    to: str
    least_ratio: float
    whole: bool
    also: tuple[tuple[str, str], ...]
    words: str


@dataclass(frozen=True, slots=True)
class Candidate:
    """One change that meets a check: the kind of lever, the change in words and by path."""

    kind: str
    words: str
    changes: Changes


class Failing:
    """One rule that a job does not meet, and the fields that decide it: a change of any other cannot mend it."""

    def __init__(self, job: Job, rule: Regulation) -> None:
        self.job = job
        self.rule = rule
        trace = Trace(job)
        trace.forget()
        rule(trace.job)
        self.read = frozenset(trace.read)

    def meets(self, changes: Changes) -> bool:
        """Whether the rule is met or no longer applies with these changes, or would be as soon as a load cap among
        them is shown to stand with the data of its unit and sensor."""
        if self.read.isdisjoint(changes):
            return False
        finding = self.rule(changed(self.job, changes))
        capped = finding.verdict is Verdict.NOT_YET_KNOWN and any(path.startswith(UNIT) for path in changes)
        return finding.verdict in GOOD or (capped and all(path.startswith(OF_THE_UNIT) for path in finding.needs))


@lru_cache(maxsize=1)
def levers() -> tuple[Lever, ...]:
    """All rows of levers.csv, in its order."""
    text = resources.files("ampwright.assess").joinpath("levers.csv").read_text(encoding="utf-8")
    return tuple(
        Lever(row["path"], row["direction"], row["to"], float(row["least_ratio"] or 0),
              bool(row["step"]), _also(row["also"]), row["words"])
        for row in csv.DictReader(text.splitlines())
    )


def by_levers(failing: Failing) -> Iterator[Candidate]:
    """The least move of each lever that meets the check: of a lever on several stretches, that which moves least."""
    for lever in levers():
        found = [each for path in spread(failing.job, lever.path) if (each := _moved(failing, lever, path))]
        if found:
            yield min(found, key=lambda each: each[0])[1]


def parsed(path: str, text: str) -> Any:
    """A cell of levers.csv as its field holds it. Raises ValueError for what the field cannot be."""
    hint = bare(leaves()[pattern_of(path)])
    if hint is bool and text in ("true", "false"):
        return text == "true"
    if get_origin(hint) is Literal and text in (words := {str(each): each for each in get_args(hint)}):
        return words[text]
    return as_field(path, float(text))


def of_stretch(job: Job, path: str, words: str) -> str:
    """The words, with the name of the stretch that the path is on, if it is on one."""
    if not path.startswith("route["):
        return words
    return f"{words} ({at(job, path[: path.index(']') + 1]).name})"


def _moved(failing: Failing, lever: Lever, path: str) -> tuple[float, Candidate] | None:
    """How far the lever has to be moved on one path, and the change; None where it cannot mend the check."""
    if pattern_of(path) != lever.path or failing.read.isdisjoint((path, *dict(lever.also))):
        return None
    also = {name: parsed(name, text) for name, text in lever.also}
    if lever.direction == "set":
        value = parsed(path, lever.to)
        if value == at(failing.job, path) or not failing.meets({path: value, **also}):
            return None
        return 0, _candidate(failing, lever, path, value, f"{value}", also)
    start = _start(failing.job, lever, path)
    if start is None:
        return None
    number = _least(failing, lever, path, start, also)
    if number is None:
        return None
    words = with_unit(path, f"{number:.12f}".rstrip("0").rstrip("."))
    return abs(number - start), _candidate(failing, lever, path, as_field(path, number), words, also)


def _candidate(failing: Failing, lever: Lever, path: str, value: Any, shown: str, also: Changes) -> Candidate:
    words = of_stretch(failing.job, path, lever.words.format(value=shown))
    return Candidate(lever.path, words, {path: value, **also})


def _start(job: Job, lever: Lever, path: str) -> float | None:
    """Where the lever stands: of a range, the end from which it is moved least. None where nobody looked."""
    if path == "charge_point.set_a":
        return None if job.charge_point.rated_a is None else design_current_a(job)
    value = at(job, path)
    if isinstance(value, Reading):
        return value.low if lever.direction == "down" else value.high
    return None if value is None else float(value)


def _least(failing: Failing, lever: Lever, path: str, value: float, also: Changes) -> float | None:
    """The number nearest to `value` that meets the check, rounded to the safe side; None if there is none."""
    low, high = _way(lever, path, value)
    if low > high:
        return None

    def meets(tried: Any) -> bool:
        return failing.meets({path: as_field(path, tried), **also})

    values = _values(failing.job, lever, path, low, high)
    if values is not None and not values:
        return None
    good = [each for each in scanned(meets, low, high, among=values) if each.verdict]
    if not good:
        return None
    exact = good[-1].high if lever.direction == "down" else good[0].low
    neat = float(rounded(exact, ROUND_FLOOR if lever.direction == "down" else ROUND_CEILING))
    return neat if values is None and low <= neat <= high and meets(neat) else exact


def _way(lever: Lever, path: str, value: float) -> tuple[float, float]:
    """From the lever's end to the `value` where it stands, or the other way: lower end first."""
    known = field(path)
    sane = known.low if lever.direction == "down" else known.high
    hint = bare(leaves()[lever.path])
    if sane is None and get_origin(hint) is Literal:
        sane = min(get_args(hint)) if lever.direction == "down" else max(get_args(hint))
    end = float(lever.to) if lever.to else sane
    if end is None:
        raise ValueError(f"levers.csv: {lever.path} has no end to be moved to")
    return (max(end, lever.least_ratio * value), value) if lever.direction == "down" else (value, end)


def _values(job: Job, lever: Lever, path: str, low: float, high: float) -> Sequence[float] | None:
    """What the field can be from `low` to `high`, where not every number will do."""
    if lever.whole:
        return range(-int(-low // 1), int(high // 1) + 1)
    if path == "circuit.device.rating_a":
        return [each for each in ratings(job) if low <= each <= high]
    if path == "supply.cutout.rating_a":
        return [each for each in sorted(float(row["rating_a"]) for row in rows("gb/cutout_ratings"))
                if low <= each <= high]  # fmt: skip
    return among(path, low, high)


def ratings(job: Job) -> tuple[float, ...]:
    """The ratings that the tables hold for a device of the job's kind and curve, in rising order."""
    device = job.circuit.device
    if device.kind is None or (device.kind in BREAKERS and device.curve is None):
        return ()
    kind, curve = device_row(job)
    held = {float(row["rating_a"]) for row in rows("gb/max_zs") if (row["device"], row["curve"]) == (kind, curve)}
    return tuple(sorted(held))


def _also(cell: str) -> tuple[tuple[str, str], ...]:
    pairs = (part.split("=") for part in cell.split(";") if part)
    return tuple((path.strip(), value.strip()) for path, value in pairs)
