"""What a year of weather is, and where one came from."""

from __future__ import annotations

from dataclasses import dataclass

from ampwright.assess.forecast.place import Place
from ampwright.physics.sun import Numbers


@dataclass(frozen=True, slots=True)
class Provenance:
    """Where numbers came from: in words, the SHA-256 of what was read, and the seed of what was drawn."""

    source: str
    sha256: str
    seed: int | None = None
    year_number: int | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Weather:
    """A year of 365 days by minute, UTC: 525,600 means over a minute, the first from 1 January 00:00.

    global_w_per_m2 and diffuse_w_per_m2 fall on the level, direct_w_per_m2 on a plane that faces the sun.
    """

    place: Place
    global_w_per_m2: Numbers
    direct_w_per_m2: Numbers
    diffuse_w_per_m2: Numbers
    air_c: Numbers
    came_from: Provenance
