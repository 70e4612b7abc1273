"""Routes, holes and what is wrong with a sketch, as text for a terminal."""

from __future__ import annotations

import textwrap

from ampwright.assess.route.holes import SEAL, Hole
from ampwright.assess.route.needs import Needs
from ampwright.assess.route.routes import Route, Routes, SensorRun
from ampwright.assess.route.search import Way
from ampwright.deliver.design_screen import price_words
from ampwright.deliver.figures import WAYS
from ampwright.deliver.screen import WIDTH, counted, step_lines, wrapped
from ampwright.facts import look_up_text
from ampwright.job.fields import in_words
from ampwright.job.record import Section
from ampwright.reading import Reading
from ampwright.rules.gb.parts.carrying import BURIED
from ampwright.working import Verdict, capital

INDENT = 4
CAUTIONS = ("drilling", "gas", "buried_services", "asbestos", "dust")
PROPOSAL = ("A route is a proposal drawn on what was measured; look, scan and ask before anything is drilled or "
            "dug.")  # fmt: skip
AMONG_FEW = ("Designs of all but the first were sought among what came out best for the first; another may be cheaper "
             "by a little: --whole-catalogue searches all of it for each.")  # fmt: skip


def routes_text(routes: Routes, *, working: bool = False, whose: str = WAYS[False, False]) -> str:
    """Every route with its sections, holes and design; the sensors' runs; what the sketch leaves open; the cautions.

    `whose` says whose efforts and bits were used.
    """
    title = routes.job.title or routes.job.reference or "This job"
    several = (f"\n{counted(len(routes.found), 'way')} from the board to the charge point that differ in kind, least "
               "effort first." if routes.found else "")  # fmt: skip
    blocks = [f"{title}{several}"]
    blocks += [route_text(number, each, working=working) for number, each in enumerate(routes.found, start=1)]
    blocks += _typed(routes)
    if routes.sensors:
        lines = (line for each in routes.sensors for line in _sensor(each))
        blocks.append("\n".join(["SENSORS TO THE CHARGE POINT", *lines]))
    if routes.remarks:
        lines = (line for each in routes.remarks for line in wrapped(each, INDENT))
        blocks.append("\n".join(["LEFT OPEN", *lines]))
    if any(each.holes for each in routes.found):
        blocks.append(textwrap.fill(f"EVERY HOLE: {SEAL}", WIDTH))
    cautions = [look_up_text("gb/cautions", "text", id=each) for each in CAUTIONS]
    blocks.append("\n".join(line for each in cautions for line in textwrap.wrap(f"CAUTION: {each}", WIDTH)))
    notes = [AMONG_FEW] if any(each.needs.among_few for each in routes.found) else []
    return "\n\n".join([*blocks, *(textwrap.fill(each, WIDTH) for each in (*notes, f"{whose} {PROPOSAL}"))])


def route_text(number: int, route: Route, *, working: bool = False) -> str:
    """One route."""
    way = route.way
    lines = [f"{number}. {way_says(way)}"]
    lines += _sections(route.job.route)
    gas = route.job.site.gas.pipe_to_cable_mm
    if gas is not None and any(each.kind == "gas" for each in route.job.sketch.services):
        lines += wrapped(f"Nearest gas pipe drawn: {gas.low:.0f} mm from the cable.", INDENT)
    lines += _design(route.needs)
    for hole in route.holes:
        lines += hole_lines(hole, working=working)
    return "\n".join(lines)


def way_says(way: Way) -> str:
    """How long a way is, how often it turns and goes through, and how long it takes."""
    return (f"{way.length_mm / 1000:.1f} m, {counted(len(way.holes), 'hole')}, "
            f"{counted(way.bends_count, 'bend')}, about {way.effort_min / 60:.1f} h to lay")  # fmt: skip


def _sections(sections: tuple[Section, ...]) -> list[str]:
    return [line for each in sections_says(sections) for line in wrapped(each, INDENT)]


def sections_says(sections: tuple[Section, ...]) -> list[str]:
    """Each stretch in a sentence."""
    lines: list[str] = []
    for section in sections:
        method = f"method {section.method}" if section.method else "method not yet said"
        through = f"; through {'; '.join(section.through)}" if section.through else ""
        depth = f", {_depth(section.depth_m)}" if section.method in BURIED else ""
        lines.append(f"{section.name}: {_metres(section.length_m)}, {method}{depth}{through}")
    return lines


def _typed(routes: Routes) -> list[str]:
    """The route that the job has already, typed by hand or put there from a sketch."""
    if routes.typed is None:
        return []
    known = [each.length_m for each in routes.job.route if each.length_m is not None]
    total = _metres(Reading(sum(each.low for each in known), sum(each.high for each in known)))
    some = "" if len(known) == len(routes.job.route) else ", as far as lengths are known"
    head = f"THE ROUTE THAT THE JOB HAS: {total} in {counted(len(routes.job.route), 'stretch', 'stretches')}{some}"
    return ["\n".join([head, *_sections(routes.job.route), *_design(routes.typed)])]


