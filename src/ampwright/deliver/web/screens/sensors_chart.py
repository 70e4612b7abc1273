"""The chart of how sure it became, reading by reading, that each sensor is right."""

from __future__ import annotations

from typing import Any

from ampwright.assess.sensors.course import course
from ampwright.assess.sensors.placement import clamps
from ampwright.deliver.web.chart import Chart, Key, line
from ampwright.job.record import Job
from ampwright.working import down

COLOURS = ("one", "two", "three", "five", "six", "four")
LOOKS = ("whole", "dashed", "dotted")


def chances_chart(job: Job, name: str) -> Chart | None:
    """The chart for the page; None before there is a reading. Raises BadReadings, BadSingleLine."""
    found = course(job)
    if not found:
        return None
    names = [each.name for each in clamps(job)]
    last = [f"{each} {_percent(right)}" for each, right in zip(names, found[-1], strict=True)]
    keys = tuple(Key(each, f"{colour} {look}".removesuffix(" whole")) for each, colour, look in _looks(names))
    rows = tuple((str(count), *map(_percent, right)) for count, right in enumerate(found, start=1))
    return Chart("chances", "How sure it became that each sensor is right",
                 f"After the last reading: {', '.join(last)}.", f"/jobs/{name}/sensors/chances.json", keys,
                 ("After reading", *names), rows)  # fmt: skip


def chances_drawn(job: Job) -> dict[str, Any]:
    """The numbers of the chart. Raises BadReadings, BadSingleLine."""
    found = course(job)
    names = [each.name for each in clamps(job)]
    series = [line(each, [None if right[number] is None else round(100 * float(right[number] or 0.0), 1)
                          for right in found], colour, look=look, points=True)
              for number, (each, colour, look) in enumerate(_looks(names))]  # fmt: skip
    return {"x": list(range(len(found))), "names": [f"{count}" for count in range(1, len(found) + 1)], "unit": "%",
            "series": series}  # fmt: skip


def _looks(names: list[str]) -> list[tuple[str, str, str]]:
    """A colour and a dash for each, none twice for the first eighteen."""
    return [(each, COLOURS[number % len(COLOURS)], LOOKS[number // len(COLOURS) % len(LOOKS)])
            for number, each in enumerate(names)]  # fmt: skip


def _percent(right_ratio: float | None) -> str:
    """Rounded down, so that nothing is said to be surer than it is."""
    return "no figure yet" if right_ratio is None else f"{down(100 * right_ratio, 1)} %"
