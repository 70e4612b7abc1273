"""What the record holds of a group of fields, as rows of a paper: asked in words, answered with its unit."""

from __future__ import annotations

import datetime
from typing import Any

from ampwright.assess.turning_words import with_unit
from ampwright.deliver.documents.blocks import BoxRow
from ampwright.job.fields import field, fields, in_words
from ampwright.job.paths import at, pattern_of
from ampwright.job.record import Job
from ampwright.reading import Reading
from ampwright.working import written_day


def rows_of(job: Job, *prefixes: str) -> tuple[BoxRow, ...]:
    """Every field under these prefixes that is no list; an empty one is owed by whoever looks at it."""
    paths = [path for prefix in prefixes for path in fields() if path == prefix or path.startswith(f"{prefix}.")]
    return tuple(row(job, path) for path in paths if "[]" not in path)


def row(job: Job, path: str, label: str = "") -> BoxRow:
    """One field as a box."""
    words = label or in_words(path)
    return BoxRow(f"{words[0].upper()}{words[1:]}", value_words(path, at(job, path)), owed_by(path))


def owed_by(path: str) -> str:
    """Who owes a field: the one who reads it with an instrument, or who looks it up."""
    instrument = field(path).instrument if pattern_of(path) in fields() else "none"
    return "the installer" if instrument in ("none", "") else f"whoever reads it ({instrument})"


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
    return with_unit(path, f"{value:g}") if isinstance(value, float) else str(value)
