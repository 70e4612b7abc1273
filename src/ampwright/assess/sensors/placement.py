"""Where each sensor of a job must go, what it sees there, and what it would read anywhere else."""

from __future__ import annotations

from dataclasses import dataclass

from ampwright.assess.sensors.leads import Lead, judge_lead
from ampwright.assess.sensors.singleline import (
    BATTERY,
    CAR,
    HOME_OF,
    KNOWN,
    LINES,
    SOLAR,
    SUPPLY,
    SingleLine,
    Stretch,
    single_line,
)  # fmt: skip
from ampwright.facts import look_up_text
from ampwright.job.choices import Line
from ampwright.job.record import Job, Sensor
from ampwright.physics.sensing import seen_kw

HOUSE_KW, SUN_KW, BATTERY_KW, CAR_A = 1.0, 3.0, 2.0, 32.0
ARROWS = {
    "grid": "from the street to the house", "generation": "from the inverter to the house",
    "storage": "from the battery to the house", "car": "from the house to the car",
}  # fmt: skip
CAUTIONS = ("sensor_lead", "supplier_seals", "safe_isolation")
REACH = {
    "single core in the open": "The line conductor lies open there; close the jaws until they click.",
    "single core behind a cover": "The line conductor is behind a cover: isolate, lock off and prove dead before the "
                                  "cover comes off; meter tails stay live when the main switch is off.",
    "whole cable only": "Only a whole cable can be reached there. Round a whole cable it reads nothing: find a place "
                        "in an enclosure where the line core runs alone, or choose another place.",
    None: "Not yet looked at: whether the line conductor can be reached on its own there.",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Clamp:
    """One sensor on one line; a sensor that the record gives for all lines is one clamp a line."""

    sensor: Sensor
    line: Line
    alone: bool

    @property
    def name(self) -> str:
        """The sensor's name, with its line where it has several."""
        return self.sensor.name if self.alone else f"{self.sensor.name} {self.line}"


@dataclass(frozen=True, slots=True)
class Moment:
    """An invented moment to compare places by: what each thing draws on each line, in kW; what gives is negative."""

    words: str
    drawn_kw: dict[tuple[str, str], float]


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """A wrong place or a wrong way, and what the sensor would show there at each moment, in kW."""

    where: str
    shows_kw: tuple[float, ...]
    same_kw: bool


@dataclass(frozen=True, slots=True)
class Placement:
    """The one right place of one sensor on one line. `stretch` is None where the single-line has no such place."""

    clamp: Clamp
    stretch: Stretch | None
    says: str
    arrow: str
    channel: str
    sees: tuple[str, ...]
    misses: tuple[str, ...]
    reach: str
    shows_kw: tuple[float, ...]
    elsewhere: tuple[Elsewhere, ...]
    lead: Lead


@dataclass(frozen=True, slots=True)
class Plan:
    """All placements of a job, the moments they are compared by, what was assumed, and the cautions."""

    tree: SingleLine
    moments: tuple[Moment, ...]
    placements: tuple[Placement, ...]
    cautions: tuple[str, ...]


def place(job: Job) -> Plan:
    """Where every sensor goes. Raises BadSingleLine if the single-line cannot be drawn."""
    tree = single_line(job)
    moments = tuple(_moments(job, tree))
    return Plan(tree, moments, tuple(_placement(job, tree, clamp, moments) for clamp in clamps(job)), cautions(job))


def cautions(job: Job) -> tuple[str, ...]:
    """What to beware of where these sensors are fitted or tried; nothing where there is none."""
    if not job.sensors:
        return ()
    second = ("two_supplies",) if job.generation.fitted or job.storage.fitted else ()
    return tuple(look_up_text("gb/cautions", "text", id=each) for each in (*CAUTIONS, *second))


def clamps(job: Job) -> tuple[Clamp, ...]:
    """Every sensor on every line that it stands for, in the record's order."""
    lines = LINES[: job.supply.phases or 1]
    return tuple(Clamp(sensor, line, sensor.line != "all" or len(lines) == 1)
                 for sensor in job.sensors for line in (lines if sensor.line == "all" else (sensor.line,)))  # fmt: skip


def _placement(job: Job, tree: SingleLine, clamp: Clamp, moments: tuple[Moment, ...]) -> Placement:
    watches = clamp.sensor.watches
    stretch = next((each for each in tree.stretches if each.name == HOME_OF[watches]), None)
    lead = judge_lead(job, clamp.sensor)
    reach = REACH[clamp.sensor.reach]
    if stretch is None or clamp.line not in stretch.lines:
        says = f"There is no place for it: the job has no such {'cable' if stretch is None else 'line there'}."
        return Placement(clamp, None, says, ARROWS[watches], clamp.line, (), (), reach, (), (), lead)
    sign = arrow_sign(watches)
    here_kw = tuple(sign * stretch.kw(moment.drawn_kw, clamp.line) + 0.0 for moment in moments)
    everything = tree.stretch(SUPPLY).draws
    says = f"Round the {clamp.line} conductor of {stretch.words}, alone; the arrow points {ARROWS[watches]}."
    if stretch.name == SUPPLY and tree.tails_count > 1:
        says += (" More than one set of tails leaves the meter, so no single place behind it carries everything: have "
                 "the tails joined at one split and go before it.")  # fmt: skip
    return Placement(
        clamp, stretch, says, ARROWS[watches], clamp.line,
        sees=tuple(named(each) for each in sorted(stretch.draws - {KNOWN})),
        misses=tuple(named(each) for each in sorted(everything - stretch.draws - {KNOWN})),
        reach=reach, shows_kw=here_kw, elsewhere=tuple(_elsewhere(tree, clamp, stretch, moments, here_kw)), lead=lead,
    )  # fmt: skip


def arrow_sign(watches: str) -> int:
    """+1 where the right arrow points away from the meter, -1 where it points to it."""
    return -1 if watches in ("generation", "storage") else 1


def _elsewhere(tree: SingleLine, clamp: Clamp, home: Stretch, moments: tuple[Moment, ...],
               here_kw: tuple[float, ...]) -> list[Elsewhere]:  # fmt: skip
    sign = arrow_sign(clamp.sensor.watches)
    way = "away from" if sign > 0 else "towards"
    flows = {(each, line): tuple(sign * each.kw(moment.drawn_kw, line) for moment in moments)
             for each in tree.stretches for line in each.lines}  # fmt: skip
    own = flows[home, clamp.line]
    neutral = tuple(-sum(parts) for parts in zip(*(_on_channel(flows[home, line], line, clamp.line)
                                                   for line in home.lines), strict=True))  # fmt: skip
    wrong = [("turned round", tuple(-kw for kw in own)), (f"round the neutral of {home.words}", neutral),
             ("round line and neutral together, or a whole cable", (0.0,) * len(moments))]  # fmt: skip
    wrong += [(f"on the right conductor, paired with the voltage of {line}", _on_channel(own, clamp.line, line))
              for line in tree.lines if line != clamp.line]  # fmt: skip
    for (stretch, line), kw in flows.items():
        if (stretch, line) != (home, clamp.line):
            words = stretch.words if len(tree.lines) == 1 else f"{line} of {stretch.words}"
            wrong.append((f"round {words}, arrow {way} the meter", _on_channel(kw, line, clamp.line)))
    return [Elsewhere(where, tuple(each + 0.0 for each in kw),
                      all(abs(a - b) < 0.005 for a, b in zip(kw, here_kw, strict=True))) for where, kw in wrong]


def _on_channel(kw: tuple[float, ...], line: str, channel: str) -> tuple[float, ...]:
    """What currents at unity power factor on `line` show when paired with the voltage of `channel`."""
    ahead_deg = 120.0 * (LINES.index(line) - LINES.index(channel))
    return tuple(seen_kw(power_kw=each, ahead_deg=ahead_deg) for each in kw)


def _moments(job: Job, tree: SingleLine) -> list[Moment]:
    """Car stopped and charging, in the sun where there are panels, with what the job's own plates say."""
    volts = job.supply.declared_v
    car_kw = (job.charge_point.rated_a or CAR_A) * volts / 1000
    sun_kw = min(SUN_KW, (job.generation.inverter_a.high if job.generation.inverter_a else CAR_A) * volts / 1000)
    found = []
    for charging in (False, True):
        for sun in (True, False) if tree.has(HOME_OF["generation"]) else (False,):
            house_kw = HOUSE_KW / len(tree.lines)
            drawn: dict[tuple[str, str], float] = {}
            drawn |= {(board, line): house_kw for board in tree.boards for line in tree.lines}
            drawn |= _spread(tree, CAR, car_kw * charging) | _spread(tree, SOLAR, -sun_kw * sun)
            drawn |= _spread(tree, BATTERY, BATTERY_KW if sun else -BATTERY_KW)
            car = f"car at {car_kw:.1f} kW a line" if charging else "car stopped"
            panels = f", sun {sun_kw:.1f} kW a line" if sun else ", dark" if tree.has(HOME_OF["generation"]) else ""
            store = (", battery filling" if sun else ", battery emptying") if tree.has(HOME_OF["storage"]) else ""
            found.append(Moment(f"{car}{panels}{store}", drawn))
    return found


def _spread(tree: SingleLine, leaf: str, kw: float) -> dict[tuple[str, str], float]:
    cable = {CAR: "car", SOLAR: "generation", BATTERY: "storage"}[leaf]
    if not tree.has(HOME_OF[cable]):
        return {}
    return {(leaf, line): kw for line in tree.stretch(HOME_OF[cable]).lines}


def named(draw: str) -> str:
    """What draws or gives, as the electrician would say it."""
    words = {CAR: "the car", SOLAR: "the solar inverter", BATTERY: "the battery"}
    return words.get(draw, f"everything on the {draw}")
