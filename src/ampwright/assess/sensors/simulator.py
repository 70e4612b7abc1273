"""An installation to practise on, second by second, with sensors that may be wrong.

It is on purpose not the model that the diagnosis reckons with: loads are switched on and off and are not Gaussian,
clouds come and go, displays lag and are read one after another, a core that is not shut turns the phase as well, and
there may be an inverter that the record does not know. Currents are phasors in amperes; the diagnosis has none.
"""

from __future__ import annotations

import cmath
import math
import random
from dataclasses import dataclass, field
from typing import Literal

from ampwright.assess.sensors.placement import Clamp, arrow_sign, clamps
from ampwright.assess.sensors.session import step_kw
from ampwright.assess.sensors.singleline import (
    BATTERY,
    BATTERY_CABLE,
    CAR,
    CAR_CABLE,
    HOME_OF,
    KNOWN,
    LINES,
    SOLAR,
    SOLAR_CABLE,
    SUPPLY,
    SingleLine,
    Stretch,
    single_line,
)
from ampwright.assess.sensors.suspects import Fault
from ampwright.job.choices import Line
from ampwright.job.record import Job, SensorReading, Shown
from ampwright.physics.phasors import lines_v
from ampwright.reading import measured

APPLIANCES = (  # kW from, to; seconds from, to; starts an hour. Invented: a waking day has some ten hob or oven
    # heats, six kettles, one wash, one shower, and small things and a refrigerator all the time.
    (0.8, 3.0, 60, 240, 0.6), (1.8, 3.0, 60, 200, 0.4), (1.9, 2.2, 600, 1200, 0.06), (7.0, 9.5, 240, 600, 0.06),
    (0.1, 0.6, 60, 1200, 3.0), (0.05, 0.15, 300, 900, 4.0),
)  # fmt: skip
SETTLE_S, LAG_S, MOST_ROUNDS_COUNT, STILL_KW = 60, 8, 5, 0.3


@dataclass(frozen=True, slots=True)
class Truth:
    """What is wrong with one sensor, to the last detail: a real core has a gain and turns the phase."""

    fault: Fault
    gain_ratio: float = 1.0
    turns_deg: float = 0.0
    lag_s: int = 0


@dataclass
class _Appliance:
    board: str
    line: str
    kw: float
    until_s: int


