"""The readings of a job, checked and made ready: what was arranged at each, and who showed what."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from ampwright.assess.sensors.class_limits import class_limits
from ampwright.assess.sensors.evidence import Witness
from ampwright.assess.sensors.house_model import EVERY, House, Slot, house, minute_of_day, slots_of
from ampwright.assess.sensors.placement import Clamp, clamps
from ampwright.assess.sensors.singleline import GIVES, HOME_OF, SOLAR, SingleLine, single_line
from ampwright.assess.sensors.suspects import Fault, LineUp, Suspect, suspects
from ampwright.job.record import Job, SensorReading, Shown
from ampwright.reading import Reading

STEP_KW, METER_STEP_KW = 0.1, 0.01
WATCHED = {"grid": "supply", "car": "charge point", "generation": "generation", "storage": "battery"}
METER_SPREAD_RATIO, INVERTER_SPREAD_RATIO = 0.01, 0.03
OVER_RATIO, HALF_DAY_MIN, LIT_KW = 1.15, 12 * 60, 0.05


class BadReadings(ValueError):
    """Readings that cannot be judged. `faults` holds all that is wrong with them."""

    def __init__(self, faults: tuple[str, ...]) -> None:
        self.faults = faults
        super().__init__("\n".join(faults))


@dataclass(frozen=True)
class Session:
    """Readings since something was last put right, with the slots they were taken in and the witnesses.

    `numbers` are the readings' places in the record, counted from one; `before` are those that no longer count.
    Witnesses come in the order: sensors (`clamps`), then the supplier's meter and the inverter's display if read.
    """

    job: Job
    tree: SingleLine
    clamps: tuple[Clamp, ...]
    readings: tuple[SensorReading, ...]
    numbers: tuple[int, ...]
    before: tuple[SensorReading, ...]
    slots: tuple[Slot, ...]
    house: House
    witnesses: tuple[Witness, ...]


def session(job: Job, until: int | None = None) -> Session:
    """The readings of the record (the first `until` of them). Raises BadReadings or BadSingleLine."""
    tree = single_line(job)
    found = clamps(job)
    readings = job.tests.sensing[:until]
    _refuse(job, found, tree)
    since = max((number for number, each in enumerate(readings) if each.changed), default=0)
    current = readings[since:]
    slots = slots_of(current, tree)
    model = house(job, tree, slots, len(slots))
    witnesses = [_sensor(clamp, current, suspects(clamp, tree, model.parts), job.supply.declared_v) for clamp in found]
    numbers = tuple(range(since + 1, len(readings) + 1))
    return Session(job, tree, found, current, numbers, readings[:since], slots, model,
                   (*witnesses, *_meters(current, model)))  # fmt: skip


def shown_by(clamp: Clamp, reading: SensorReading) -> Shown | None:
    """What one clamp's display gave at a reading."""
    return next((each for each in reading.shown if _is_of(each, clamp)), None)


def _is_of(shown: Shown, clamp: Clamp) -> bool:
    return shown.sensor == clamp.sensor.name and shown.line in (None if clamp.alone else clamp.line, clamp.line)


def step_kw(clamp: Clamp) -> float:
    """The step of a sensor's display: as recorded, else a tenth of a kilowatt."""
    return clamp.sensor.display_step_kw or STEP_KW


def _sensor(clamp: Clamp, readings: tuple[SensorReading, ...], all_suspects: LineUp,
            declared_v: float) -> Witness:  # fmt: skip
    seen = [(place, shown.kw) for place, reading in enumerate(readings) if (shown := shown_by(clamp, reading))]
    return Witness(clamp.name, all_suspects, tuple(place for place, _ in seen), tuple(kw for _, kw in seen),
                   (step_kw(clamp),) * len(seen), class_limits(clamp.sensor, declared_v))  # fmt: skip


def _meters(readings: tuple[SensorReading, ...], model: House) -> list[Witness]:
    """The supplier's meter sees everything, the inverter's display its own output; both are believed."""
    share = np.array([(kind == "real") * (3.0 if line == EVERY else 1.0) for _, line, kind in model.parts])
    whole = share * [-1.0 if draw in GIVES else 1.0 for draw, _, _ in model.parts]
    solar = share * [float(draw == SOLAR) for draw, _, _ in model.parts]
    found = [_meter("supplier's meter", whole, METER_SPREAD_RATIO, [each.meter_kw for each in readings]),
             _meter("inverter's display", solar, INVERTER_SPREAD_RATIO, [each.inverter_kw for each in readings])]
    return [each for each in found if each.at]


