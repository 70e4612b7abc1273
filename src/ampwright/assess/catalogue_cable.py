"""What a row of axis cable may not be: one that nobody could judge, or that moves a stretch out of the ground."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from ampwright.assess.catalogue_cells import Condition
from ampwright.rules.gb.parts.carrying import BURIED
from ampwright.rules.gb.parts.loop import ARMOURED

HERE = "route[].cable"
METHOD = "route[].method"
NEVER_NONE = {f"{HERE}.kind": "its kind", f"{HERE}.size_mm2": "its size", f"{HERE}.cpc": "what its earth is"}


def cable_misses(sets: Mapping[str, Any], offered_where: Sequence[Condition]) -> Iterator[tuple[str, str]]:
    """The columns in which a cable's row is at fault, with the fault in the electrician's words."""
    for path, words in NEVER_NONE.items():
        if path in sets and sets[path] is None:
            yield "sets", f"a cable must say {words}; {path} cannot be none"
    kind, cpc = sets.get(f"{HERE}.kind"), sets.get(f"{HERE}.cpc")
    if kind in ARMOURED and f"{HERE}.cores_count" in sets and sets[f"{HERE}.cores_count"] is None:
        yield "sets", f"an armoured cable must say how many cores it has; {HERE}.cores_count cannot be none"
    if kind is not None and kind not in ARMOURED and cpc in ("armour", "core and armour"):
        yield "sets", f"this kind of cable has no armour that could be its earth; {HERE}.cpc cannot be {cpc}"
    singles = kind is not None and kind.startswith("singles") and cpc == "core"
    if singles and f"{HERE}.cpc_mm2" in sets and sets[f"{HERE}.cpc_mm2"] is None:
        yield "sets", f"single cores must say the size of their earth; {HERE}.cpc_mm2 cannot be none"
    if METHOD in sets:
        yield from _method_misses(sets[METHOD], offered_where)


def _method_misses(method: Any, offered_where: Sequence[Condition]) -> Iterator[tuple[str, str]]:
    """A cable that says how it is laid: it may neither bury a stretch nor bring a buried one up."""
    if method is None:
        yield "sets", f"{METHOD} cannot be none: say how this cable is laid, or leave it to the job"
    elif method in BURIED:
        yield "sets", f"a cable does not bury a stretch: leave {METHOD} to the job, whose trench is priced"
    elif any(all(each.holds(buried) for each in offered_where if each.path == METHOD) for buried in BURIED):
        yield "offered_where", (f"this is laid by method {method} and would be had where the stretch is buried; "
                                f"leave {'|'.join(BURIED)} out of {METHOD}")  # fmt: skip