@dataclass
class Practice:
    """A running installation. `car_a`, `known_kw`, `inverter_on` and `battery_idle` are what a person may switch."""

    job: Job
    truths: dict[str, Truth]
    dice: random.Random
    dark: bool = False
    unknown_inverter_kw: float = 0.0
    solar_lines: tuple[str, ...] = ()
    car_lines: tuple[str, ...] = ()
    car_a: float = 0.0
    known_kw: float = 0.0
    inverter_on: bool = True
    battery_idle: bool = True
    known_line: Line = "L1"
    meters_read: bool = False
    now_s: int = 0
    tree: SingleLine = field(init=False)
    past: list[dict[tuple[str, str], complex]] = field(default_factory=list)
    _running: list[_Appliance] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.tree = single_line(self.job)
        self.volts = self.dice.uniform(228, 248)
        self.standing_kw = {key: self.dice.uniform(0.05, 0.35) for key in self._places()}
        self.sun_ratio, self.cloud_ratio, self.cloud_until_s = self.dice.uniform(0.12, 0.9), 1.0, 0
        self.car_ratio, self.car_now_a = self.dice.uniform(0.96, 1.0), 0.0
        self.inverter_meter_ratio = self.dice.uniform(0.97, 1.03)
        self.car_meter_ratio = self.dice.uniform(0.99, 1.01)
        self.known_ratio = self.dice.uniform(0.92, 1.06)
        self.solar_lines = self.solar_lines or self._recorded(SOLAR_CABLE)
        self.car_lines = self.car_lines or self._recorded(CAR_CABLE)
        self.wait(SETTLE_S)

    def wait(self, seconds: int) -> None:
        """Let the installation run; what every second carried is kept for displays that lag."""
        for _ in range(seconds):
            self.now_s += 1
            self._appliances()
            self._clouds()
            wanted_a = self.car_a * self.car_ratio
            self.car_now_a += max(-32.0, min(6.0, wanted_a - self.car_now_a))
            self.past.append(self._amps())
        del self.past[: -LAG_S * 4]

    def wait_for_sun(self, least_kw: float, most_s: int = 1800) -> None:
        """Wait until the inverter's display gives this much, or until it is no use waiting longer."""
        start_s = self.now_s
        while self.now_s - start_s < most_s and self._given_kw() < least_kw:
            self.wait(30)

    def read(self, settle_s: int = SETTLE_S) -> SensorReading:
        """Wait until things are steady, then read the displays one after another, and again until they stand still."""
        self.wait(settle_s)
        figures = self._round()
        for _ in range(MOST_ROUNDS_COUNT):
            again, figures = figures, self._round()
            if all(abs(one - two) <= STILL_KW for one, two in zip(again, figures, strict=True)):
                break
        names = [(clamp.sensor.name, None if clamp.alone else clamp.line) for clamp in clamps(self.job)]
        shown = tuple(Shown(sensor=name, line=line, kw=kw)
                      for (name, line), kw in zip(names, figures, strict=False))  # fmt: skip
        meters = figures[len(names) :]
        return SensorReading(
            at=f"{10 + self.now_s // 3600:02d}:{self.now_s // 60 % 60:02d}:{self.now_s % 60:02d}",
            car_a=round(self.car_now_a * self.car_meter_ratio, 1), known_load_kw=self.known_kw,
            known_load_line=self.known_line, inverter=self._inverter(),
            battery=("idle" if self.battery_idle else "working") if self.tree.has(BATTERY_CABLE) else None,
            dark=self.dark, shown=shown,
            meter_kw=measured(meters[0]) if meters else None,
            inverter_kw=measured(meters[1]) if len(meters) > 1 else None,
        )  # fmt: skip

    def _round(self) -> list[float]:
        """Every display once, with a few seconds between them; then the meter and the inverter if they are read."""
        figures = []
        for clamp in clamps(self.job):
            figures.append(self._shown_kw(clamp))
            self.wait(self.dice.randint(1, 4))
        if self.meters_read:
            figures.append(round(sum(self._true_kw(SUPPLY, line) for line in self.tree.lines), 2))
            self.wait(self.dice.randint(1, 4))
        if self.meters_read and self.tree.has(SOLAR_CABLE):
            figures.append(self._given_kw())
        return figures

    def _given_kw(self) -> float:
        """What the inverter's own display shows."""
        given_kw = -sum(self._true_kw(SOLAR_CABLE, line) for line in self.tree.lines)
        return max(0.0, round(given_kw * self.inverter_meter_ratio, 1))

    def _true_kw(self, stretch: str, line: str) -> float:
        return (self._volt(line) * self._flow(self.tree.stretch(stretch), line, 0).conjugate()).real / 1000

    def _shown_kw(self, clamp: Clamp) -> float:
        truth, step = self.truths[clamp.name], step_kw(clamp)
        if truth.fault.other == "dead":
            return 0.0
        stretch = self.tree.stretch(truth.fault.place or HOME_OF[clamp.sensor.watches])
        wanted = truth.fault.line or (clamp.line if clamp.line in stretch.lines else stretch.lines[0])
        amps = -sum(self._flow(stretch, line, truth.lag_s) for line in LINES) if wanted == "N" else (
            sum(self._flow(stretch, line, truth.lag_s) for line in (LINES if len(stretch.lines) == 1 else (wanted,))))
        amps *= truth.gain_ratio * cmath.rect(1, math.radians(truth.turns_deg)) * (-1 if truth.fault.reversed else 1)
        watts = (self._volt(truth.fault.channel or clamp.line) * complex(amps).conjugate()).real
        return round(round(arrow_sign(clamp.sensor.watches) * watts / 1000 / step) * step, 6) + 0.0

    def _flow(self, stretch: Stretch, line: str, lag_s: int) -> complex:
        then = self.past[-1 - lag_s]
        return sum((amps for (draw, on), amps in then.items() if on == line and draw in stretch.draws), start=0j)

    def _volt(self, line: str) -> complex:
        return lines_v(nominal_v=self.volts, phases_count=self.tree.phases_count)[LINES.index(line)]

    def _amps(self) -> dict[tuple[str, str], complex]:
        """Current of every draw on every line now, in amperes, against the first line's voltage."""
        kva = {key: complex(kw, 0.15 * kw) for key, kw in self.standing_kw.items()}
        for each in self._running:
            kva[each.board, each.line] += complex(each.kw, 0.05 * each.kw)
        for line in self.car_lines:
            kva[CAR, line] = self.car_now_a * self.volts / 1000 * complex(1, -0.05)
        sun_kw = 0.0 if self.dark else self.sun_ratio * self.cloud_ratio
        for line in self.solar_lines:
            kva[SOLAR, line] = -complex(self._peak_kw() * sun_kw, 0.05) if self.inverter_on else 0j
        kva[self.tree.boards[0], "L1"] -= self.unknown_inverter_kw * sun_kw
        kva[KNOWN, self.known_line] = complex(self.known_kw * self.known_ratio * (self.volts / 240) ** 2)
        for line in self._recorded(BATTERY_CABLE):
            kva[BATTERY, line] = 0j if self.battery_idle else complex(-self.dice.uniform(-2, 2))
        return {(draw, line): (1000 * value / self._volt(line)).conjugate() for (draw, line), value in kva.items()}

    def _appliances(self) -> None:
        self._running = [each for each in self._running if each.until_s > self.now_s]
        for low, high, short_s, long_s, an_hour in APPLIANCES:
            if self.dice.random() < an_hour / 3600:
                board, line = self.dice.choice(self._places())
                until = self.now_s + self.dice.randint(short_s, long_s)
                self._running.append(_Appliance(board, line, self.dice.uniform(low, high), until))

    def _clouds(self) -> None:
        if self.now_s >= self.cloud_until_s:
            self.cloud_ratio = self.dice.uniform(0.25, 0.8) if self.cloud_ratio == 1.0 else 1.0
            self.cloud_until_s = self.now_s + self.dice.randint(60, 900)
        self.sun_ratio = min(0.95, max(0.08, self.sun_ratio + self.dice.gauss(0, 0.0008)))

    def _places(self) -> list[tuple[str, str]]:
        return [(board, line) for board in self.tree.boards for line in self.tree.lines]

    def _recorded(self, cable: str) -> tuple[str, ...]:
        return self.tree.stretch(cable).lines if self.tree.has(cable) else ()

    def _peak_kw(self) -> float:
        amps = self.job.generation.inverter_a
        return amps.high * 0.23 if amps else 3.6

    def _inverter(self) -> Literal["running", "off"] | None:
        return None if not self.tree.has(SOLAR_CABLE) else "running" if self.inverter_on else "off"
