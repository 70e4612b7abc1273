"""The site sketch: plan and elevation in millimetres, as far as anybody drew it.

Plan: x to the right and y away, from any one corner. Heights are above the ground outside, and negative below it. A
wall is drawn along its middle from start to end; its left and right side are those of someone who stands at the start
and looks to the end. On a wall `along_mm` is measured from its start, along the middle.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from ampwright.job.choices import Method
from ampwright.reading import Reading

Side = Literal["left", "right"]
Material = Literal["brick", "block", "stone", "concrete", "timber", "plaster", "plasterboard", "render", "cavity",
                   "insulation"]  # fmt: skip
Surface = Literal["lawn", "soil", "gravel", "paving", "concrete", "tarmac"]
ServiceKind = Literal["gas", "water", "electricity", "telecoms", "drain", "oil"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PipePoint:
    x_mm: float
    y_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    material: Material
    thickness_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """`make_up` lists the layers from the left side to the right side."""

    name: str
    start: Corner
    end: Corner
    thickness_mm: Reading | None = None
    base_mm: float = 0.0
    top_mm: float = 2400.0
    may_drill: bool | None = None
    make_up: tuple[Layer, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """The middle of a thing: on a wall by side, along and height; or free-standing by x and y."""

    wall: str | None = None
    side: Side | None = None
    along_mm: float | None = None
    height_mm: float | None = None
    x_mm: float | None = None
    y_mm: float | None = None
    width_mm: float | None = None
    tall_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SensorPlace:
    """`name` is that of a sensor of the job."""

    name: str
    place: Place = field(default_factory=Place)


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """`crossing` says that a cable may cross below the floor or above the ceiling, laid by `crossing_method`."""

    name: str
    corners: tuple[Corner, ...] = ()
    floor_mm: float = 0.0
    ceiling_mm: float = 2400.0
    crossing: Literal["floor", "ceiling"] | None = None
    crossing_method: Method | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundArea:
    """Ground that may be dug."""

    name: str
    surface: Surface | None = None
    corners: tuple[Corner, ...] = ()
    depth_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A window or a door, by its edge nearer to the start of the wall and its lower edge."""

    name: str
    kind: Literal["window", "door"]
    wall: str
    along_mm: float
    sill_mm: float
    width_mm: float
    tall_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstacle:
    name: str
    place: Place = field(default_factory=Place)


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepOut:
    """Ground or floor that no cable may enter: a tree's roots, a neighbour's land, a wet room."""

    name: str
    corners: tuple[Corner, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Service:
    """A pipe or cable that is there, on a wall or below ground, by the points of its middle line."""

    name: str
    kind: ServiceKind
    diameter_mm: float = 22.0
    points: tuple[PipePoint, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """Conductors that are in a trunking or conduit already."""

    insulation: Literal["70c", "90c"]
    size_mm2: float
    conductors_count: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Enclosure:
    """What a stretch of cable runs in. The width of a conduit is its diameter; bends are those between draw-in points.

    `data_beside` says whether a data cable runs in it too, `data_withstands_mains` that its insulation, or an earthed
    screen round it, is made for the mains voltage beside it (of a data pair in the same sheath too).
    """

    kind: Literal["conduit", "trunking"] | None = None
    there: bool | None = None
    width_mm: float | None = None
    tall_mm: float | None = None
    bends_count: float | None = None
    holds: tuple[Held, ...] | None = None
    data_beside: Literal["none", "in the same space", "in a space of its own"] | None = None
    data_withstands_mains: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Trunking:
    """Trunking that is there and may be used, level or upright, from one end to the other."""

    name: str
    wall: str
    side: Side
    from_along_mm: float
    from_height_mm: float
    to_along_mm: float
    to_height_mm: float
    width_mm: float | None = None
    tall_mm: float | None = None
    circuits_count: float | None = None
    holds: tuple[Held, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sketch:
    walls: tuple[Wall, ...] = ()
    rooms: tuple[Room, ...] = ()
    ground: tuple[GroundArea, ...] = ()
    openings: tuple[Opening, ...] = ()
    obstacles: tuple[Obstacle, ...] = ()
    keep_outs: tuple[KeepOut, ...] = ()
    services: tuple[Service, ...] = ()
    trunking: tuple[Trunking, ...] = ()
    cutout: Place = field(default_factory=Place)
    meter: Place = field(default_factory=Place)
    gas_meter: Place = field(default_factory=Place)
    board: Place = field(default_factory=Place)
    charge_point: Place = field(default_factory=Place)
    sensors: tuple[SensorPlace, ...] = ()
