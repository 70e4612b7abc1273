"""The cut list: each unbroken length of cable with its slack, its ends and what is pulled through."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ampwright.assess.materials.allowances import allowances
from ampwright.assess.materials.gathering import Gathering, plus, scaled, whole_cm
from ampwright.assess.materials.items import Cut, codes, exactly
from ampwright.job.record import Cable, Job, Section
from ampwright.reading import Reading
from ampwright.rules.gb.parts.loop import ARMOURED

ENCLOSED = ("A", "B")
SINGLES = ("singles_70c", "singles_90c")
LIVE = {1: 2, 3: 4}
ENDS_COUNT = 2  # of an unbroken length, each made off


@dataclass(frozen=True, slots=True)
class Run:
    """Stretches of the route, by number, that one cable runs through without a joint."""

    cable: Cable
    sections: tuple[tuple[int, Section], ...]
    first: bool
    last: bool

    @property
    def paths(self) -> tuple[str, ...]:
        """The stretches' paths in the record."""
        return tuple(f"route[{number}]" for number, _ in self.sections)

    @property
    def holes_count(self) -> int:
        """What the run passes through."""
        return sum(len(section.through) for _, section in self.sections)


def runs_of(job: Job) -> tuple[Run, ...]:
    """The route as runs: a new one where the cable changes."""
    groups: list[list[tuple[int, Section]]] = []
    for number, section in enumerate(job.route):
        if groups and groups[-1][-1][1].cable == section.cable:
            groups[-1].append((number, section))
        else:
            groups.append([(number, section)])
    return tuple(Run(group[0][1].cable, tuple(group), place == 0, place == len(groups) - 1)
                 for place, group in enumerate(groups))  # fmt: skip


def take_cables(job: Job, to: Gathering) -> None:
    """Every cut of the route, or what must be known before it can be cut."""
    if not job.route:
        to.unknown("route")
        return
    for run in runs_of(job):
        unmeasured = [f"route[{number}].length_m" for number, section in run.sections if section.length_m is None]
        gaps = [*_unsaid(job, run), *unmeasured]
        if gaps:
            to.unknown(*gaps)
            continue
        length_m, measured_m, allowed = run_length(run)
        for code, name, count in conductors(job, run.cable):
            if code not in codes():
                to.remark(f"No code is held for {name}: it stands on no list, so order it by hand.")
                continue
            for _ in range(count):
                to.cut(Cut(code, name, length_m, measured_m, allowed, run.paths))
    if any(section.method == "D" for section in job.route):
        to.remark("A buried length is taken as measured along the cable, down into the trench and up again.")


def _unsaid(job: Job, run: Run) -> Iterator[str]:
    """The paths without which the cable cannot be named."""
    cable, path = run.cable, f"{run.paths[0]}.cable"
    if cable.kind is None:
        yield f"{path}.kind"
    if cable.size_mm2 is None:
        yield f"{path}.size_mm2"
    if cable.kind in (*ARMOURED, "multicore_70c") and cable.cores_count is None:
        yield f"{path}.cores_count"
    if cable.kind in SINGLES:
        if job.charge_point.phases is None:
            yield "charge_point.phases"
        if cable.cpc == "core" and cable.cpc_mm2 is None:
            yield f"{path}.cpc_mm2"


def conductors(job: Job, cable: Cable) -> list[tuple[str, str, int]]:
    """Code, name and number of the cables that make up one run; single cores are several."""
    size = f"{cable.size_mm2:g} mm2"
    cores = f"{cable.cores_count}-core"
    if cable.kind in SINGLES:
        assert job.charge_point.phases is not None
        hot = ", 90 C" if cable.kind == "singles_90c" else ""
        found = [(f"{size} single core cable{hot}", f"{size} single core cable{hot}", LIVE[job.charge_point.phases])]
        if cable.cpc == "core":
            earth = f"{cable.cpc_mm2:g} mm2 green and yellow cable"
            found.append((earth, f"{earth}{hot}", 1))
        return found
    if cable.kind == "flat_twin_and_earth":
        code = f"{size} flat twin and earth cable"
    elif cable.kind == "multicore_70c":
        code = f"{size} {cores} sheathed cable"
    else:
        data = " with a data pair" if cable.carries_data else ""
        code = f"{size} {cores} armoured cable{data}" + (", 70 C" if cable.kind == "armoured_70c" else "")
    return [(code, code, 1)]


def run_length(run: Run) -> tuple[Reading, Reading, tuple[tuple[str, float], ...]]:
    """The length to cut, the length measured, and what is allowed besides, by name, at the high end.

    Cut = measured x (1 + slack) + both ends + both cut square + what is held at each hole and enclosure; measured and
    slack each in whole centimetres, so that what is printed adds up.
    Raises AssertionError where a stretch has no length.
    """
    figures = allowances()
    lengths = [section.length_m for _, section in run.sections if section.length_m is not None]
    assert len(lengths) == len(run.sections)
    measured_m = whole_cm(plus(*lengths))
    pulls = run.holes_count + sum(section.method in ENCLOSED for _, section in run.sections)
    start, end = ("board_end" if run.first else "box_end"), ("charge_point_end" if run.last else "box_end")
    fixed = (("at the board" if run.first else "at the joint box", figures[start]),
             ("at the charge point" if run.last else "at the next joint box", figures[end]),
             ("cut square at both ends", 2 * figures["strip_loss"]),
             ("pulled through", pulls * figures["pull_through"]))  # fmt: skip
    slack_m = whole_cm(scaled(measured_m, figures["slack"] / 100))
    extra_m = exactly(sum(metres for _, metres in fixed))
    allowed = (("slack", round(slack_m.high, 4)), *((name, round(metres, 4)) for name, metres in fixed if metres))
    return plus(measured_m, slack_m, extra_m), measured_m, allowed