def _design(needs: Needs) -> list[str]:
    design, proposal = needs.design, needs.proposal
    if design is not None and proposal is not None:
        why = proposal.best[0][0]
        still = [f"{check.asks} It hangs on {' and '.join(map(in_words, check.needs))}."
                 for check in design.assessment.checks if check.verdict is Verdict.NOT_YET_KNOWN]  # fmt: skip
        standing = f"{design.standing} what is open turns out well:" if still else f"{design.standing}."
        said = f"Needs {why}: {design.words}. {price_words(design.price)} with VAT; {standing}"
        return [line for each in (said, *(f"- {each}" for each in still)) for line in wrapped(each, INDENT)]
    if needs.why_none:
        return [line for each in needs.why_none.splitlines() for line in wrapped(f"No design sought: {each}", INDENT)]
    return wrapped("No design of the catalogue stands on this route.", INDENT) if proposal is not None else []


def hole_lines(hole: Hole, *, working: bool = False) -> list[str]:
    """One hole for a terminal."""
    lines = [line for each in hole_says(hole) for line in wrapped(each, INDENT + 2)]
    if working:
        lines += [" " * (INDENT + 4) + line for step in hole.working for line in step_lines(step)]
    return lines


def hole_says(hole: Hole) -> list[str]:
    """One hole: where, how long, with what, and the bends at its ends."""
    fall = f"falling {hole.fall_deg:g}° to the outside" if hole.fall_deg else "level"
    length = _mm(hole.length_mm)
    drop = f"{hole.drop_mm:.0f} mm below the entry" if hole.fall_deg else "level with the entry"
    says = [f"{capital(hole.name)}, {fall}: {length} long. Enter {hole.entry.set_out}.",
            f"Break out {hole.breakout.set_out}, {drop}, give or take {hole.error_mm:.0f} mm.",
            tools(hole), *dict.fromkeys(bend.rule for bend in hole.bends),
            *(bend.says for bend in hole.bends)]  # fmt: skip
    return [*says, *warnings(hole)]


def warnings(hole: Hole) -> list[str]:
    """What comes near a hole, or lies at its ends: for the text and for the drawing."""
    return [*(each.says for each in hole.near), *hole.behind]


def tools(hole: Hole) -> str:
    """The bits and the sleeve for a hole, or what must be known first."""
    if hole.cable_mm is None:
        return "No table has this cable's diameter: measure the cable, then choose the sleeve and the bit."
    cable = f"For a cable of {hole.cable_mm:g} mm"
    if hole.sleeve_mm is None or hole.bit_mm is None or hole.pilot_mm is None:
        return f"{cable}: no listed bit is wide or long enough: find a longer bit, or core the hole."
    return (f"{cable}: pilot {hole.pilot_mm:g} mm right through, then {hole.bit_mm:g} mm with at least "
            f"{hole.length_mm.high:.0f} mm usable (a usual bit has {hole.bit_usable_mm:g} mm), from both sides at the "
            f"last so that the face does not burst; sleeve of {hole.sleeve_mm:g} mm.")  # fmt: skip


def _sensor(run: SensorRun) -> list[str]:
    return wrapped(sensor_says(run), INDENT)


def sensor_says(run: SensorRun) -> str:
    """The way of one sensor's lead, in a sentence."""
    if run.way is None:
        return f"{run.name}: {run.says}."
    long_m, typed = run.way.length_mm / 1000, ""
    if run.typed_m is not None:
        low, high = run.typed_m
        said = f"{low:g} m" if low == high else f"{low:g} to {high:g} m"
        typed = f"; the job gives its lead {said}"
        if high < long_m:
            typed += ", which ends short: count on a data pair in the charge point's cable for the rest, or correct it"
    return (f"{run.name}: {long_m:.1f} m, {counted(len(run.way.holes), 'hole')}, "
            f"{counted(run.way.bends_count, 'bend')}{typed}.")  # fmt: skip


def _metres(length_m: Reading | None) -> str:
    if length_m is None:
        return "length not known"
    low, high = f"{length_m.low:.2f}", f"{length_m.high:.2f}"
    return f"{low} m" if low == high else f"{low} to {high} m"


def _depth(depth_m: Reading | None) -> str:
    return "depth not known" if depth_m is None else f"{_metres(depth_m)} deep"


def _mm(length_mm: Reading) -> str:
    return f"{length_mm.low:.0f} mm" if length_mm.exact else f"{length_mm.low:.0f} to {length_mm.high:.0f} mm"
