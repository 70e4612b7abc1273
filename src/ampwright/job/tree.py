"""YAML text to plain values with the line of each, and nothing that a job file has no use for.

Refused: anchors and aliases, tags, a field written twice, more than one document, nesting deeper than 20 and
more than 20000 values. Numbers, `true`, `false` and `null` are read as in YAML 1.2; everything else is text.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

from ampwright.job.faults import Fault, Path, shortened, written

DEEPEST_COUNT = 20
MOST_COUNT = 20_000
_INT = re.compile(r"[-+]?[0-9]{1,30}")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_NOT_NUMBERS = re.compile(r"[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")
_HALF_SIGN = re.compile("[\ud800-\udfff]")
_WORDS: dict[str, Any] = {"": None, "~": None, "null": None, "Null": None, "NULL": None, "true": True, "True": True,
                          "TRUE": True, "false": False, "False": False, "FALSE": False}  # fmt: skip
_SYNTAX = (
    ("mapping values", "a colon stands where none may; text that has a colon in it goes in quotes"),
    ("'\\t'", "a tab stands here; indent with spaces"),
    ("that cannot start", "a value that begins with this sign goes in quotes"),
    ("escape", "a backslash inside double quotes stands for something else; use single quotes"),
    ("quoted scalar", "a quotation mark is opened here and never closed"),
    ("end of stream", "a quotation mark or a bracket is opened and never closed"),
    ("',' or", "a bracket is not closed or a comma is missing"),
    ("block end", "the indent does not fit the lines above"),
    ("block sequence", "a list begins here where none may; check the indent"),
    ("expected ':'", "a field is written as its name, a colon and a space, then its value"),
)
_UNCLEAR = "this cannot be read; look at the indents, colons, quotes and brackets here and just above"


@dataclass(slots=True)
class Tree:
    """What a job file holds: plain values, the line of each path, and what was wrong so far."""

    value: Any = None
    lines: dict[Path, int] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    _told: set[str] = field(default_factory=set)

    def line(self, path: Path) -> int | None:
        """The line of a path, or of the nearest thing above it that has one."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path)

    def fault(self, path: Path, says: str) -> None:
        """Note one fault; the first at a path is kept."""
        name = written(path)
        if name not in self._told:
            self._told.add(name)
            self.faults.append(Fault(self.line(path), name, says))

    def at_line(self, line: int | None, says: str) -> None:
        """Note one fault that belongs to a line and no path."""
        self.faults.append(Fault(line, "", says))


def plant(text: str) -> Tree:
    """Read YAML text. What cannot be read is in the tree's faults; the rest of the file is read all the same."""
    from ruamel.yaml import YAML
    from ruamel.yaml.error import YAMLError

    grower = _Grower(text)
    reader = YAML(typ="safe", pure=True)
    try:
        for event in reader.parse(text):
            if not grower.take(event):
                break
    except YAMLError as wrong:
        grower.unreadable(wrong)
    except (ValueError, OverflowError):  # an escape for a sign that does not exist
        grower.tree.at_line(grower.last_line, "a backslash inside double quotes names no sign; use single quotes")
    return grower.tree


def scalar(text: str, plain: bool) -> Any:
    """What a value written without quotes means: nothing, true or false, a number; else its text."""
    if not plain:
        return text
    if text in _WORDS:
        return _WORDS[text]
    if _INT.fullmatch(text):
        return int(text)
    if _FLOAT.fullmatch(text):
        return float(text)
    return float(text.replace(".", "")) if _NOT_NUMBERS.fullmatch(text) else text


