"""What the house may have been doing at each reading, as Gaussian quantities: the part nobody measured.

The spreads below are this program's own judgement of a home, without a source; the decision record on sensor diagnosis
says why they are wide. One set of them ("world") also says on which reading something large was switched unasked, and
on which lines a single-phase inverter and car really are.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import combinations, product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ampwright.assess.sensors.singleline import (
    BATTERY,
    BATTERY_CABLE,
    CAR,
    CAR_CABLE,
    KNOWN,
    SOLAR,
    SOLAR_CABLE,
    SingleLine,
)
from ampwright.job.record import Job, SensorReading

Floats = NDArray[np.float64]
EVERY = "all"

HOUSE_MEAN_KW, HOUSE_SPREAD_KW, HOUSE_DRIFT_KW, OUTBUILDING_RATIO = 0.6, 1.2, 0.25, 0.3
HOUSE_REACTIVE_KVA, HOUSE_REACTIVE_DRIFT_KVA = 0.3, 0.1
JUMP_KW, JUMP_RATIO, JUMP_TWICE_RATIO, MOST_PAIRED_COUNT = 2.5, 0.05, 0.02, 6
SUN_MEAN_RATIO, SUN_SPREAD_RATIO, SUN_DRIFT_RATIO, PEAK_KW = 0.4, 0.35, 0.12, 3.6
SPELL_MIN, BRIGHT_RATIO, BRIGHT_MEAN_RATIO, BRIGHT_SPREAD_RATIO = 8.0, 0.35, 0.5, 0.2
CAR_GAIN_RATIO, CAR_LOOSE_RATIO, REACTIVE_RATIO = 0.05, 0.01, 0.08
KNOWN_GAIN_RATIO, OFF_KW, NONE_KW = 0.06, 0.03, 0.05
BATTERY_KW = 3.0
RECORDED_LINE_RATIO = 0.9


@dataclass(frozen=True, slots=True)
class Slot:
    """One moment, as far as it was arranged: what the car drew a line, the known load, the inverter, the battery.

    Moments of one `spell` share their sun; a quarter of an hour later it is another. A moment still to come may wait
    until the inverter's display gives `waits_for_kw`.
    """

    car_a: float | None = 0.0
    known_kw: float = 0.0
    known_line: str = "L1"
    sunny: bool = True
    battery_idle: bool = False
    spell: int = 0
    waits_for_kw: float = 0.0


def slots_of(readings: tuple[SensorReading, ...], tree: SingleLine) -> tuple[Slot, ...]:
    """What readings say was arranged. An inverter that nobody spoke of is taken to run, a battery to be free."""
    found: list[Slot] = []
    spell, before_min = 0, None
    for reading in readings:
        now_min = minute_of_day(reading.at)
        spell += None not in (before_min, now_min) and abs((now_min or 0) - (before_min or 0)) >= SPELL_MIN
        before_min = now_min if now_min is not None else before_min
        idle = reading.battery == "idle" or not tree.has(BATTERY_CABLE)
        found.append(Slot(reading.car_a, reading.known_load_kw or 0.0, reading.known_load_line,
                          gives(reading), idle, spell))  # fmt: skip
    return tuple(found)


def gives(reading: SensorReading) -> bool:
    """Whether the panels may have given something: not off, not in the dark, no display at none."""
    none = reading.inverter_kw is not None and reading.inverter_kw.high < NONE_KW
    return reading.inverter != "off" and not reading.dark and not none


def minute_of_day(at: str | None) -> float | None:
    """Of a time as 10:05 or 10:05:30; None where there is no such time."""
    told = re.fullmatch(r"(\d{1,2}):(\d{2})(?::(\d{2}))?", at or "")
    return None if told is None else 60 * int(told[1]) + int(told[2]) + int(told[3] or 0) / 60


@dataclass(frozen=True)
class World:
    """One way the house may be besides its sensors, with its prior weight. `jump`: the readings with something on."""

    weight_ratio: float
    jump: tuple[int, ...]
    solar_lines: tuple[str, ...]
    car_lines: tuple[str, ...]


@dataclass(frozen=True)
class House:
    """Gaussian prior of everything that flows: `parts` names the quantities (draw, line, real or reactive).

    A line of "all" is a quantity that each line carries. `mean` is (worlds, parts, slots) and `cov` (worlds, parts,
    slots, slots), in kW and kVA; parts are independent.
    """

    parts: tuple[tuple[str, str, str], ...]
    worlds: tuple[World, ...]
    mean: Floats
    cov: Floats


def house(job: Job, tree: SingleLine, slots: tuple[Slot, ...], jumps_count: int) -> House:
    """The prior for these moments; something may be on, unasked, at one or two of the first `jumps_count` of them."""
    parts = tuple(_parts(tree))
    worlds = tuple(_worlds(tree, jumps_count))
    mean = np.zeros((len(worlds), len(parts), len(slots)))
    cov = np.zeros((len(worlds), len(parts), len(slots), len(slots)))
    for place, part in enumerate(parts):
        known: dict[object, tuple[Floats, Floats]] = {}  # most worlds differ in other parts
        for number, world in enumerate(worlds):
            told = _told(tree, world, *part)
            if told not in known:
                known[told] = _one(job, tree, slots, told, *part)
            mean[number, place], cov[number, place] = known[told]
    return House(parts, worlds, mean, cov)


def _told(tree: SingleLine, world: World, draw: str, line: str, kind: str) -> tuple[int, ...] | bool:
    """All that a world says of one part: whether it uses this line, or the readings with something on."""
    if draw in (CAR, SOLAR):
        return line in (EVERY, *(world.car_lines if draw == CAR else world.solar_lines))
    return world.jump if draw == tree.boards[0] and kind == "real" else ()


def _parts(tree: SingleLine) -> list[tuple[str, str, str]]:
    draws = [*tree.boards, *sorted({CAR, SOLAR, BATTERY, KNOWN} & tree.stretches[0].draws)]
    kinds = ("real", "reactive") if tree.phases_count == 3 else ("real",)
    return [(draw, line, kind) for draw in draws for line in _lines_of(tree, draw) for kind in kinds
            if kind == "real" or draw not in (BATTERY, KNOWN)]  # fmt: skip


def _lines_of(tree: SingleLine, draw: str) -> tuple[str, ...]:
    """One quantity a line; but a car or an inverter on three lines uses them alike, and is one quantity for all."""
    cable = {CAR: CAR_CABLE, SOLAR: SOLAR_CABLE}.get(draw)
    return (EVERY,) if cable and len(tree.stretch(cable).lines) > 1 else tree.lines


def _worlds(tree: SingleLine, jumps_count: int) -> list[World]:
    jumps: list[tuple[tuple[int, ...], Any]] = [((each,), JUMP_RATIO) for each in range(jumps_count)]
    if jumps_count <= MOST_PAIRED_COUNT:
        jumps += [(pair, JUMP_TWICE_RATIO) for pair in combinations(range(jumps_count), 2)]
    jumps.append(((), max(1 - sum(weight for _, weight in jumps), JUMP_RATIO)))
    solar, car = _possible_lines(tree, SOLAR_CABLE), _possible_lines(tree, CAR_CABLE)
    return [World(a * b * c, jump, solar_lines, car_lines)
            for (jump, a), (solar_lines, b), (car_lines, c) in product(jumps, solar, car)]  # fmt: skip


def _possible_lines(tree: SingleLine, cable: str) -> list[tuple[tuple[str, ...], float]]:
    """The recorded lines, or with less weight another line for what uses only one of three."""
    if not tree.has(cable):
        return [((), 1.0)]
    recorded = tree.stretch(cable).lines
    if len(recorded) == len(tree.lines):
        return [(recorded, 1.0)]
    others = [line for line in tree.lines if line not in recorded]
    return [(recorded, RECORDED_LINE_RATIO),
            *(((line,), (1 - RECORDED_LINE_RATIO) / len(others)) for line in others)]  # fmt: skip


def _one(job: Job, tree: SingleLine, slots: tuple[Slot, ...], told: tuple[int, ...] | bool, draw: str, line: str,
         kind: str) -> tuple[Floats, Floats]:  # fmt: skip
    if isinstance(told, bool):
        return _car(job, slots, told, kind) if draw == CAR else _sun(job, slots, told, kind)
    if draw == KNOWN:
        kw = np.array([slot.known_kw if slot.known_line == line else 0.0 for slot in slots])
        return kw, KNOWN_GAIN_RATIO**2 * np.outer(kw, kw)
    if draw == BATTERY:
        here = line in tree.stretch(BATTERY_CABLE).lines
        spread = here * np.array([OFF_KW if slot.battery_idle else _battery_kw(job) for slot in slots])
        return np.zeros(len(slots)), np.diag(spread**2)
    return _board(tree, slots, told, draw, kind)


def _board(tree: SingleLine, slots: tuple[Slot, ...], jump: tuple[int, ...], draw: str,
           kind: str) -> tuple[Floats, Floats]:  # fmt: skip
    share = (1.0 if draw == tree.boards[0] else OUTBUILDING_RATIO) / tree.phases_count**0.5
    ones = np.ones(len(slots))
    if kind == "reactive":
        return 0 * ones, share**2 * (HOUSE_REACTIVE_KVA**2 * np.outer(ones, ones)
                                     + HOUSE_REACTIVE_DRIFT_KVA**2 * np.eye(len(slots)))  # fmt: skip
    cov = share**2 * (HOUSE_SPREAD_KW**2 * np.outer(ones, ones) + HOUSE_DRIFT_KW**2 * np.eye(len(slots)))
    on = np.array([float(each in jump) for each in range(len(slots))])
    return share * HOUSE_MEAN_KW * ones, cov + JUMP_KW**2 * np.outer(on, on)


def car_kw(job: Job, slot: Slot) -> float:
    """What the car draws on one line at the declared voltage; where nobody noted it, half of the charge point's rating
    stands for it.
    """
    amps = slot.car_a if slot.car_a is not None else (job.charge_point.rated_a or 32.0) / 2
    return amps * job.supply.declared_v / 1000


def _car(job: Job, slots: tuple[Slot, ...], here: bool, kind: str) -> tuple[Floats, Floats]:
    kw = np.array([car_kw(job, slot) * here for slot in slots])
    loose = np.array([CAR_LOOSE_RATIO if slot.car_a is not None else 1.0 for slot in slots]) * kw
    if kind == "reactive":
        return 0 * kw, REACTIVE_RATIO**2 * np.outer(kw, kw)
    return kw, CAR_GAIN_RATIO**2 * np.outer(kw, kw) + np.diag(loose**2)


def _sun(job: Job, slots: tuple[Slot, ...], here: bool, kind: str) -> tuple[Floats, Floats]:
    peak_kw = peak_sun_kw(job) * here
    on = np.array([float(slot.sunny) for slot in slots])
    rest = np.diag((OFF_KW * here * (1 - on)) ** 2)
    if kind == "reactive":
        return 0 * on, (REACTIVE_RATIO * peak_kw) ** 2 * np.outer(on, on) + (OFF_KW * here) ** 2 * np.eye(len(slots))
    spell = np.array([slot.spell for slot in slots])
    bright = np.array([slot.waits_for_kw > 0 for slot in slots])
    wide = np.where(bright, BRIGHT_SPREAD_RATIO, SUN_SPREAD_RATIO) * peak_kw * on
    cov = np.outer(wide, wide) * (spell[:, None] == spell) + np.diag((SUN_DRIFT_RATIO * peak_kw * on) ** 2)
    return np.where(bright, BRIGHT_MEAN_RATIO, SUN_MEAN_RATIO) * peak_kw * on, cov + rest


def peak_sun_kw(job: Job) -> float:
    """The most that the inverter gives on one line."""
    amps = job.generation.inverter_a
    return amps.high * job.supply.declared_v / 1000 if amps else PEAK_KW


def bright_kw(job: Job) -> float:
    """Sun enough to judge the size of what a solar sensor shows: some third of the inverter's rating (our own)."""
    return BRIGHT_RATIO * peak_sun_kw(job)


def _battery_kw(job: Job) -> float:
    amps = job.storage.inverter_a
    return amps.high * job.supply.declared_v / 1000 if amps else BATTERY_KW
