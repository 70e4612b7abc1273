"""Older shapes of the job file, brought up to the newest one in memory; the file itself stays as it is.

Version 1 (a file without `version`) had supply.fuse_a, supply.fuse_known_by, circuit.mcb ("B32"), and one length
and one size for the whole cable: cable_length_m and cable_mm2, at the top.
"""

from __future__ import annotations

import re
from typing import Any

from ampwright.job.faults import Path, shortened, written
from ampwright.job.record import VERSION
from ampwright.job.tree import Tree

WHOLE = "whole route"
_MOVED: tuple[tuple[Path, Path], ...] = (
    (("supply", "fuse_a"), ("supply", "cutout", "rating_a")),
    (("supply", "fuse_known_by"), ("supply", "cutout", "rating_known_by")),
    (("circuit", "mcb"), ("circuit", "device")),
    (("cable_length_m",), ("route", 0, "length_m")),
    (("cable_mm2",), ("route", 0, "cable", "size_mm2")),
)
_MCB = re.compile(r"([BCD]) ?([0-9]{1,3})")


def upgrade(tree: Tree) -> bool:
    """Bring the tree up to the newest version. False, with a fault, where the version is none of ours."""
    version = tree.value.get("version")
    if version is None:
        _from_1(tree)
    elif isinstance(version, bool) or not isinstance(version, int):
        tree.fault(("version",), f"the version is a whole number; write {VERSION}")
        return False
    elif version > VERSION:
        tree.fault(("version",), f"this file is of version {version:g} and this Ampwright reads up to {VERSION}; "
                                 "bring Ampwright up to date")  # fmt: skip
        return False
    elif version == 1:
        _from_1(tree)
    elif version < 1:
        tree.fault(("version",), f"there is no version {version:g}; write {VERSION}")
        return False
    tree.value["version"] = VERSION
    return True


def _from_1(tree: Tree) -> None:
    if any(old[0] in tree.value for old, new in _MOVED if new[0] == "route"):
        if tree.value.get("route"):
            tree.fault(("route",), "the cable is given both for the whole route and stretch by stretch; keep one")
            return
        tree.value["route"] = [{"name": WHOLE}]
    for old, new in _MOVED:
        _move(tree, old, new)


def _move(tree: Tree, old: Path, new: Path) -> None:
    holder: Any = tree.value
    for part in old[:-1]:
        holder = holder.get(part) if isinstance(holder, dict) else None
    if not isinstance(holder, dict) or old[-1] not in holder:
        return
    value = holder.pop(old[-1])
    if old[-1] == "mcb" and value is not None:
        value = _mcb(tree, old, value)
    target: Any = tree.value
    for part in new[:-1]:
        if isinstance(target, dict) and target.get(str(part)) is None:
            target[str(part)] = {}
        target = target[part]
        if not isinstance(target, dict | list):
            return
    if target.get(new[-1]) is not None:
        tree.fault(old, f"this is given twice, here and as {written(new)}; keep {written(new)}")
        return
    target[new[-1]] = value
    _move_lines(tree, old, new)


def _move_lines(tree: Tree, old: Path, new: Path) -> None:
    line = tree.lines[old]
    for length in range(1, len(new) + 1):
        tree.lines.setdefault(new[:length], line)
    tree.lines[new] = line
    below = {path: at for path, at in tree.lines.items() if path[: len(old)] == old}
    tree.lines.update({(*new, *path[len(old) :]): at for path, at in below.items()})


def _mcb(tree: Tree, path: Path, value: Any) -> Any:
    """ "B32" -> its three fields."""
    found = _MCB.fullmatch(value.strip()) if isinstance(value, str) else None
    if found is None:
        tree.fault(path, f"'{shortened(str(value))}' is not understood; write the curve and the rating, as in B32")
        return None
    return {"kind": "mcb", "curve": found[1], "rating_a": int(found[2])}
