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
    papers = {each: every_paper()[each](pack) for each in wanted}
    for paper, made in laid_out(papers, pack, name, text, at_once_count):
        yield f"{Path(name).stem}-{paper}", made


def laid_out(papers: Mapping[str, Paper], pack: Pack, name: str, text: str,
             at_once_count: int = AT_ONCE_COUNT) -> Iterator[Printed]:  # fmt: skip
    """These papers by their names: one PDF each, then the plain files beside it. Each is a draft by its own gates."""
    sources = [Source(pack.name, pack.day, pack.draft(each), name, text) for each in papers]
    made_of = pdfs(list(zip(papers.values(), sources, strict=True)), at_once_count)
    for (paper, said), made in zip(papers.items(), made_of, strict=True):
        yield f"{paper}.pdf", made
        for ending, beside in said.beside:
            yield f"{paper}.{ending}", beside.encode()


def draft_words(pack: Pack, papers: Iterable[str]) -> str:
    """Which of these papers are drafts; nothing if none is."""
    held = [each for each in papers if pack.draft(each)]
    return f"DRAFT, not to be issued, with the reasons at its end: {', '.join(held)}." if held else ""


def write(pack: Pack, name: str, text: str, folder: Path, wanted: Iterable[str]) -> Iterator[Path]:
    """Write these papers of a job whose file has this name and text into a folder. Raises OSError."""
    folder.mkdir(parents=True, exist_ok=True)
    for paper, made in printed(pack, name, text, wanted):
        path = folder / paper
        path.write_bytes(made)
        yield path
