"""One sheet: plan, elevations and single line of a route, with all of it in words for one who does not see it."""

from __future__ import annotations

import textwrap
from xml.sax.saxutils import escape

from ampwright.assess.route.plan import Plan
from ampwright.assess.route.routes import Route, Routes, SensorRun, gas_too_near, services_crossed
from ampwright.deliver.drawing.elevation import draw_elevations
from ampwright.deliver.drawing.pen import XY, Pen
from ampwright.deliver.drawing.plan_view import draw_plan
from ampwright.deliver.drawing.single_line import cable_words, draw_single_line, metres
from ampwright.deliver.route_screen import tools, warnings
from ampwright.deliver.screen import counted
from ampwright.working import capital

KEY = ("Thick line: route (broken in the ground). Broad grey line: a sensor's lead. Ringed number: hole. Black box: "
       "board, charge point; white box: as named. Lengths in mm. Broken lines: services, by their names.")  # fmt: skip
CAUTION = "Drawn from what was measured and declared: look, scan and ask before anything is drilled or dug."
SMALL_MM, LINE_MM, LETTER_RATIO = 2.6, 3.6, 0.52


def drawing_svg(routes: Routes, number: int = 1, *, narrow: bool = False, whose: str = "") -> str:
    """One route as SVG text in true millimetres: A3 across, or one column for a telephone.

    `number` counts the routes found from 1; `whose` says whose efforts and bits it was found by, if that is to be
    said. Raises IndexError if there is none of that number.
    """
    pen, route = Pen(), routes.found[number - 1]
    title = routes.job.title or routes.job.reference or "Route"
    about = [routes.job.reference, str(routes.job.date) if routes.job.date else None,
             f"route {number} of the {len(routes.found)} ways found"]  # fmt: skip
    subtitle = " · ".join(each for each in (*about, whose) if each)
    wide_mm, tall_mm = (_column if narrow else _across)(pen, routes, route, title, subtitle)
    marks = "\n".join(pen.marks)
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<svg xmlns="http://www.w3.org/2000/svg" width="{wide_mm:.0f}mm" '
        f'height="{tall_mm:.0f}mm" viewBox="0 0 {wide_mm:.0f} {tall_mm:.0f}" role="img" '
        'aria-labelledby="title words" lang="en-GB" '
        f'font-family="Arial, Helvetica, sans-serif">\n<title id="title">{escape(title)}: route, to scale</title>\n'
        f'<desc id="words">{escape(" ".join((*words_of(route, routes.sensors), whose)).rstrip())}</desc>\n'
        f'<rect width="{wide_mm:.0f}" height="{tall_mm:.0f}" fill="white"/>\n{marks}\n</svg>\n'
    )  # fmt: skip


def _across(pen: Pen, routes: Routes, route: Route, title: str, subtitle: str) -> tuple[float, float]:
    """A3 across: plan above elevations, single line and holes to the right; taller where many words want it."""
    plan = _plan_of(routes)
    pen.text((10, 12), title, 5, bold=True)
    pen.text((10, 17.5), subtitle)
    under_mm = draw_plan(pen, plan, route, routes.sensors, (8, 22, 318, 180))
    left_out, _ = draw_elevations(pen, plan, route, (8, under_mm + 2, 318, 285))
    holes = _holes(route)
    tall_mm = sum(len(_lines(each, 90, SMALL_MM)) for each in holes) * LINE_MM
    foot_mm = draw_single_line(pen, route, (324, 22, 416, 276 - tall_mm))
    y = _paragraphs(pen, holes, (324, foot_mm + 8), 90)
    key_mm = max(289.0, y + 2)
    foot_mm = max(_paragraphs(pen, [KEY + _more(left_out), *_cautions(route)], (10, key_mm), 400), 296.0)
    return 420, foot_mm + 1


def _column(pen: Pen, routes: Routes, route: Route, title: str, subtitle: str) -> tuple[float, float]:
    """One column, as long as it must be, in letters that a telephone shows large enough."""
    plan = _plan_of(routes)
    y = _paragraphs(pen, [title], (4, 8), 92, 4.2, bold=True)
    y = _paragraphs(pen, [subtitle], (4, y), 92)
    y = draw_plan(pen, plan, route, routes.sensors, (4, y + 2, 100, y + 400), turned=True)
    left_out, y = draw_elevations(pen, plan, route, (0, y + 6, 100, y + 2000))
    y = draw_single_line(pen, route, (4, y + 8, 100, y + 2000))
    y = _paragraphs(pen, _holes(route), (4, y + 8), 92)
    y = _paragraphs(pen, [KEY + _more(left_out), *_cautions(route)], (4, y + 3), 92)
    return 100, y + 2


def _plan_of(routes: Routes) -> Plan:
    """The plan of routes that were found on one."""
    if routes.plan is None:
        raise ValueError("these routes were not found on a sketch")
    return routes.plan


def _cautions(route: Route) -> list[str]:
    """What to look at first, gas drawn too near to what is fitted, and services that the trench crosses."""
    sketch = route.job.sketch
    return [" ".join([CAUTION, *gas_too_near(sketch), *services_crossed(sketch, (route.way,))])]


def _more(left_out_count: int) -> str:
    return f" {left_out_count} faces that the route runs on are not drawn." if left_out_count else ""


def _holes(route: Route) -> list[str]:
    """Each hole in words, for the one who drills."""
    return [f"{capital(each.name)}: enter {each.entry.set_out}; "
            f"{f'falls {each.fall_deg:g}°' if each.fall_deg else 'level'}, {each.length_mm.high:.0f} mm long; break "
            f"out {each.breakout.set_out}, give or take {each.error_mm:.0f} mm."
            f"{f' Bit {each.bit_mm:g} mm, sleeve {each.sleeve_mm:g} mm.' if each.bit_mm else f' {tools(each)}'} "
            f"{' '.join(warnings(each))}".rstrip() for each in route.holes]  # fmt: skip


def _paragraphs(pen: Pen, paragraphs: list[str], at: XY, wide_mm: float, size_mm: float = SMALL_MM,
                bold: bool = False) -> float:  # fmt: skip
    """Words in lines that fit the width. Returns where the next line would stand."""
    x, y = at
    for each in paragraphs:
        for words in _lines(each, wide_mm, size_mm):
            pen.text((x, y), words, size_mm, bold=bold)
            y += LINE_MM * size_mm / SMALL_MM
    return y


def _lines(words: str, wide_mm: float, size_mm: float) -> list[str]:
    return textwrap.wrap(words, int(wide_mm / (size_mm * LETTER_RATIO)))


def words_of(route: Route, leads: tuple[SensorRun, ...] = ()) -> list[str]:
    """The drawing in sentences, in the order of the route."""
    way = route.way
    found = [f"The route is {way.length_mm / 1000:.1f} m long with {counted(len(way.holes), 'hole')} and "
             f"{counted(way.bends_count, 'bend')}."]  # fmt: skip
    for section in route.job.route:
        length = "length not seen" if section.length_m is None else metres(section.length_m)
        through = f", through {'; '.join(section.through)}" if section.through else ""
        found.append(f"Section {section.name}: {length}, {cable_words(section.cable)}{through}.")
    for each in leads:
        if each.way is not None:
            found.append(f"The lead of the {each.name} runs {each.way.length_mm / 1000:.1f} m.")
    return [*found, *_holes(route), *_cautions(route)]
