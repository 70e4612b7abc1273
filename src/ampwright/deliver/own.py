"""The user's own efforts and bits, read at the door and put in use for one command."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from ampwright.assess.route.bits import BadBits, Bit, read_bits, using_bits
from ampwright.assess.route.effort import BadEfforts, Efforts, read_efforts, using_efforts

SHIPPED = "Efforts and tools are those that come with the program, invented or common practice."


@dataclass(frozen=True)
class Own:
    """What the user gave; None where what is shipped will do."""

    efforts: Efforts | None = None
    bits: tuple[Bit, ...] | None = None

    @contextmanager
    def in_use(self) -> Iterator[None]:
        """What is sought within goes by these."""
        with using_efforts(self.efforts), using_bits(self.bits):
            yield

    @property
    def says(self) -> str:
        """Whose efforts and bits were used."""
        if self.efforts is None and self.bits is None:
            return SHIPPED
        if self.bits is None:
            return "Efforts are your own; bits are those that come with the program, common practice."
        if self.efforts is None:
            return "Bits are your own; efforts are those that come with the program, invented or common practice."
        return "Efforts and bits are your own."


def read_own(efforts: Path | None, bits: Path | None) -> Own | str:
    """Both files where they are given; else all that is wrong with either, as text."""
    own, wrong = Own(), []
    try:
        own = Own(read_efforts(efforts) if efforts else None, own.bits)
    except BadEfforts as bad:
        wrong.append(str(bad))
    try:
        own = Own(own.efforts, read_bits(bits) if bits else None)
    except BadBits as bad:
        wrong.append(str(bad))
    return "\n".join(wrong) if wrong else own
