"""Steps for the tests of batches: what a job's title says, happens. A new process must find them."""

from __future__ import annotations

import os
from pathlib import Path

from ampwright.deliver.batch.steps import Made, Refused, Settings, Step
from ampwright.job.record import Job


class Two(Exception):
    """Not every exception gets from one process to another."""

    def __init__(self, says: str, more: str) -> None:
        super().__init__(f"{says} {more}")


def _make(job: Job, _folder: Path, settings: Settings) -> Made:
    if job.title == "breaks":
        raise ZeroDivisionError("a mistake in a step")
    if job.title == "says more":
        raise Two("a mistake", "that does not pickle")
    if job.title == "dies":
        os._exit(9)
    if job.title == "wants":
        raise Refused("the title is wanting")
    return Made(f"{job.title} {settings['copies']}".encode(), "text/plain")


PRINTING = Step("print", _make, {"copies": 1})
