"""Days that are the same unless another is stated: nobody types one day twice."""

from __future__ import annotations

import datetime

from ampwright.job.record import Job, Tests


def tests_day(job: Job) -> datetime.date | None:
    """The day of the tests: as stated; else, once anything has been tested, the day of installation."""
    tests = job.tests
    return tests.date or (job.dates.installed if _begun(tests) else None)


def commissioning_day(job: Job) -> datetime.date | None:
    """The day that generation of this job was put to work: as stated, else the day of installation."""
    generation = job.generation
    return generation.commissioned or (job.dates.installed if generation.part_of_this_job else None)


def _begun(tests: Tests) -> bool:
    read = (tests.r1r2_ohm, tests.zs_ohm, tests.insulation_megohm, tests.polarity_right, tests.rcd_ms,
            tests.rcd_button_works, tests.dc_s, tests.open_pen_works)  # fmt: skip
    return bool(tests.pilot) or any(each is not None for each in read)
