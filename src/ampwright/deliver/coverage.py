"""How far the papers of a job are filled from its record, as text for a terminal."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

import click

from ampwright.assess.paperwork.boxes import Box
from ampwright.assess.paperwork.counting import Coverage, coverage
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.screen import wrapped
from ampwright.job.record import Job

NOTE = ("An entry is one leaf of the record that somebody put there and that a compulsory box hangs on, with every "
        "number that a reckoned box was reckoned from and every label of a row. Which boxes a paper has, and which are "
        "compulsory, is a judgement of our own (`ampwright facts gb/paper_boxes`): the form that is in force decides. "
        "The prices of the catalogue and the price book shipped are invented: give your own.")  # fmt: skip


def print_coverage(pack: Pack) -> int:
    """Print it; the status is 2 while a compulsory box is empty, else 0."""
    found = coverage(pack.job, pack.boxes)
    click.echo(coverage_text(pack.job, found))
    return 2 if found.empty else 0


def coverage_text(job: Job, found: Coverage) -> str:
    """The counts, each paper, then each compulsory box that is empty with who owes it."""
    blocks = [job.title or job.reference or "This job", "\n".join(_counts(found)), "\n".join(_papers(found))]
    if found.empty:
        blocks.append("\n".join(["STILL EMPTY, and who owes it", *_empty(found.empty)]))
    return "\n\n".join([*blocks, "\n".join(wrapped(NOTE, 0))])


def _counts(found: Coverage) -> Iterator[str]:
    boxes, entries = len(found.filled), found.entries_count
    each = f", {boxes / entries:.1f} boxes an entry" if entries else ""
    yield f"{boxes} of {len(found.compulsory)} compulsory boxes are filled, from {entries} entries{each}."
    own = [f"{len(paths)} of {owner}" for owner, paths in sorted(found.entries.items(), key=lambda each: -len(each[1]))]
    if own:
        yield from wrapped(f"Of the entries: {', '.join(own)}.", 0)
    others = [box for box in found.boxes if not box.compulsory]
    yield f"Of {len(others)} other boxes {sum(box.value is not None for box in others)} are filled."


def _papers(found: Coverage) -> Iterator[str]:
    for paper, group in groupby(found.compulsory, key=lambda box: box.paper):
        boxes = list(group)
        full = sum(box.value is not None for box in boxes)
        yield f"    {full:>3} of {len(boxes):<3} {paper[3:]}"


def owed(boxes: tuple[Box, ...]) -> dict[str, list[str]]:
    """Each fact that boxes wait for, once, with the papers that wait; by who owes it, whoever owes most first."""
    papers: dict[tuple[str, str], list[str]] = {}
    for box in boxes:
        papers.setdefault((box.owed_by, box.label), []).append(box.paper[:2])
    found: dict[str, list[str]] = {}
    for (who, label), waiting in papers.items():
        word = "paper" if len(waiting) == 1 else "papers"
        found.setdefault(who, []).append(f"{label} ({word} {', '.join(waiting)})")
    return dict(sorted(found.items(), key=lambda each: (-len(each[1]), each[0])))


def _empty(boxes: tuple[Box, ...]) -> Iterator[str]:
    for who, labels in owed(boxes).items():
        yield f"  {who}"
        for label in labels:
            yield from wrapped(f"- {label}", 6)
