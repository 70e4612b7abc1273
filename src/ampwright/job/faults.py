"""What is wrong with a job file, in words, with lines; always everything at once."""

from __future__ import annotations

from dataclasses import dataclass

Path = tuple[str | int, ...]
MOST_SHOWN_COUNT = 50


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing to put right: where it stands and what to do. `line` is None where no line can be named."""

    line: int | None
    path: str
    says: str

    def __str__(self) -> str:
        line = "" if self.line is None else f"line {self.line}"
        return ": ".join(part for part in (line, self.path, self.says) if part)


class BadJobFile(Exception):
    """A file that is not a job. `faults` holds all that is wrong with it, in the order of its lines.

    As text it is the first 50 of them, under the file's name where there is one.
    """

    def __init__(self, faults: tuple[Fault, ...], file: str = "") -> None:
        self.faults = tuple(sorted(faults, key=lambda each: (each.line or 0, each.path, each.says)))
        self.file = file
        super().__init__(self.faults)

    def __str__(self) -> str:
        heading = [f"{self.file} cannot be read as a job:"] if self.file else []
        indent = "  " if heading else ""
        more = len(self.faults) - MOST_SHOWN_COUNT
        tail = [f"{indent}and {more} more"] if more > 0 else []
        return "\n".join([*heading, *(f"{indent}{each}" for each in self.faults[:MOST_SHOWN_COUNT]), *tail])


def written(path: Path) -> str:
    """("route", 1, "length_m") -> "route[1].length_m"; a name too long to read is cut short."""
    text = ""
    for part in path:
        text += f"[{part}]" if isinstance(part, int) else f".{shortened(part)}"
    return text.lstrip(".")


def pattern(path: Path) -> str:
    """("route", 1, "length_m") -> "route[].length_m"."""
    return "".join("[]" if isinstance(part, int) else f".{part}" for part in path).lstrip(".")


def shortened(text: str, width_count: int = 40) -> str:
    """Text from the file on one line, cut short."""
    plain = "".join(sign if sign.isprintable() else " " for sign in text)
    return plain if len(plain) <= width_count else f"{plain[:width_count]}…"
