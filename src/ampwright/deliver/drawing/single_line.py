"""The single-line diagram: from the network to the charge point, in boxes, with the sensors beside."""

from __future__ import annotations

from ampwright.assess.route.routes import Route
from ampwright.deliver.drawing.pen import XY, Pen
from ampwright.job.record import Cable, Device, Job, Rcd
from ampwright.reading import Reading

BOX_WIDE_MM, BOX_TALL_MM, LINE_MM, STEP_MM, LEAST_STEP_MM, APART_MM = 48.0, 11.0, 2.9, 16.5, 12.5, 5.6
WATCHED_AT = {"grid": "meter", "car": "charge point"}
Frame = tuple[float, float, float, float]


def draw_single_line(pen: Pen, route: Route, frame: Frame) -> float:
    """A route's circuit, from the top of the frame down. Not to scale. Returns its foot."""
    job = route.design.job if route.design else route.job
    rows = rows_of(job, route)
    pen.begin("Single-line diagram, from the network down to the charge point")
    pen.text((frame[0], frame[1] + 2), "SINGLE LINE (not to scale)", 3.4, bold=True)
    middle, y = frame[0] + BOX_WIDE_MM / 2, frame[1] + 6
    step = max(min((frame[3] - y - BOX_TALL_MM) / max(len(rows) - 1, 1), STEP_MM), LEAST_STEP_MM)
    for number, (boxed, lines) in enumerate(rows):
        at = y + number * step
        if number:
            pen.line([(middle, at - step + BOX_TALL_MM), (middle, at)], 0.5)
        if boxed:
            pen.box((frame[0], at), (frame[0] + BOX_WIDE_MM, at + BOX_TALL_MM), 0.5)
            for place, words in enumerate(lines[:3]):
                pen.text((middle, at + 3.2 + place * LINE_MM), words, 2.6, "middle", bold=not place)
            _beside(pen, job, lines[0], (frame[0] + BOX_WIDE_MM, at + BOX_TALL_MM / 2))
        else:
            pen.line([(middle, at), (middle, at + BOX_TALL_MM)], 0.5)
            pen.line([(middle - 1.2, at + 6.2), (middle + 1.2, at + 3.8)], 0.3)
            for place, words in enumerate(lines):
                pen.text((middle + 2.5, at + 4 + place * LINE_MM), words, 2.6)
    pen.end()
    return y + (len(rows) - 1) * step + BOX_TALL_MM


def rows_of(job: Job, route: Route) -> list[tuple[bool, list[str]]]:
    """What stands in a box, and between boxes the cable of each section, in order."""
    supply, rating = job.supply, job.supply.cutout.rating_a
    phases = f"{supply.phases} phase{'s' if supply.phases != 1 else ''}" if supply.phases else "phases not seen"
    rows: list[tuple[bool, list[str]]] = [
        (True, ["supply", f"{phases}, {supply.earthing or 'earthing not seen'}", f"{supply.declared_v:g} V"]),
        (True, ["cut-out", f"fuse {said(rating, 'A')}"]),
        (True, ["meter"]),
        (True, ["board", f"main switch {said(job.installation.main_switch_a, 'A')}", *_electrode(job)]),
        (True, ["circuit", *_device(job.circuit.device, job.circuit.rcd)]),
    ]
    for section in route.job.route:
        length = "length not seen" if section.length_m is None else metres(section.length_m)
        rows.append((False, [cable_words(section.cable), f"{section.name.split(': ')[-1]}, {length}"]))
    rated = f"{job.charge_point.rated_a:g} A" if job.charge_point.rated_a else "rating not said"
    rows.append((True, ["charge point", f"{rated}, open PEN: {job.charge_point.open_pen or 'not said'}"]))
    if job.circuit.earthed_by == "own electrode":
        rows.append((True, ["earth electrode"]))
    return rows


def _electrode(job: Job) -> list[str]:
    """An electrode that is not the circuit's own, which stands below the charge point."""
    by = job.circuit.earthed_by
    if not job.electrode.fitted or by == "own electrode":
        return []
    return ["earth electrode of the installation" if by == "supply" else "earth electrode: of what, not said"]


def cable_words(cable: Cable) -> str:
    """A cable as on paper; "cable not chosen" while nothing says."""
    if cable.kind is None or cable.size_mm2 is None:
        return "cable not chosen"
    cores = f"{cable.cores_count} x " if cable.cores_count else ""
    kind = cable.kind.replace("_", " ").replace("70c", "70 °C").replace("90c", "90 °C")
    return f"{cores}{cable.size_mm2:g} mm² {kind}"


def said(reading: Reading | None, unit: str) -> str:
    """A reading with its unit, or that nobody looked."""
    if reading is None:
        return "not seen"
    return f"{reading.ends} {unit}"


def metres(length_m: Reading) -> str:
    """A length to a centimetre, as far as it is known."""
    low, high = f"{length_m.low:.2f}", f"{length_m.high:.2f}"
    return f"{low} m" if low == high else f"{low} to {high} m"


def _device(device: Device, rcd: Rcd) -> list[str]:
    kind = (device.kind or "device not chosen").upper().replace("_", "-")
    lines = [f"{kind} {device.curve or ''}{device.rating_a or 0:g}" if device.rating_a else kind]
    if rcd.fitted:
        lines.append(f"RCD type {rcd.type or '?'}, {rcd.idn_ma or 0:g} mA")
    return lines


def _beside(pen: Pen, job: Job, box: str, at: XY) -> None:
    """What stands beside a box: solar and battery on their own lines, and each sensor on the line that it watches."""
    sources = [(kind, what) for kind, what, fed in _sources(job) if box == fed]
    beside = [each for each in job.sensors if box == WATCHED_AT.get(each.watches)]
    count = len(sources) + len(beside)
    for number, (kind, what) in enumerate(sources):
        y = at[1] + (number - (count - 1) / 2) * APART_MM
        pen.line([at, (at[0] + 2, y), (at[0] + 9, y)], 0.35)
        seen = [each for each in job.sensors if each.watches == kind]
        if seen:
            pen.dot((at[0] + 5, y), 1.2, title=f"sensor: {seen[0].name}")
        lines = [what, *(f"{each.name} ({each.link or 'link not said'})" for each in seen)]
        for place, words in enumerate(lines):
            pen.text((at[0] + 10, y + 0.9 + (place - (len(lines) - 1) / 2) * LINE_MM), words, 2.4)
    for number, each in enumerate(beside, start=len(sources)):
        y = at[1] + (number - (count - 1) / 2) * APART_MM
        pen.line([at, (at[0] + 4, y)], 0.25, "0.8 0.6")
        pen.dot((at[0] + 5.2, y), 1.2, title=f"sensor: {each.name}")
        pen.text((at[0] + 7, y + 0.9), f"{each.name} ({each.link or 'link not said'})", 2.4)


def _sources(job: Job) -> list[tuple[str, str, str]]:
    """Solar and battery: what a sensor on it watches, in words, and the box that it is fed from."""
    found = []
    for kind, name, each in (("generation", "solar", job.generation), ("storage", "battery", job.storage)):
        if each.fitted:
            rating = "" if each.inverter_a is None else f", {said(each.inverter_a, 'A')}"
            found.append((kind, f"{name}{rating}", "circuit" if each.on_charge_point_circuit else "board"))
    return found
