"""The shapes of the documents on routes and sunshine. They are what `--json` prints."""

from __future__ import annotations

from typing import Literal

from pydantic import with_config
from typing_extensions import TypedDict

from ampwright.deliver.web.api.shapes import CLOSED, Choices, Format, Pence

RadiiBySource = list[tuple[str, float]]  # in mm
Ends = tuple[float, float] | None


@with_config(CLOSED)
class Cable(TypedDict):
    """The cable of a stretch."""

    kind: str | None
    size_mm2: float | None
    cores_count: int | None


@with_config(CLOSED)
class Section(TypedDict):
    """A stretch of a route; readings are both ends of what is known."""

    name: str | None
    length_m: Ends
    method: str | None
    outdoors: bool | None
    insulation_mm: Ends
    depth_m: Ends
    through: list[str]
    cable: Cable


@with_config(CLOSED)
class HoleEnd(TypedDict):
    """Where a hole goes in or comes out, from a corner and the floor."""

    room: str | None
    along_mm: float
    height_mm: float
    set_out: str


@with_config(CLOSED)
class Bend(TypedDict):
    """Where a cable leaves a hole and lies along the wall."""

    where: str
    turn_deg: float
    radius_mm: float
    by: str
    others: RadiiBySource
    stand_off_mm: float
    flat_radius_mm: float
    fits_flat: bool


@with_config(CLOSED)
class Near(TypedDict):
    """A service near a hole: the clear gap at the worst of the error, and what is wanted."""

    name: str
    gap_mm: float
    wanted_mm: float


@with_config(CLOSED)
class Hole(TypedDict):
    """One hole, set out from both sides."""

    name: str
    wall: str
    entry: HoleEnd
    breakout: HoleEnd
    fall_deg: float
    length_mm: Ends
    drop_mm: float
    error_mm: float
    cable_mm: float | None
    sleeve_mm: float | None
    bit_mm: float | None
    bit_usable_mm: float | None
    pilot_mm: float | None
    bends: list[Bend]
    near: list[Near]
    behind: list[str]


@with_config(CLOSED)
class RouteDesign(TypedDict):
    """The design that a route needs."""

    words: str
    standing: str
    choices: Choices
    price_pence: Pence


@with_config(CLOSED)
class Needs(TypedDict):
    """The design of a route, or why it has none yet."""

    design: RouteDesign | None
    design_sought_among_few: bool
    no_design_because: str | None


@with_config(CLOSED)
class Typed(Needs):
    """The route that was typed in."""

    sections: list[Section]


@with_config(CLOSED)
class Route(Needs):
    """A way that was found on the sketch."""

    length_mm: float
    effort_min: float
    bends: int
    points_mm: list[list[float]]
    sections: list[Section]
    gas_pipe_to_cable_mm: Ends
    holes: list[Hole]


@with_config(CLOSED)
class SensorRun(TypedDict):
    """The way to a wired sensor, or why there is none."""

    name: str
    length_mm: float | None
    holes: int | None
    says: str | None


@with_config(CLOSED)
class Routes(TypedDict):
    """Ways from the board to the charge point and from each wired sensor, as `ampwright route --json`."""

    format: Format
    title: str | None
    reference: str | None
    routes: list[Route]
    typed: Typed | None
    sensors: list[SensorRun]
    remarks: list[str]


Band = dict[Literal["p10", "p50", "p90"], float]
Figures = dict[str, Band | None]


@with_config(CLOSED)
class Way(TypedDict):
    """What one way of charging comes to, over the year and month by month."""

    year: Figures
    months: dict[str, Figures]


@with_config(CLOSED)
class SunSource(TypedDict):
    """Where the sun comes from, and the hashes by which a forecast is known."""

    sun: str
    sun_sha256: str
    job_sha256: str


@with_config(CLOSED)
class Bar(TypedDict):
    """What one assumption moves."""

    assumption: str
    low_percent: float
    high_percent: float
    from_to: str


@with_config(CLOSED)
class GoalAnswer(TypedDict):
    """What to do to reach the share, and whether it is reached."""

    do: list[str]
    way: str
    reached: bool
    own_share_percent: Band | None


@with_config(CLOSED)
class Goal(TypedDict):
    """A share to be reached."""

    percent: float
    answers: list[GoalAnswer]


@with_config(CLOSED)
class Forecast(TypedDict):
    """How much of the driving comes from the roof, always as a band, as `ampwright forecast --json`."""

    format: Format
    title: str | None
    reference: str | None
    seed: int
    years: int
    years_asked: int
    complete: bool
    source: SunSource
    accounting: str
    figures: dict[str, str]
    ways: dict[str, Way]
    ceiling_percent: Band | None
    bars_way: str
    bars: list[Bar]
    goal: Goal | None
    supposed: list[str]
