"""What a route costs, in minutes of work, and how far things are kept apart: effort.csv beside this file."""

from __future__ import annotations

import csv
from functools import lru_cache
from importlib import resources

from ampwright.facts import look_up, rows
from ampwright.job.sketch import Service


@lru_cache(maxsize=1)
def efforts() -> dict[str, float]:
    """Every value of effort.csv by its name; the units stand in the file."""
    text = resources.files("ampwright.assess.route").joinpath("effort.csv").read_text(encoding="utf-8")
    return {row["name"]: float(row["value"]) for row in csv.DictReader(text.splitlines())}


def clearance_mm(service: Service, laid: str) -> float:
    """How far a cable keeps from the outside of a service, on the surface or buried.

    From gas on the surface, the largest figure that any source gives for a pipe of that size.
    """
    if service.kind == "gas" and laid == "surface":
        large = service.diameter_mm > 35
        wanted = ("cable", "cable_beside_pipe_over_35_mm") if large else ("cable",)
        return max(float(row["distance_mm"]) for row in rows("gb/gas_separation") if row["equipment"] in wanted)
    return look_up("gb/service_clearance", "distance_mm", service=service.kind, laid=laid).value
