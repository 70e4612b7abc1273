"""A paper made into PDF/A-3a and PDF/UA-1: the same bytes for the same paper, job file and day."""

from __future__ import annotations

import dataclasses
import datetime
import json
import os
import threading
import unicodedata
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from pathlib import Path
from typing import Any

import typst
from fontTools.ttLib import TTFont

from ampwright.deliver.documents.blocks import Paper
from ampwright.working import written_day

STANDARDS: list[typst.PDFStandard] = ["a-3a", "ua-1"]
LONGEST_WORD_COUNT = 24
LONGEST_RUNNING_COUNT = 48
# The layout puts room for nothing at BREAK, so that no sign is copied out; it can do so only that often in one text.
BREAK, MOST_BREAKS_COUNT = "\u2060", 200
ZERO_WIDTH = "\u200b"
KEPT_CONTROLS = "\n\t"
# What a block holds that is not printed as words.
NOT_WORDS = ("kind", "picture")
AT_ONCE_COUNT = min(4, os.cpu_count() or 1)
# A compiler serves one thread at a time: each thread has its own.
_OF_THIS_THREAD = threading.local()


@dataclass(frozen=True, slots=True)
class Source:
    """What stands behind a paper: the job's name, the day it bears, why it is a draft, and the job file itself."""

    job: str
    day: datetime.date
    draft: tuple[str, ...]
    file_name: str
    file_text: str
    number: str = ""
    issued: str = ""


def pdfs(papers: Sequence[tuple[Paper, Source]], at_once_count: int = AT_ONCE_COUNT) -> list[bytes]:
    """The papers as PDF, several at once. Raises typst.TypstError as `pdf` does."""
    if at_once_count == 1 or len(papers) == 1:
        return [pdf(*each) for each in papers]
    return list(_threads(at_once_count).map(pdf, *zip(*papers, strict=True)))


@lru_cache(maxsize=4)
def _threads(count: int) -> ThreadPoolExecutor:
    """Kept as long as the process, with the compiler of each."""
    return ThreadPoolExecutor(count, "printing")


def pdf(paper: Paper, source: Source) -> bytes:
    """The paper as PDF, with the job file attached. Raises typst.TypstError if the layout itself is at fault."""
    return laid_out(words_of(paper, source))


def words_of(paper: Paper, source: Source) -> dict[str, str]:
    """All that goes into a paper, as the layout reads it: `paper` as JSON, `job` as the job file's text."""
    data = {
        "title": paper.title,
        "says": paper.says,
        "blocks": [{"kind": type(each).__name__.lower(), **dataclasses.asdict(each)} for each in paper.blocks],
        "job": source.job,
        "written": written_day(source.day),
        "draft": source.draft,
        "draft_says": draft_line(source.draft),
        "number": source.number,
        "issued": source.issued,
        "superseded": "",
    }
    fixed = {
        "day": (source.day.year, source.day.month, source.day.day),
        "attach": _file_name(source.file_name),
        "running": {"job": _short(source.job), "title": _short(paper.title)},
    }
    return {"paper": json.dumps({**printable(data), **fixed}), "job": source.file_text}


def superseded(words: dict[str, str], says: str) -> dict[str, str]:
    """The same paper, said on each page to be superseded."""
    return {**words, "paper": json.dumps({**json.loads(words["paper"]), "superseded": printable(says)})}


def laid_out(words: dict[str, str]) -> bytes:
    """The words laid out as PDF. Raises typst.TypstError if the layout itself is at fault."""
    made = _compiler().compile(
        input=str(_folder() / "paper.typ"), format="pdf", sys_inputs=words, pdf_standards=STANDARDS
    )
    if not isinstance(made, bytes):
        raise TypeError(f"typst gave {type(made).__name__}, not one PDF")
    return made


def draft_line(reasons: tuple[str, ...]) -> str:
    """How many reasons there are and where they stand; nothing for a paper that is no draft."""
    if not reasons:
        return ""
    count = "1 reason" if len(reasons) == 1 else f"{len(reasons)} reasons"
    return f"There {'is' if len(reasons) == 1 else 'are'} {count}, listed at its end."


def printable(value: Any) -> Any:
    """The same data with every text such that the font can print it and a line can hold it."""
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, dict):
        return {key: each if key in NOT_WORDS else printable(each) for key, each in value.items()}
    return [printable(each) for each in value] if isinstance(value, list | tuple) else value


def _text(text: str) -> str:
    """A sign that the font has not, or that would steer the line, is written as its number: [U+1F600].

    A word too long for a narrow column may be broken anywhere after its first so many signs.
    """
    if text.isascii() and text.isprintable() and all(len(word) <= LONGEST_WORD_COUNT for word in text.split(" ")):
        return text
    words = _words("".join(each if _can_be_printed(each) else f"[U+{ord(each):04X}]" for each in text))
    long_ones = [word for word in words if len(word) > LONGEST_WORD_COUNT]
    place = BREAK if sum(map(len, long_ones)) <= MOST_BREAKS_COUNT else ZERO_WIDTH
    return "".join(place.join(word) if len(word) > LONGEST_WORD_COUNT else word for word in words)


def _short(text: str) -> str:
    """No more than a line at the head or foot of a page can hold."""
    line = " ".join(printable(text).replace(ZERO_WIDTH, "").replace(BREAK, "").split())
    return line if len(line) <= LONGEST_RUNNING_COUNT else f"{line[: LONGEST_RUNNING_COUNT - 1]}…"


def _can_be_printed(sign: str) -> bool:
    if sign in KEPT_CONTROLS:
        return True
    steers = unicodedata.category(sign) in ("Cc", "Cf", "Co", "Cs", "Cn", "Zl", "Zp")
    return not steers and ord(sign) in _covered()


def _words(text: str) -> list[str]:
    """The text cut before and after each white space, nothing lost."""
    words = [""]
    for sign in text:
        if sign.isspace():
            words += [sign, ""]
        else:
            words[-1] += sign
    return words


def _file_name(name: str) -> str:
    """The name under which the job file is attached: its own, as far as letters, figures, dot, dash and underscore."""
    plain = "".join(each if each.isascii() and (each.isalnum() or each in "._-") else "_" for each in name)
    return plain.strip(".") or "job.yaml"


@lru_cache(maxsize=1)
def _covered() -> frozenset[int]:
    """What both cuts of the font have a sign for."""
    cuts = [TTFont(each, lazy=True).getBestCmap() for each in sorted((_folder() / "fonts").glob("*.ttf"))]
    return frozenset.intersection(*(frozenset(each) for each in cuts))


def _compiler() -> typst.Compiler:
    """One compiler a thread: it keeps the fonts and what has been laid out before. It sees this folder alone."""
    kept: typst.Compiler | None = getattr(_OF_THIS_THREAD, "compiler", None)
    if kept is None:
        kept = typst.Compiler(root=str(_folder()), font_paths=_fonts())
        _OF_THIS_THREAD.compiler = kept
    return kept


@lru_cache(maxsize=1)
def _fonts() -> typst.Fonts:
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(_folder() / "fonts")])


def _folder() -> Path:
    return Path(str(resources.files("ampwright.deliver.documents")))
