"""Each state of a job is judged once, however many pages show it."""

from __future__ import annotations

from functools import lru_cache

from ampwright.assess.assessment import Assessment, assess
from ampwright.job.record import Job

KEPT_COUNT = 256


@lru_cache(maxsize=KEPT_COUNT)
def judged(job: Job) -> Assessment:
    """Every check on a job. Equal jobs have equal answers, so the last few hundred are kept."""
    return assess(job)
