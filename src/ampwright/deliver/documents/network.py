"""The notice or application to the network operator: as a paper, as CSV, and as a list to copy from."""

from __future__ import annotations

import csv
import io

from ampwright.assess.paperwork.boxes import SECTIONS
from ampwright.deliver.documents.blocks import Block, Boxes, BoxRow, Heading, Note, Paper, Text
from ampwright.deliver.documents.form import part_of
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.spreadsheet import as_text

SAYS = "What the network operator asks of a charge point, to be sent or copied into the operator's own form."
OWN_FORM = ("The operators have forms and pages of their own; what those ask beyond this goes by them. Nothing is sent "
            "by this program.")  # fmt: skip
FORM = "07"


def network(pack: Pack) -> Paper:
    """The notice, with its two plain files beside it."""
    sections = _sections(pack)
    check = next(each for each in pack.assessment.checks if each.rule == "network_notice")
    blocks: list[Block] = [Text(check.says)]
    for heading, boxes in sections:
        blocks += [Heading(heading), Boxes(boxes)]
    beside = (("csv", as_csv(sections)), ("txt", as_list(sections)))
    return Paper("network", "Notice to the network operator", SAYS, (*blocks, Note(OWN_FORM)), beside)


Sections = tuple[tuple[str, tuple[BoxRow, ...]], ...]


def as_csv(sections: Sections) -> str:
    """A line a box; a cell that a spreadsheet would reckon with is marked as text by an apostrophe."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(("section", "box", "entry", "owed by"))
    for heading, boxes in sections:
        for each in boxes:
            owed = each.owed_by if each.value is None else ""
            writer.writerow([as_text(cell) for cell in (heading, each.label, each.value or "", owed)])
    return out.getvalue()


def as_list(sections: Sections) -> str:
    """Box by box in plain lines, to copy from."""
    lines = []
    for heading, boxes in sections:
        lines += [heading.upper(), *(f"{each.label}: {each.value or f'(empty, owed by {each.owed_by})'}"
                                     for each in boxes), ""]  # fmt: skip
    return "\n".join(lines)


def _sections(pack: Pack) -> Sections:
    """The boxes of the operators' common form as we list them, without the signature, which the form itself takes."""
    sections = dict.fromkeys(each.section for each in pack.boxes if each.paper.startswith(FORM))
    return tuple((each, part_of(pack.boxes, FORM, each)) for each in sections if each != SECTIONS["sig"])
