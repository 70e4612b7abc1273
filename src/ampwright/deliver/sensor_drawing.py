"""The single-line with its sensors, as SVG: from the street on the left, each branch on a row of its own."""

from __future__ import annotations

from html import escape
from textwrap import wrap

from ampwright.assess.sensors.placement import Placement, Plan
from ampwright.assess.sensors.singleline import HOME_OF, METER, SHARED, SingleLine, Stretch

COLUMN_PX, ROW_PX, LEFT_PX, TOP_PX, BOX_W_PX, BOX_H_PX = 230, 96, 24, 60, 118, 44
NOTES_W_PX, BEND_PX, RINGS_PX = 560, 22, 68  # room for three rings on the tails, before branches part
INK, PAPER, SENSOR = "#1d2733", "#f6f4ee", "#9a3412"
LEAF_WORDS = {"car": "charge point", "solar": "inverter", "battery": "battery"}
Spot = tuple[int, int]


def drawing(plan: Plan) -> str:
    """SVG text with a title and a description that says in words what is drawn."""
    spots = _spots(plan.tree)
    width = LEFT_PX + max(_middle(spot)[0] for spot in spots.values()) + BOX_W_PX // 2
    rows = max(row for _, row in spots.values()) + 1
    notes = [_note(number, each) for number, each in enumerate(plan.placements, start=1)]
    width = max(width, NOTES_W_PX)
    lines = [line for each in notes for line in wrap(each, (width - 2 * LEFT_PX) // 9)]
    height = TOP_PX + rows * ROW_PX + 24 * len(lines) + 24
    body = [_wire(spots, each) for each in _drawn(plan.tree)]
    body += [_box(name, spot) for name, spot in spots.items()]
    body += _sensors(plan, spots)
    body += [f'<text x="{LEFT_PX}" y="{TOP_PX + rows * ROW_PX + 24 * number}" font-size="17">{escape(text)}</text>'
             for number, text in enumerate(lines)]  # fmt: skip
    described = " ".join([_described(plan.tree), *(f"{text}." for text in notes)])
    joined = "\n".join(body)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" role="img" '
        f'aria-labelledby="sensors-title sensors-desc" font-family="Inter, Arial, sans-serif" font-size="14" '
        f'fill="{INK}">\n<title id="sensors-title">Where the sensors go on the single-line</title>\n'
        f'<desc id="sensors-desc">{escape(described)}</desc>\n'
        f'<rect width="{width}" height="{height}" fill="{PAPER}"/>\n{joined}\n</svg>\n'
    )


def _spots(tree: SingleLine) -> dict[str, Spot]:
    """Column and row of every box: children to the right, the first child on its parent's row."""
    children: dict[str, list[str]] = {}
    for stretch in tree.stretches:
        if stretch.end in LEAF_WORDS:
            children.setdefault(stretch.start, []).append(stretch.end)
    for name, parent in tree.parents.items():
        children.setdefault(parent, []).insert(0, name)
    spots: dict[str, Spot] = {}
    _lay(METER, 0, 0, children, spots)
    return spots


def _lay(name: str, column: int, row: int, children: dict[str, list[str]], spots: dict[str, Spot]) -> int:
    """Place a box and what hangs on it; the first free row is returned."""
    spots[name] = (column, row)
    below = row
    for number, child in enumerate(children.get(name, [])):
        below = _lay(child, column + 1, below if number == 0 else max(below, row + 1), children, spots)
    return max(below, row + 1)


def _drawn(tree: SingleLine) -> list[tuple[str, str]]:
    leaves = [(each.start, each.end) for each in tree.stretches if each.end in LEAF_WORDS]
    return [*((parent, name) for name, parent in tree.parents.items()), *leaves]


def _wire(spots: dict[str, Spot], ends: tuple[str, str]) -> str:
    (x1, y1), (x2, y2) = (_middle(spots[each]) for each in ends)
    bend = x1 + BOX_W_PX // 2 + BEND_PX + (RINGS_PX if ends[0] == METER else 0)
    return (f'<path d="M{x1 + BOX_W_PX // 2} {y1} H{bend} V{y2} H{x2 - BOX_W_PX // 2}" fill="none" stroke="{INK}" '
            'stroke-width="2.5"/>')  # fmt: skip


def _box(name: str, spot: Spot) -> str:
    x, y = _middle(spot)
    words = {METER: "cut-out and meter", SHARED: "shared circuit"}.get(name, LEAF_WORDS.get(name, name))
    return (f'<rect x="{x - BOX_W_PX // 2}" y="{y - BOX_H_PX // 2}" width="{BOX_W_PX}" height="{BOX_H_PX}" rx="4" '
            f'fill="#ffffff" stroke="{INK}" stroke-width="1.5"/>'
            f'<text x="{x}" y="{y + 5}" text-anchor="middle" font-size="13">{escape(words)}</text>')  # fmt: skip


def _sensors(plan: Plan, spots: dict[str, Spot]) -> list[str]:
    """A ring round each conductor with its number and an arrow that points the way the sensor faces."""
    found, on = [], dict[str, int]()
    for number, placement in enumerate(plan.placements, start=1):
        if placement.stretch is None:
            continue
        beside = on[placement.stretch.name] = on.get(placement.stretch.name, -1) + 1
        x, y = _ring_at(plan.tree, placement.stretch, spots)
        x += 24 * beside if placement.stretch.name == HOME_OF["grid"] else -24 * beside
        away = placement.clamp.sensor.watches in ("grid", "car")
        tip, tail = (x + 12, x - 12) if away else (x - 12, x + 12)
        barb = -5 if away else 5
        found.append(
            f'<g stroke="{SENSOR}" stroke-width="2" fill="none"><ellipse cx="{x}" cy="{y}" rx="7" ry="14"/>'
            f'<path d="M{tail} {y - 22} H{tip} m{barb} -4 L{tip} {y - 22} l{barb} 4"/></g>'
            f'<text x="{x}" y="{y + 32}" text-anchor="middle" font-weight="bold" fill="{SENSOR}">{number}</text>'
        )
    return found


def _ring_at(tree: SingleLine, stretch: Stretch, spots: dict[str, Spot]) -> Spot:
    """On the wire into its far end; on the tails right after the meter."""
    if stretch.name == HOME_OF["grid"]:
        x, y = _middle(spots[METER])
        return x + BOX_W_PX // 2 + BEND_PX, y
    x, y = _middle(spots[stretch.end])
    return x - BOX_W_PX // 2 - 20, y


def _middle(spot: Spot) -> Spot:
    column, row = spot
    beyond = RINGS_PX if column else 0
    return LEFT_PX + column * COLUMN_PX + beyond + BOX_W_PX // 2, TOP_PX + row * ROW_PX + BOX_H_PX // 2


def _note(number: int, placement: Placement) -> str:
    clamp = placement.clamp
    if placement.stretch is None:
        return f"{number}  {clamp.name}: no place for it on this single-line"
    return f"{number}  {clamp.name}: {clamp.line} of {placement.stretch.words}; arrow {placement.arrow}"


def _described(tree: SingleLine) -> str:
    joins = [f"{LEAF_WORDS.get(end, end)} is fed from {'the meter' if start == METER else start}"
             for start, end in _drawn(tree)]  # fmt: skip
    return f"A supply of {tree.phases_count} phase(s): {'; '.join(joins)}."
