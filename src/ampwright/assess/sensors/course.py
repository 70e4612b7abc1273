"""How sure it became, reading by reading, that each sensor is right."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from ampwright.assess.sensors.chances import chances
from ampwright.assess.sensors.evidence import weigh
from ampwright.assess.sensors.session import session
from ampwright.assess.sensors.suspects import Effect
from ampwright.job.record import Job

KEPT_COUNT = 256


def course(job: Job) -> tuple[tuple[float | None, ...], ...]:
    """The chance that each sensor is right after each reading, 0 to 1; None while no figure of it counts.

    As in a diagnosis, readings from before something was put right no longer count. Raises BadReadings, BadSingleLine.
    """
    readings = job.tests.sensing
    return tuple(_right(replace(job, tests=replace(job.tests, sensing=readings[:count])))
                 for count in range(1, len(readings) + 1))  # fmt: skip


@lru_cache(maxsize=KEPT_COUNT)
def _right(job: Job) -> tuple[float | None, ...]:
    """After the last reading. Kept, so that one more reading is one more to weigh."""
    here = session(job)
    posterior = weigh(here.house, here.witnesses)
    return tuple(chances(posterior, number).get(Effect(), 0.0) if here.witnesses[number].at else None
                 for number in range(len(here.clamps)))  # fmt: skip
