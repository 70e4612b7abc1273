"""Papers written into a folder."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from ampwright.deliver.documents.book import every_paper
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.printing import Source, pdf


def write(pack: Pack, file: Path, folder: Path, names: tuple[str, ...]) -> Iterator[Path]:
    """Write these papers of a job, one PDF each with the plain files beside it. Raises OSError."""
    folder.mkdir(parents=True, exist_ok=True)
    source = Source(pack.name, pack.day, pack.draft, file.name, file.read_bytes().decode("utf-8"))
    for name in names:
        paper = every_paper()[name](pack)
        path = folder / f"{file.stem}-{name}.pdf"
        path.write_bytes(pdf(paper, source))
        yield path
        for ending, text in paper.beside:
            path = folder / f"{file.stem}-{name}.{ending}"
            path.write_text(text, encoding="utf-8", newline="")
            yield path
