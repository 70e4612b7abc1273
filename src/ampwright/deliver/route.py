"""The routes of a job, or in words why none can be sought; as text, as YAML for the job file, as a drawing."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from ampwright.assess.route.faults import BadSketch
from ampwright.assess.route.routes import Route, Routes, routes_for
from ampwright.deliver.drawing.sheet import drawing_svg
from ampwright.deliver.figures import Figures
from ampwright.job.files import dump
from ampwright.job.record import Job


def routes_of(job: Job, figures: Figures, *, design: bool, whole: bool) -> Routes | str:
    """The routes on the job's sketch, each with its design if one is wanted; else what is wrong, as text."""
    try:
        with figures.in_use():
            return routes_for(job, figures.catalogue if design else None, whole=whole)
    except BadSketch as bad:
        return str(bad)


def as_yaml(route: Route) -> str:
    """The route, and the distance from gas where the sketch shows a pipe, to go into the job file in their place."""
    gas = route.job.site.gas
    if not any(each.kind == "gas" for each in route.job.sketch.services):
        gas = Job().site.gas
    text = dump(replace(Job(), route=route.job.route, site=replace(Job().site, gas=gas)))
    return "".join(line for line in text.splitlines(keepends=True) if not line.startswith("version")).rstrip()


def write_drawing(routes: Routes, number: int, file: Path, figures: Figures, *, narrow: bool) -> None:
    """The drawing of one route, as SVG; efforts and bits of one's own are named on it."""
    drawn = drawing_svg(routes, number, narrow=narrow, whose=figures.drawing_says)
    file.write_text(drawn, encoding="utf-8", newline="\n")


def all_designed(routes: Routes) -> bool:
    """Whether each route found, or the one typed where none was sought, has a design."""
    if not routes.found:
        return routes.typed is not None and routes.typed.design is not None
    return all(each.design is not None for each in routes.found)
