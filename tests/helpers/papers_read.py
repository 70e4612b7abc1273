"""The papers of the demo jobs as an independent reader (PDFium) reads them back: what the golden texts hold."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pypdfium2

from ampwright.deliver.demo import demo_files
from ampwright.deliver.documents.book import PAPERS
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.writing import printed
from ampwright.job.files import parse

GOLDEN_JOBS = ("bungalow", "house_with_garage", "terrace")
GOLDENS = Path(__file__).parents[1] / "deliver" / "documents" / "golden"


def printed_demo(name: str) -> list[tuple[str, bytes]]:
    """Every paper of a demo job, without a forecast: name of the file and its bytes."""
    text = demo_files()[f"{name}.yaml"]
    job = parse(text)
    if job.date is None:
        raise ValueError(f"{name} has no date")
    pack = Pack(job, job.date)
    return list(printed(pack, f"{name}.yaml", text, PAPERS))


def text_of(papers: list[tuple[str, bytes]]) -> str:
    """The words of each page of each paper, and the plain files beside them, line by line."""
    return "\n".join(line for name, made in papers for line in _lines(name, made)) + "\n"


def _lines(name: str, made: bytes) -> Iterator[str]:
    if not name.endswith(".pdf"):
        yield f"===== {name}"
        yield from made.decode().splitlines()
        return
    for number, page in enumerate(pypdfium2.PdfDocument(made), start=1):
        yield f"===== {name}, page {number}"
        yield from (line.rstrip() for line in page.get_textpage().get_text_range().splitlines())


def golden(name: str) -> Path:
    """Where the golden text of a demo job is kept."""
    return GOLDENS / f"{name}.txt"
