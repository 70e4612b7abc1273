"""How sure it became, reading by reading, that each sensor is right."""

from __future__ import annotations

from ampwright.assess.sensors.diagnosis import chances
from ampwright.assess.sensors.evidence import weigh
from ampwright.assess.sensors.session import session
from ampwright.assess.sensors.suspects import Effect
from ampwright.job.record import Job


def course(job: Job) -> tuple[tuple[float | None, ...], ...]:
    """The chance that each sensor is right after each reading, 0 to 1; None while no figure of it counts.

    As in a diagnosis, readings from before something was put right no longer count. Raises BadReadings, BadSingleLine.
    """
    return tuple(_right(job, until) for until in range(1, len(job.tests.sensing) + 1))


def _right(job: Job, until: int) -> tuple[float | None, ...]:
    here = session(job, until)
    posterior = weigh(here.house, here.witnesses)
    return tuple(chances(posterior, number).get(Effect(), 0.0) if here.witnesses[number].at else None
                 for number in range(len(here.clamps)))  # fmt: skip
