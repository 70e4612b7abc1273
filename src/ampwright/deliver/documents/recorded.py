"""What the record holds of a group of fields, as rows of a paper: asked in words, answered with its unit."""

from __future__ import annotations

import datetime
from typing import Any

from ampwright.assess.turning_words import with_unit
from ampwright.deliver.documents.blocks import BoxRow
from ampwright.job.fields import field, fields, in_words
from ampwright.job.paths import at
from ampwright.job.record import Job
from ampwright.reading import Reading
from ampwright.working import capital, written_day

# Words of the record that a paper writes as the trade does.
WORDS = {
    "mcb": "MCB", "rcbo": "RCBO", "bs88_2": "BS 88-2 fuse", "bs88_3": "BS 88-3 fuse", "bs1361": "BS 1361 fuse",
    "bs3036": "BS 3036 fuse", "bs1362": "BS 1362 fuse", "flat_twin_and_earth": "flat twin and earth",
    "armoured_70c": "armoured, 70 °C", "armoured_90c": "armoured, 90 °C", "multicore_70c": "multicore, 70 °C",
    "singles_70c": "singles, 70 °C", "singles_90c": "singles, 90 °C",
}  # fmt: skip


def rows_of(job: Job, *prefixes: str) -> tuple[BoxRow, ...]:
    """Every field under these prefixes that is no list. Of a thing that is not fitted only that is said."""
    paths = [path for prefix in prefixes for path in fields() if path == prefix or path.startswith(f"{prefix}.")]
    return tuple(row(job, path) for path in paths if "[]" not in path and not _of_nothing(job, path))


def _of_nothing(job: Job, path: str) -> bool:
    group, _, name = path.rpartition(".")
    return name != "fitted" and getattr(at(job, group), "fitted", None) is False


def row(job: Job, path: str) -> BoxRow:
    """One field as a box; an empty one is owed by whoever looks at it."""
    words = in_words(path)
    return BoxRow(capital(words), value_words(path, at(job, path)), owed_by(path))


def owed_by(path: str) -> str:
    """Who owes a field: those who can tell it, or the installer with his eyes, a label or an instrument."""
    instrument = field(path).instrument
    if instrument in ("customer", "operator"):
        return f"the {instrument}"
    return "the installer" if instrument in ("none", "installer", "") else f"the installer ({instrument})"


def value_words(path: str, value: Any) -> str | None:
    """A value as printed: with its unit, a range with its reason, yes or no; None where nobody looked."""
    if value is None or value == ():
        return None
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Reading):
        because = f" ({value.because})" if value.because else ""
        return f"{with_unit(path, value.ends)}{because}"
    if isinstance(value, datetime.date):
        return written_day(value)
    if isinstance(value, tuple):
        return ", ".join(str(each) for each in value)
    if isinstance(value, int | float):
        return with_unit(path, f"{value:g}")
    return WORDS.get(value, str(value))
