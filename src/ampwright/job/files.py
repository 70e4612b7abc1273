"""The door of the job file: read it, write it, publish its shape. pydantic is in shape.py, ruamel.yaml in tree.py."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

from ampwright.facts import rows
from ampwright.job import half_hourly, intake, mpan
from ampwright.job.faults import BadJobFile, Fault, shortened
from ampwright.job.fields import bare, hints, item_of
from ampwright.job.paths import replaced
from ampwright.job.record import HalfHourly, Job
from ampwright.job.schema import schema
from ampwright.job.tree import Tree, plant
from ampwright.job.upgrades import upgrade
from ampwright.job.words import misfit, unknown_field
from ampwright.job.writing import dump

__all__ = ["LARGEST_BYTES_COUNT", "BadJobFile", "Fault", "built", "dump", "load", "parse", "schema", "values_of"]

LARGEST_BYTES_COUNT = 1024 * 1024
MPRN_COUNT = 11


def load(path: Path) -> Job:
    """Read the job in a file, which is never changed. Raises BadJobFile with everything that is wrong with it."""
    try:
        return parse(_text(path), path.parent)
    except BadJobFile as bad:
        raise BadJobFile(bad.faults, str(path)) from bad


def parse(text: str, folder: Path | None = None) -> Job:
    """Read a job from YAML text; half-hourly readings are looked for in `folder`, and left unread without one.

    Raises BadJobFile with all faults at once.
    """
    if len(text.encode("utf-8", "replace")) > LARGEST_BYTES_COUNT:
        raise BadJobFile((_TOO_LARGE,))
    return _judged(plant(text), folder)


def built(values: dict[str, Any]) -> Job:
    """The job that plain values stand for, in the shape that a job file has. Raises BadJobFile as `parse` does."""
    return _judged(Tree(copy.deepcopy(values)), None)


def values_of(job: Job) -> dict[str, Any]:
    """The plain values of a job, as its file holds them: `built` makes an equal job of them."""
    values: dict[str, Any] = plant(dump(job)).value
    return values


def _judged(tree: Tree, folder: Path | None) -> Job:
    if not isinstance(tree.value, dict):
        _no_fields(tree)
    elif upgrade(tree):
        settled = intake.settle(tree, Job)
        _check_edition(tree, settled)
        _check_mpan(tree, _below(settled, "site"))
        _check_contradictions(tree, settled)
        readings = _readings(tree, _below(settled, "installation", "half_hourly"), folder)
        job = _built(tree, settled)
        if job is not None and not tree.faults:
            return job if readings is None else replaced(job, "installation.half_hourly", readings)
    raise BadJobFile(tuple(tree.faults))


_TOO_LARGE = Fault(None, "", "the file is over 1 MiB, and a job file is a few pages; is it the right file?")


def _text(path: Path) -> str:
    try:
        if path.is_dir():
            raise _alone("this is a folder; name the job file in it")
        if not path.exists():
            raise _alone("there is no such file; check the name and the folder")
        if not path.is_file():
            raise _alone("this is not a plain file")
        with path.open("rb") as file:
            held = file.read(LARGEST_BYTES_COUNT + 1)
    except PermissionError as wrong:
        raise _alone("the file may not be read; ask its owner for leave, or copy it") from wrong
    except (OSError, ValueError) as wrong:
        raise _alone("the file cannot be opened; check its name and the disk") from wrong
    if len(held) > LARGEST_BYTES_COUNT:
        raise BadJobFile((_TOO_LARGE,))
    try:
        return held.decode("utf-8-sig")
    except UnicodeDecodeError as wrong:
        line = held.count(b"\n", 0, wrong.start) + 1
        says = "this is not UTF-8 text; save the file as plain text in UTF-8"
        raise BadJobFile((Fault(line, "", says),)) from wrong


def _alone(says: str) -> BadJobFile:
    return BadJobFile((Fault(None, "", says),))


def _no_fields(tree: Tree) -> None:
    if tree.faults:
        return
    if tree.value is None:
        tree.at_line(None, "the file is empty; begin with version: 2 and the fields you know")
    else:
        tree.at_line(1, "a job file is a list of fields, each a name, a colon, a space and its value")


def _built(tree: Tree, settled: Any) -> Job | None:
    from pydantic_core import ValidationError

    from ampwright.job.shape import judge

    try:
        job: Job = judge().validate_json(json.dumps(settled))
    except ValidationError as wrong:
        for error in wrong.errors(include_url=False, include_context=False):
            _translate(tree, error["loc"], error["type"], error["input"])
        return None
    return job


def _translate(tree: Tree, path: tuple[str | int, ...], kind: str, value: Any) -> None:
    if kind == "missing":
        tree.fault(path, "this must be given; without it nothing else here has a name or a place")
    elif kind == "unexpected_keyword_argument":
        tree.fault(path, unknown_field(str(path[-1]), hints(_hint(path[:-1]))))
    else:
        tree.fault(path, misfit(_hint(path), value))


def _hint(path: tuple[str | int, ...]) -> Any:
    """The declared type at a path, without its "or None"."""
    here: Any = Job
    for part in path:
        here = bare(item_of(here) if isinstance(part, int) else hints(here)[part])
    return here


def _below(settled: Any, *names: str) -> dict[str, Any]:
    """The fields of a group, or none where something else stands there."""
    for name in names:
        settled = settled.get(name) if isinstance(settled, dict) else None
    return settled if isinstance(settled, dict) else {}


def _check_edition(tree: Tree, settled: Any) -> None:
    named = _below({"job": settled}, "job").get("edition")
    known = [row["edition"] for row in rows("gb/editions")]
    if isinstance(named, str) and named not in known:
        tree.fault(("edition",), f"the book knows no edition {named!r}; write {' or '.join(known)}, or leave it out")


def _readings(tree: Tree, typed: dict[str, Any], folder: Path | None) -> HalfHourly | None:
    """What the file of half-hourly readings says; a fault where the job says otherwise."""
    name = typed.get("csv")
    if folder is None or not isinstance(name, str):
        return None
    where = ("installation", "half_hourly")
    try:
        read = half_hourly.read(folder, name)
    except half_hourly.BadReadings as bad:
        tree.faults += [Fault(tree.line((*where, "csv")), "installation.half_hourly.csv", says) for says in bad.says]
        return None
    for each, said in typed.items():
        found = getattr(read, each)
        said = tuple(said) if isinstance(said, list) else said
        if said not in (None, ()) and said != found:
            tree.fault((*where, each), f"the file of readings gives {_plain(found)} and not {_plain(said)}; "
                                       "take this line out and let the file speak")  # fmt: skip
    return read


def _plain(value: Any) -> str:
    if isinstance(value, tuple):
        return f"months {', '.join(str(each) for each in value)}"
    return f"{value:g}" if isinstance(value, int | float) else shortened(str(value))


def _check_contradictions(tree: Tree, settled: Any) -> None:
    """Two fields that cannot both be true: whoever typed them knows which is wrong."""
    device, rcd = _below(settled, "circuit", "device"), _below(settled, "circuit", "rcd")
    if device.get("kind") == "rcbo" and rcd.get("fitted") is False:
        tree.fault(("circuit", "rcd", "fitted"),
                   "an RCBO has an RCD inside; write true and describe it here, or write kind: mcb")  # fmt: skip
    generation = _below(settled, "generation")
    if generation.get("part_of_this_job") is True and generation.get("fitted") is False:
        tree.fault(("generation", "fitted"), "generation put up in this job is fitted; write true, or take out "
                                             "part_of_this_job")  # fmt: skip
    charge_point = _below(settled, "charge_point")
    set_a, rated_a = charge_point.get("set_a"), charge_point.get("rated_a")
    if isinstance(set_a, int | float) and isinstance(rated_a, int | float) and set_a > rated_a:
        says = f"the setting, {set_a:g} A, is above the rating, {rated_a:g} A; correct whichever is wrong"
        tree.fault(("charge_point", "set_a"), says)


def _check_mpan(tree: Tree, site: dict[str, Any]) -> None:
    number = site.get("mpan")
    if not isinstance(number, str):
        return
    if site.get("nation") == "Northern Ireland" and number.isdecimal() and len(number) == MPRN_COUNT:
        return
    try:
        mpan.core(number)
    except mpan.BadMpan as bad:
        tree.fault(("site", "mpan"), str(bad))
