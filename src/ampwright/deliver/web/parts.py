"""The parts of a job, from the street to the car: which fields each has, and what its checks say."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources

from ampwright.assess.assessment import Assessment
from ampwright.job.fields import fields, in_words
from ampwright.job.paths import at, loose, pattern_of, spread
from ampwright.job.record import Job
from ampwright.working import Check, Verdict

# Read from files or drawn, so not for a form: the sketch, what sensors showed, and the names of files.
NOT_HERE = ("version", "sketch.", "tests.sensing", "installation.half_hourly.")
FILES = ("_csv", ".csv", "weather_file")
WORST_FIRST = (Verdict.NOT_MET, Verdict.NOT_YET_KNOWN, Verdict.FOR_THE_DESIGNER, Verdict.MET)
WORDS = {Verdict.FOR_THE_DESIGNER: "yours to judge", Verdict.DOES_NOT_APPLY: "does not apply"}
CLASSES = {Verdict.NOT_MET: "not-met", Verdict.NOT_YET_KNOWN: "not-known", Verdict.FOR_THE_DESIGNER: "yours",
           Verdict.MET: "met", Verdict.DOES_NOT_APPLY: "not-here"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Part:
    """A row of parts.csv: `joins` is `line`, the part where it joins the line, or `beside` for what is none of it."""

    id: str
    name: str
    joins: str
    prefixes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Standing:
    """How a part stands: its fields (exact, ranges, not looked at), its checks, and what is asked of it now."""

    part: Part
    known_count: int
    ranges_count: int
    unseen_count: int
    checks: tuple[Check, ...]
    asked: tuple[str, ...]
    absent: bool

    @property
    def verdict(self) -> Verdict:
        """The answer that matters most."""
        found = {check.verdict for check in self.checks}
        return next((each for each in WORST_FIRST if each in found), Verdict.DOES_NOT_APPLY)

    @property
    def says(self) -> str:
        """What its checks say, the two answers that matter most."""
        counts = Counter(check.verdict for check in self.checks)
        found = [f"{counts[each]} {word(each)}" for each in WORST_FIRST if counts[each]]
        return ", ".join(found[:2]) or "no check applies"

    @property
    def knows(self) -> str:
        """What is known of it and what is not."""
        if self.absent:
            return "none fitted"
        if not self.known_count + self.ranges_count:
            return "not looked at yet"
        counts = ((self.known_count, "known"), (self.ranges_count, "as a range"), (self.unseen_count, "not seen"))
        return ", ".join(f"{count} {words}" for count, words in counts if count)


def word(verdict: Verdict) -> str:
    """A verdict as a page says it."""
    return WORDS.get(verdict, verdict.value)


@lru_cache(maxsize=1)
def parts() -> dict[str, Part]:
    """Every part by its id, in the order from the street to the car."""
    text = resources.files("ampwright.deliver.web").joinpath("parts.csv").read_text(encoding="utf-8")
    return {row["id"]: Part(row["id"], row["name"], row["joins"], tuple(row["prefixes"].split("; ")))
            for row in csv.DictReader(text.splitlines())}  # fmt: skip


@lru_cache(maxsize=1024)
def part_of(path: str) -> Part | None:
    """The part that a path belongs to, by the longest prefix; None for what no part has."""
    pattern = pattern_of(path)
    fits = [(len(prefix), part) for part in parts().values() for prefix in part.prefixes
            if pattern == prefix or pattern.startswith((f"{prefix}.", f"{prefix}[]"))]  # fmt: skip
    return max(fits, key=lambda each: each[0])[1] if fits else None


def asked_at(path: str) -> str:
    """Where below a job's page a path is asked for; "" for what only a file says."""
    pattern = pattern_of(path)
    if pattern.startswith("tests.sensing"):
        return "sensors"
    if pattern.startswith("sketch"):
        return "sketch"
    part = part_of(path)
    typed = part is not None and not pattern.startswith(NOT_HERE) and not pattern.endswith(FILES)
    return f"part/{part.id}#{path}" if part is not None and typed else ""


def called(job: Job, path: str) -> str:
    """A path as the electrician would say it, each entry of a list with its name: "(loads, no. 1: shower)"."""
    words = in_words(path)
    for found in re.finditer(r"(\w+)\[(\d+)\]", path):
        entries = at(job, path[: found.start(2) - 1])
        number = int(found[2])
        name = getattr(entries[number], "name", "") if number < len(entries or ()) else ""
        if name:
            place = f"{found[1].replace('_', ' ')}, no. {number + 1}"
            words = re.sub(rf"{place}(?!\d)", lambda _, said=f"{place}: {name}": said, words, count=1)  # type: ignore[misc]
    return words


def paths_of(job: Job, part: Part) -> Iterator[str]:
    """Every field of a part that a form can ask for, by its concrete path, in the record's order."""
    for pattern in fields():
        if part_of(pattern) is part and not pattern.startswith(NOT_HERE) and not pattern.endswith(FILES):
            yield from (path for path in spread(job, pattern) if pattern_of(path) in fields())


def standings(assessment: Assessment) -> dict[str, Standing]:
    """How every part stands, by its id."""
    asked = [unknown.path for unknown in assessment.to_find_out]
    return {part.id: _standing(assessment, part, tuple(path for path in asked if part_of(path) is part))
            for part in parts().values()}  # fmt: skip


def _standing(assessment: Assessment, part: Part, asked: tuple[str, ...]) -> Standing:
    job = assessment.job
    paths = list(paths_of(job, part))
    unseen = [path for path in paths if at(job, path) in (None, ())]
    ranges = loose(job, tuple(paths))
    checks = tuple(check for check in assessment.checks if part in _parts_of(assessment, check))
    group = {"roof": job.generation.fitted, "storage": job.storage.fitted, "earth": job.electrode.fitted}
    return Standing(part, len(paths) - len(unseen) - len(ranges), len(ranges), len(unseen), checks, asked,
                    group.get(part.id) is False)  # fmt: skip


def _parts_of(assessment: Assessment, check: Check) -> set[Part | None]:
    """The parts that a check hangs on: those it waits for, while it is open, and else those that it reads."""
    return {part_of(path) for path in check.needs or assessment.book.regulation(check.rule).needs}
