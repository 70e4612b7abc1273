"""An invented house on a sketch, and short ways to draw."""

from collections.abc import Sequence
from typing import Any

from jobs import house

from ampwright.job.paths import replaced
from ampwright.job.record import Job
from ampwright.job.sketch import Corner, GroundArea, PipePoint, Place, Room, Service, ServiceKind, Sketch, Wall
from ampwright.reading import measured

Spot = tuple[float, float]


def corners(*points: Spot) -> tuple[Corner, ...]:
    """Corners from pairs."""
    return tuple(Corner(x_mm=x, y_mm=y) for x, y in points)


def box(x: float, y: float, xx: float, yy: float) -> tuple[Corner, ...]:
    """The corners of a rectangle."""
    return corners((x, y), (xx, y), (xx, yy), (x, yy))


def wall(name: str, start: Spot, end: Spot, thick: float = 300, **more: Any) -> Wall:
    """A wall of that thickness."""
    (a, b), settings = corners(start, end), {"thickness_mm": measured(thick), **more}
    return Wall(name=name, start=a, end=b, **settings)


def pipe(name: str, kind: ServiceKind, points: Sequence[tuple[float, float, float]], thick: float = 22) -> Service:
    """A service through these points."""
    way = tuple(PipePoint(x_mm=x, y_mm=y, height_mm=z) for x, y, z in points)
    return Service(name=name, kind=kind, diameter_mm=thick, points=way)


def on(name: str, side: Any, along: float, height: float, **more: Any) -> Place:
    """A place on a wall."""
    return Place(wall=name, side=side, along_mm=along, height_mm=height, **more)


def cottage(**changes: Any) -> Sketch:
    """One room, 8 by 6 m between the middles of walls of 300 mm; left is inside. The board is on the west wall; the
    charge point outside on the east wall; lawn all round; a free-standing wall 4 m to the east."""
    settings: dict[str, Any] = {
        "walls": (
            wall("south", (0, 0), (8000, 0)),
            wall("east", (8000, 0), (8000, 6000)),
            wall("north", (8000, 6000), (0, 6000)),
            wall("west", (0, 6000), (0, 0)),
            wall("garden wall", (12000, 0), (12000, 5000), 215),
        ),
        "rooms": (Room(name="kitchen", corners=box(0, 0, 8000, 6000)),),
        "ground": (GroundArea(name="lawn", surface="lawn", corners=box(8150, -2000, 14000, 8000), depth_mm=600),),
        "board": on("west", "left", 3000, 1800),
        "charge_point": on("east", "right", 3000, 1100),
        **changes,
    }
    return Sketch(**settings)


def sketched(**changes: Any) -> Job:
    """The invented house with the cottage as its sketch."""
    return replaced(house(), "sketch", cottage(**changes))