def _meter(name: str, row: np.ndarray[tuple[int], np.dtype[np.float64]], spread_ratio: float,
           read_kw: list[Reading | None]) -> Witness:  # fmt: skip
    seen = [(place, each) for place, each in enumerate(read_kw) if each is not None]
    only = Suspect(Fault(), 1.0, row, 1.0, spread_ratio)
    return Witness(name, LineUp((only,)), tuple(place for place, _ in seen),
                   tuple((each.low + each.high) / 2 for _, each in seen),
                   tuple(max(each.high - each.low, METER_STEP_KW) for _, each in seen))  # fmt: skip


def _refuse(job: Job, found: tuple[Clamp, ...], tree: SingleLine) -> None:
    faults = []
    if not found:
        faults.append("sensors: the job lists none; add each with its name and what it watches")
    if not job.tests.sensing:
        faults.append("tests.sensing: there are no readings; add one for each moment, with what every display showed")
    names = [clamp.name for clamp in found]
    faults += [f"sensors: two are called '{name}'; give each its own name"
               for name in dict.fromkeys(names) if names.count(name) > 1]  # fmt: skip
    faults += [f"sensors, {clamp.name}: a single-phase supply has no {clamp.line}"
               for clamp in found if clamp.line not in tree.lines]  # fmt: skip
    faults += [f"sensors, {clamp.name}: the job has no {WATCHED[clamp.sensor.watches]} for it to watch; say that one "
               "is fitted, or take the sensor out" for clamp in found if not tree.has(HOME_OF[clamp.sensor.watches])]
    for number, reading in enumerate(job.tests.sensing):
        faults += _reading_faults(f"tests.sensing[{number}]", reading, found, tree)
        faults += _beyond_the_car(f"tests.sensing[{number}]", reading, job)
        faults += _lit_and_dark(f"tests.sensing[{number}]", reading)
    faults += _backwards(job.tests.sensing)
    if faults:
        raise BadReadings(tuple(faults))


def _reading_faults(path: str, reading: SensorReading, found: tuple[Clamp, ...], tree: SingleLine) -> list[str]:
    faults = []
    if not reading.shown and found:
        faults.append(f"{path}.shown: no display was read; add sensor and kw for each")
    listed = ", ".join(dict.fromkeys(clamp.sensor.name for clamp in found)) or "none"
    for place, shown in enumerate(reading.shown):
        mine = [clamp for clamp in found if clamp.sensor.name == shown.sensor]
        if not mine:
            faults.append(f"{path}.shown[{place}].sensor: there is no sensor '{shown.sensor}'; there are {listed}")
        elif not any(_is_of(shown, clamp) for clamp in mine):
            lines = ", ".join(clamp.line for clamp in mine)
            faults.append(f"{path}.shown[{place}].line: say which line this figure is of; '{shown.sensor}' has {lines}")
    doubled = [clamp.name for clamp in found if sum(_is_of(each, clamp) for each in reading.shown) > 1]
    faults += [f"{path}.shown: '{name}' is given twice; keep one figure" for name in doubled]
    if reading.known_load_kw and reading.known_load_line not in tree.lines:
        faults.append(f"{path}.known_load_line: the supply has no {reading.known_load_line}; name its line")
    return faults


def _beyond_the_car(path: str, reading: SensorReading, job: Job) -> list[str]:
    rated_a = job.charge_point.rated_a
    if rated_a is None or reading.car_a is None or reading.car_a <= OVER_RATIO * rated_a:
        return []
    return [f"{path}.car_a: the car drew {reading.car_a:g} A from a charge point rated {rated_a:g} A; read it again"]


def _lit_and_dark(path: str, reading: SensorReading) -> list[str]:
    given = reading.inverter_kw
    if not reading.dark or given is None or given.low <= LIT_KW:
        return []
    return [f"{path}.dark: it says that it was dark, and the inverter gave {given.low:g} kW; one of the two is wrong"]


def _backwards(readings: tuple[SensorReading, ...]) -> list[str]:
    """Readings whose clock runs back, but for one that passes midnight."""
    timed = [(place, each.at, minute) for place, each in enumerate(readings)
             if (minute := minute_of_day(each.at)) is not None]  # fmt: skip
    return [f"tests.sensing[{place}].at: {at} comes after {earlier}; put the readings in the order they were taken"
            for (_, earlier, before_min), (place, at, now_min) in pairwise(timed)
            if -HALF_DAY_MIN < now_min - before_min < 0]  # fmt: skip
