"""A small catalogue, one row an axis, and a way to change it."""

from collections.abc import Iterable, Mapping

from ampwright.assess.catalogue import SORT

Cells = Mapping[str, str]
Rows = Mapping[str, Cells]

CABLE = ("route[].cable.kind=armoured_90c; route[].cable.size_mm2=6; route[].cable.cores_count=3; "
         "route[].cable.cpc=core; route[].cable.cpc_mm2=none; route[].cable.carries_data=false")  # fmt: skip
SMALLEST: dict[str, dict[str, str]] = {
    "labour": {"pence": "4000"},
    "always": {"pence": "100", "minutes": "10"},
    "charging": {"sets": "charge_point.rated_a=32; charge_point.set_a=none; charge_point.phases=1"},
    "protection": {"sets": "circuit.device.rating_a=40"},
    "earthing": {"sets": "electrode.rod_length_m=1.2; charge_point.open_pen=none; electrode.measured_ohm=none"},
    "load cap": {},
    "tails": {"offered_where": "supply.tails.size_mm2<25"},
    "main switch": {"sets": "installation.main_switch_a=100"},
    "board": {},
    "cable": {"sets": CABLE, "offered_where": "route[].method=C|D", "pence_per_m": "310"},
    "joint": {},
    "main bonding": {},
    "trench": {},
}


def written(changes: Rows | None = None, more: Iterable[tuple[str, Cells]] = (), leave: Iterable[str] = ()) -> str:
    """A small catalogue, one row an axis from line 2 on; `more` are further rows, (axis, cells)."""
    cells = {axis: {**row, **(changes or {}).get(axis, {})} for axis, row in SMALLEST.items() if axis not in leave}
    lines = [",".join(SORT.columns)]
    for number, (axis, row) in enumerate([*cells.items(), *more], start=2):
        whole = {"axis": axis, "id": f"row {number}", "words": "as said", **row}
        lines.append(",".join(f'"{whole.get(column, "")}"' for column in SORT.columns))
    return "\n".join(lines)
