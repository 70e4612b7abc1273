"""Papers printed, and written into a folder."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from ampwright.deliver.documents.book import every_paper
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.printing import AT_ONCE_COUNT, Source, pdfs

Printed = tuple[str, bytes]


def printed(pack: Pack, name: str, text: str, wanted: Iterable[str],
            at_once_count: int = AT_ONCE_COUNT) -> Iterator[Printed]:  # fmt: skip
    """These papers of a job whose file has this name and text: one PDF each, then the plain files beside it."""
    source = Source(pack.name, pack.day, pack.draft, name, text)
    stem = Path(name).stem
    papers = {each: every_paper()[each](pack) for each in wanted}
    for (each, paper), made in zip(papers.items(), pdfs(list(papers.values()), source, at_once_count), strict=True):
        yield f"{stem}-{each}.pdf", made
        for ending, beside in paper.beside:
            yield f"{stem}-{each}.{ending}", beside.encode()


def write(pack: Pack, name: str, text: str, folder: Path, wanted: Iterable[str]) -> Iterator[Path]:
    """Write these papers of a job whose file has this name and text into a folder. Raises OSError."""
    folder.mkdir(parents=True, exist_ok=True)
    for paper, made in printed(pack, name, text, wanted):
        path = folder / paper
        path.write_bytes(made)
        yield path
