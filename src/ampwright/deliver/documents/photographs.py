"""Photographs on a paper: the slot of each one that is wanted, with the newest that the job has or left open."""

from __future__ import annotations

import base64
import io
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from PIL import Image

from ampwright.deliver.documents.blocks import Slot
from ampwright.job.fields import in_words
from ampwright.working import capital

LONGEST_SIDE_COUNT = 1200
QUALITY_PERCENT = 80


@dataclass(frozen=True, slots=True)
class Photograph:
    """A photograph kept with a job (JPEG), under the field that it shows; `when` and `who` as they are printed.

    `hash` is the SHA-256 of its content, by which another paper is made when another photograph was kept; `load` gives
    the content where it is printed.
    """

    path: str
    when: str
    who: str
    hash: str
    load: Callable[[], bytes | None] = field(compare=False, repr=False)


def slot(wanted: str, also: Iterable[str], named: str | None, owed_by: str, kept: Iterable[Photograph]) -> Slot:
    """The slot of the photograph of one field: the first kept under it, or under one of those that show it `also`.

    `kept` is the newest first; `named` is the file that the record names.
    """
    says, paths = capital(in_words(wanted)), (wanted, *also)
    found = next((each for each in kept if each.path in paths), None)
    content = found.load() if found is not None else None
    if found is None or content is None:
        file = f"The record names the file {named}: put it here." if named else "Put it here."
        return Slot(says, f"No photograph of it is kept with the job; it is owed by {owed_by}. {file}")
    picture, wide_count, high_count = _as_printed(content)
    return Slot(says, f"Kept on {found.when}, by {found.who}.", picture, wide_count, high_count)


def _as_printed(content: bytes) -> tuple[str, int, int]:
    """The picture no finer than it can be printed, as base64, with its sides in points of the picture."""
    with Image.open(io.BytesIO(content), formats=("JPEG",)) as image:
        image.thumbnail((LONGEST_SIDE_COUNT, LONGEST_SIDE_COUNT))
        drawn = io.BytesIO()
        image.convert("RGB").save(drawn, "JPEG", quality=QUALITY_PERCENT)
        return base64.b64encode(drawn.getvalue()).decode("ascii"), image.width, image.height
