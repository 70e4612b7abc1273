"""Papers printed, and written into a folder."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from ampwright.deliver.documents.blocks import Paper
from ampwright.deliver.documents.book import every_paper
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.printing import AT_ONCE_COUNT, Source, pdfs

Printed = tuple[str, bytes]


def printed(pack: Pack, name: str, text: str, wanted: Iterable[str],
            at_once_count: int = AT_ONCE_COUNT) -> Iterator[Printed]:  # fmt: skip
    """These papers of a job whose file has this name and text, each named after that file."""
    source = Source(pack.name, pack.day, pack.draft, name, text)
    for paper, made in laid_out({each: every_paper()[each](pack) for each in wanted}, source, at_once_count):
        yield f"{Path(name).stem}-{paper}", made


def laid_out(papers: Mapping[str, Paper], source: Source, at_once_count: int = AT_ONCE_COUNT) -> Iterator[Printed]:
    """These papers by their names: one PDF each, then the plain files beside it."""
    for (name, paper), made in zip(papers.items(), pdfs(list(papers.values()), source, at_once_count), strict=True):
        yield f"{name}.pdf", made
        for ending, beside in paper.beside:
            yield f"{name}.{ending}", beside.encode()


def write(pack: Pack, name: str, text: str, folder: Path, wanted: Iterable[str]) -> Iterator[Path]:
    """Write these papers of a job whose file has this name and text into a folder. Raises OSError."""
    folder.mkdir(parents=True, exist_ok=True)
    for paper, made in printed(pack, name, text, wanted):
        path = folder / paper
        path.write_bytes(made)
        yield path