class _Grower:
    """Puts events together, without recursion."""

    def __init__(self, text: str) -> None:
        self.tree = Tree()
        self.last_line = 1
        self._text = text
        self._holders: list[tuple[Any, Path]] = []
        self._key: list[str | None] = []
        self._count = 0
        self._documents = 0

    def take(self, event: Any) -> bool:
        """Add one event; False where reading must stop."""
        kind = type(event).__name__
        line = event.start_mark.line + 1 if event.start_mark else self.last_line
        self.last_line = line
        if kind == "DocumentStartEvent":
            self._documents += 1
            if self._documents > 1:
                self.tree.at_line(line, "a second document begins here; a job file holds one, so take out the ---")
                return False
        elif kind in ("MappingEndEvent", "SequenceEndEvent"):
            self._close()
        elif kind in ("ScalarEvent", "AliasEvent", "MappingStartEvent", "SequenceStartEvent"):
            return self._add(kind, event, line)
        return True

    def unreadable(self, wrong: Exception) -> None:
        """Say in words what the reader stumbled over."""
        mark = getattr(wrong, "problem_mark", None) or getattr(wrong, "context_mark", None)
        if mark is None and hasattr(wrong, "position"):
            line = self._text.count("\n", 0, wrong.position) + 1
            self.tree.at_line(line, "a sign that no text has stands here; this may not be a text file")
            return
        line = mark.line + 1 if mark else self.last_line
        problem = f"{getattr(wrong, 'problem', '')} {getattr(wrong, 'context', '')}"
        says = next((words for sign, words in _SYNTAX if sign in problem), _UNCLEAR)
        self.tree.at_line(line, says)

    def _add(self, kind: str, event: Any, line: int) -> bool:
        self._count += 1
        if self._count > MOST_COUNT:
            self.tree.at_line(line, f"the file holds more than {MOST_COUNT} values; that is no job file")
            return False
        self._refuse(kind, event, line)
        if kind == "ScalarEvent":
            value: Any = scalar(event.value, event.style is None and not event.tag)
            if _HALF_SIGN.search(event.value):
                self.tree.at_line(line, "a backslash inside double quotes names no sign; use single quotes")
                event.value, value = "", None
        else:
            value = {"MappingStartEvent": dict, "SequenceStartEvent": list}.get(kind, lambda: None)()
        holder = self._holders[-1][0] if self._holders else None
        if isinstance(holder, dict) and self._key[-1] is None:
            return self._name(kind, event, line)
        path = self._put(value, line)
        if isinstance(value, dict | list):
            self._holders.append((value, path))
            self._key.append(None)
        if len(self._holders) > DEEPEST_COUNT:
            self.tree.at_line(line, f"the values are nested deeper than {DEEPEST_COUNT}; a job file never is")
            return False
        return True

    def _refuse(self, kind: str, event: Any, line: int) -> None:
        if kind == "AliasEvent":
            self.tree.at_line(line, f"'*{shortened(event.anchor)}' repeats something by name; write it out instead")
        elif event.anchor:
            self.tree.at_line(line, f"'&{shortened(event.anchor)}' names something for repeating; take it out")
        if getattr(event, "tag", None):
            self.tree.at_line(line, "a value may not begin with an exclamation mark; take it out or use quotes")

    def _name(self, kind: str, event: Any, line: int) -> bool:
        """Take the name of a field."""
        if kind != "ScalarEvent":
            self.tree.at_line(line, "the name of a field is a plain word; words that begin with a bracket go in quotes")
            return False
        holder, path = self._holders[-1]
        name = event.value
        if name in holder:
            first = self.tree.lines[(*path, name)]
            self.tree.at_line(line, f"'{shortened(name)}' is written twice, first in line {first}; keep one")
        self._key[-1] = name
        self.tree.lines[(*path, name)] = line
        return True

    def _put(self, value: Any, line: int) -> Path:
        if not self._holders:
            self.tree.value = value
            return ()
        holder, path = self._holders[-1]
        if isinstance(holder, list):
            holder.append(value)
            here: Path = (*path, len(holder) - 1)
            self.tree.lines[here] = line
            return here
        name = self._key[-1]
        assert name is not None
        holder[name] = value
        self._key[-1] = None
        return (*path, name)

    def _close(self) -> None:
        self._holders.pop()
        self._key.pop()
