"""A job file that is a copy of a job on a server: its first line says of which, and as it stood when."""

from __future__ import annotations

import hashlib
import json
import os
import re
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ampwright.deliver.store.values import lists
from ampwright.job.fields import fields
from ampwright.job.paths import pattern_of

_STAMP = re.compile(r"# Ampwright: job ([0-9a-f]{16}) at (\S+), change (\d{1,15})")


@dataclass(frozen=True, slots=True)
class Stamp:
    """Which job of which server a file is a copy of, and after which change."""

    job: str
    server: str
    change: int

    def __str__(self) -> str:
        return f"# Ampwright: job {self.job} at {self.server}, change {self.change}"


def parted(text: str) -> tuple[Stamp | None, str]:
    """The stamp of a file's text, if its first line is one, and the rest."""
    first, _, rest = text.partition("\n")
    found = _STAMP.fullmatch(first.strip())
    return (Stamp(found[1], found[2], int(found[3])), rest) if found else (None, text)


def stamped(stamp: Stamp, text: str) -> str:
    """The text with this stamp in place of what it had."""
    return f"{stamp}\n{parted(text)[1]}"


def differences(old: dict[str, Any], new: dict[str, Any]) -> dict[str, Any]:
    """What to set, by path, to make one record's values of another's."""
    names = [name for name in {**old, **new} if name != "version"]
    return {path: value for name in names for path, value in _differ(name, old.get(name), new.get(name))}


def _differ(path: str, old: Any, new: Any) -> Iterator[tuple[str, Any]]:
    if old == new:
        return
    pattern = pattern_of(path)
    if pattern in fields():
        yield path, new
    elif pattern in lists():
        before, after = old or [], new or []
        if len(after) < len(before):
            yield path, new or None
            return
        for number, item in enumerate(after):
            here = f"{path}[{number}]"
            yield from _differ(here, before[number], item) if number < len(before) else ((here, item),)
    else:
        before, after = old or {}, new or {}
        for name in {**before, **after}:
            yield from _differ(f"{path}.{name}", before.get(name), after.get(name))


def operation_of(*what: Any) -> str:
    """An id that the same work has whenever it is sent, so that sending it again changes nothing."""
    return hashlib.sha256(json.dumps(what, sort_keys=True).encode()).hexdigest()[:40]


def write(file: Path, text: str) -> None:
    """Write a file whole or not at all."""
    handle, name = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as held:
            held.write(text)
            held.flush()
            os.fsync(held.fileno())
        mode = file.stat().st_mode & 0o777 if file.exists() else 0o644
        os.chmod(name, mode)
        os.replace(name, file)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def set_aside(file: Path) -> Path:
    """Keep a copy of a file beside it under a name that is free."""
    number = 1
    while (kept := file.with_name(f"{file.name}.before-{number}")).exists():
        number += 1
    kept.write_bytes(file.read_bytes())
    return kept
