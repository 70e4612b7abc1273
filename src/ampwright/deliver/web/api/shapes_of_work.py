"""The shapes of the documents on load cap, sensors and tests. They are what `--json` prints."""

from __future__ import annotations

from pydantic import with_config
from typing_extensions import TypedDict

from ampwright.assess.sensors.diagnosis import NextTest, ProofStep, SensorFinding
from ampwright.assess.testing.doubts import Doubt
from ampwright.deliver.web.api.shapes import CLOSED, Answer, Check, Format, Status, Step, Tally


@with_config(CLOSED)
class ByTheMinute(TypedDict):
    """The worst day, minute by minute."""

    highest_a: list[float]
    lowest_a: list[float]
    tails_c: list[float]


BySecond = TypedDict("BySecond", {"from": str, "house_a": list[float], "car_a": list[float], "lost": list[bool]})


@with_config(CLOSED)
class Attack(TypedDict):
    """The worst day that an opponent found, beside what is proved."""

    seed: int
    days_count: int
    line: str
    cap_a: float | None
    warmed_ratio: float
    hottest_c: float
    peak_a: float
    at: str
    proved_warmed_ratio: float | None
    proved_hottest_c: float | None
    minutes: ByTheMinute
    seconds: BySecond


@with_config(CLOSED)
class LoadCap(TypedDict):
    """The load cap to set, why it holds, and an attempt to break it, as `ampwright loadcap --json`."""

    format: Format
    title: str | None
    reference: str | None
    edition: str
    status: Status
    offered_a: float | None
    stands_a: float | None
    holds_with_house_within_a: float | None
    by_errors_a: float | None
    tally: Tally
    checks: list[Check]
    attack: Attack | None


Stretch = TypedDict("Stretch", {"name": str, "words": str, "from": str, "to": str, "lines": list[str],
                                "draws": list[str]})  # fmt: skip


@with_config(CLOSED)
class WrongPlace(TypedDict):
    """What a sensor would show in a wrong place, moment by moment."""

    where: str
    shows_kw: list[float]
    same_kw: bool


@with_config(CLOSED)
class Lead(TypedDict):
    """What the lead of a sensor does to its reading."""

    says: list[str]
    false_kw: float | None
    working: list[Step]


@with_config(CLOSED)
class Placement(TypedDict):
    """The one right place of a sensor on one line."""

    sensor: str
    watches: str
    line: str
    stretch: str | None
    says: str
    arrow: str
    channel: str
    sees: list[str]
    misses: list[str]
    reach: str
    shows_kw: list[float]
    elsewhere: list[WrongPlace]
    lead: Lead


@with_config(CLOSED)
class Placements(TypedDict):
    """Where each sensor goes, what it sees, what wrong places read, as `ampwright sensors --json`."""

    format: Format
    assumed: list[str]
    stretches: list[Stretch]
    moments: list[str]
    sensors: list[Placement]
    cautions: list[str]


@with_config(CLOSED)
class Diagnosis(TypedDict):
    """Which sensor is wrong, from its readings, as `ampwright diagnose --json`."""

    format: Format
    status: Status
    sensors: list[SensorFinding]
    fits_ratio: float
    together_ratio: float
    changed: str
    proof: list[ProofStep]
    notes: list[str]
    next_tests: list[NextTest]
    cautions: list[str]


InItsUnit = float | None  # the unit stands beside it in `unit`


@with_config(CLOSED)
class Expected(TypedDict):
    """What a test should read."""

    low: float | None
    high: float | None
    basis: str
    needs: list[str]
    working: list[Step]


@with_config(CLOSED)
class ReadAs(TypedDict):
    """Both ends of what was read."""

    low: float
    high: float


@with_config(CLOSED)
class Box(TypedDict):
    """One test: what it should read, its limit, what was read, and what that means."""

    id: str
    stage: str
    title: str
    path: str
    unit: str
    expected: Expected
    limit: InItsUnit
    limit_is: str
    limit_needs: list[str]
    clause: str | None
    reading: ReadAs | bool | str | None
    by_calculation: bool
    verdict: Answer | None
    says: str | None
    doubt: Doubt | None
    repeat: list[str]


@with_config(CLOSED)
class TestSheet(TypedDict):
    """The test sheet in the order of the trade, as `ampwright tests --json`."""

    format: Format
    edition: str
    status: Status
    before_energising: list[str]
    boxes: list[Box]
    instruments: list[str]
    faults: list[str]
