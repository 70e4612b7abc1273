"""The single-line of a job as a tree: the meter, splits and boards, and what draws or gives at each."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from ampwright.job.choices import Line
from ampwright.job.record import Job

METER = "meter"
CAR, SOLAR, BATTERY, KNOWN = "car", "solar", "battery", "known load"
SUPPLY, CAR_CABLE, SOLAR_CABLE, BATTERY_CABLE = "supply", "car cable", "inverter cable", "battery cable"
SHARED = "charge point circuit"
HOME_OF = {"grid": SUPPLY, "car": CAR_CABLE, "generation": SOLAR_CABLE, "storage": BATTERY_CABLE}
GIVES = (SOLAR, BATTERY)
LINES: tuple[Line, ...] = ("L1", "L2", "L3")
BOARD = "consumer unit"


class BadSingleLine(ValueError):
    """The splits and boards of the record do not make one tree. `faults` holds all that is wrong."""

    def __init__(self, faults: tuple[str, ...]) -> None:
        self.faults = faults
        super().__init__("\n".join(faults))


@dataclass(frozen=True, slots=True)
class Stretch:
    """One set of conductors that carries the same current from end to end; power is counted away from the meter.

    `draws` names what lies beyond it: boards by their names, the car, the inverter, the battery, the known load.
    """

    name: str
    words: str
    start: str
    end: str
    lines: tuple[str, ...]
    draws: frozenset[str]

    def kw(self, drawn_kw: dict[tuple[str, str], float], line: str) -> float:
        """Power along one line, away from the meter, from what each source draws (what it gives is negative)."""
        return math.fsum(drawn_kw.get((draw, line), 0.0) for draw in self.draws)


@dataclass(frozen=True, slots=True)
class SingleLine:
    """The tree, its stretches from the street outward, and what had to be assumed to draw it."""

    phases_count: int
    stretches: tuple[Stretch, ...]
    boards: tuple[str, ...]
    parents: dict[str, str] = field(hash=False)
    assumed: tuple[str, ...]
    tails_count: int

    @property
    def lines(self) -> tuple[Line, ...]:
        """The lines of the supply."""
        return LINES[: self.phases_count]

    def stretch(self, name: str) -> Stretch:
        """The stretch of this name, or the one that carries the same. Raises KeyError for a stranger."""
        return next(each for each in self.stretches if each.name == name)

    def has(self, name: str) -> bool:
        """Whether there is such a stretch."""
        return any(each.name == name for each in self.stretches)


def single_line(job: Job) -> SingleLine:
    """The tree of a job. Raises BadSingleLine if a name is not known, stands twice, or feeds itself."""
    phases = job.supply.phases or 1
    assumed = [] if job.supply.phases else ["the supply is taken as single-phase"]
    parents, kinds = _points(job, assumed)
    boards = tuple(name for name, kind in kinds.items() if kind == "board")
    leaves = _leaves(job, boards, kinds, assumed)
    _refuse(job, parents, leaves, kinds)
    lines = _lines(job, LINES[:phases])
    if SHARED in {parent for parent, _ in leaves.values()}:
        kinds[SHARED], parents[SHARED] = "circuit", leaves[CAR][1]
    below = {leaf: parent for leaf, (parent, _) in leaves.items()}
    below |= {board: board for board in boards}
    below |= {KNOWN: boards[0]} if boards else {}
    everything = frozenset(below)
    stretches = [Stretch(SUPPLY, "the meter tails, before anything branches off", METER, "the first branch",
                         LINES[:phases], everything)]  # fmt: skip
    for name in kinds:
        draws = frozenset(leaf for leaf, parent in below.items() if name in _up(parent, parents))
        own = LINES[:phases] if name != SHARED else lines[CAR]
        stretches.append(Stretch(name, f"the feed of the {name}", parents[name], name, own, draws))
    for leaf, cable, words in ((CAR, CAR_CABLE, "the charge point's own cable"),
                               (SOLAR, SOLAR_CABLE, "the inverter's own cable"),
                               (BATTERY, BATTERY_CABLE, "the battery's own cable")):  # fmt: skip
        if leaf in leaves:
            stretches.append(Stretch(cable, words, below[leaf], leaf, lines[leaf], frozenset({leaf})))
    tails = sum(parent == METER for parent in (*parents.values(), *(parent for parent, _ in leaves.values())))
    return SingleLine(phases, _once(stretches), boards, parents, tuple(assumed), tails)


def _points(job: Job, assumed: list[str]) -> tuple[dict[str, str], dict[str, str]]:
    points = job.installation.points
    if not points:
        assumed.append("one consumer unit is taken to stand behind the meter, with nothing branching off before it")
        return {BOARD: METER}, {BOARD: "board"}
    return {each.name: each.fed_from or METER for each in points}, {each.name: each.kind for each in points}


def _leaves(job: Job, boards: tuple[str, ...], kinds: dict[str, str],
            assumed: list[str]) -> dict[str, tuple[str, str]]:  # fmt: skip
    """For each of car, solar and battery that there is: what feeds it, and where that stands."""
    first = boards[0] if boards else next(iter(kinds), METER)
    at = job.circuit.fed_from or first
    if job.circuit.fed_from is None and job.installation.points:
        assumed.append(f"the charge point is taken to be fed from the {first}")
    leaves = {}
    shared = False
    for leaf, group in ((SOLAR, job.generation), (BATTERY, job.storage)):
        if not group.fitted:
            continue
        if group.on_charge_point_circuit:
            leaves[leaf], shared = (SHARED, at), True
            continue
        if group.fed_from is None and job.installation.points:
            assumed.append(f"the {'inverter' if leaf == SOLAR else leaf} is taken to join the {first}")
        leaves[leaf] = (group.fed_from or first,) * 2
    leaves[CAR] = (SHARED if shared else at, at)
    return leaves


def _refuse(job: Job, parents: dict[str, str], leaves: dict[str, tuple[str, str]], kinds: dict[str, str]) -> None:
    names = [each.name for each in job.installation.points]
    taken = {METER, CAR, SOLAR, BATTERY, KNOWN, SUPPLY, CAR_CABLE, SOLAR_CABLE, BATTERY_CABLE, SHARED}
    faults = [f"installation.points: the name '{name}' stands twice; give each its own"
              for name in dict.fromkeys(names) if names.count(name) > 1]  # fmt: skip
    faults += [f"installation.points: the name '{name}' is used for something else; choose another"
               for name in dict.fromkeys(names) if name in taken]  # fmt: skip
    wanted = [(f"installation.points, {name}", parent) for name, parent in parents.items()]
    wanted += [(f"the {leaf}", place) for leaf, (_, place) in leaves.items()]
    faults += [f"{who}: fed_from '{parent}' is no split or board of this job; there are {', '.join(kinds)}"
               for who, parent in wanted if parent not in kinds and parent != METER]  # fmt: skip
    if not faults:
        faults += [f"installation.points: {name} feeds itself; say what feeds it on the way to the meter"
                   for name in parents if METER not in _up(name, parents)]  # fmt: skip
    if "board" not in kinds.values():
        faults.append("installation.points: there is no board; add the consumer unit with kind: board")
    if faults:
        raise BadSingleLine(tuple(faults))


def _up(name: str, parents: dict[str, str]) -> list[str]:
    """A point and everything between it and the meter; it ends early where a name comes round again."""
    path = [name]
    while path[-1] in parents and parents[path[-1]] not in path:
        path.append(parents[path[-1]])
    return path


def _lines(job: Job, lines: tuple[str, ...]) -> dict[str, tuple[str, ...]]:
    """On which lines each of car, solar and battery stands."""
    found = {}
    for leaf, line in ((CAR, job.charge_point.line), (SOLAR, job.generation.line), (BATTERY, job.storage.line)):
        whole = line == "all" or (leaf == CAR and job.charge_point.phases == 3)
        found[leaf] = lines if whole else tuple(each for each in lines if each == line) or lines[:1]
    return found


def _once(stretches: list[Stretch]) -> tuple[Stretch, ...]:
    """Of stretches that carry exactly the same, those with a special name first, then the one nearest the meter."""
    kept: dict[tuple[frozenset[str], tuple[str, ...]], Stretch] = {}
    special = [each for each in stretches if each.name in HOME_OF.values()]
    for each in (*special, *stretches):
        kept.setdefault((each.draws, each.lines), each)
    return tuple(each for each in stretches if each in kept.values())
