"""Labels to print, cut out and fix."""

from __future__ import annotations

from ampwright.deliver.documents.blocks import Block, Heading, Label, Note, Paper, Text
from ampwright.deliver.documents.pack import Pack
from ampwright.job.fields import in_words
from ampwright.rules.gb.labels import labels_wanted
from ampwright.working import Verdict

SAYS = "Print at full size on a material that lasts where it is fixed. Photograph each label when it is fixed."


def labels(pack: Pack) -> Paper:
    """Every label that the job wants, by the place where it is fixed."""
    wanted = labels_wanted(pack.job)
    blocks: list[Block] = []
    for place in dict.fromkeys(place for place, _ in wanted):
        blocks.append(Heading(f"{place[0].upper()}{place[1:]}"))
        blocks += [Label("", words) for at, words in wanted if at == place]
    check = next(each for each in pack.assessment.checks if each.rule == "labels_to_fix")
    if check.verdict is Verdict.NOT_YET_KNOWN:
        needs = "; ".join(in_words(path) for path in check.needs)
        blocks.append(Text(f"There may be more labels. Find out: {needs}."))
    blocks.append(Note("The wording is ours, for the labels that the standard asks for; where the standard prints a "
                       "wording or a size of its own, use that. Write in by hand what only the site can tell: dates, "
                       "the way of the board, where to isolate."))  # fmt: skip
    return Paper("labels", "Labels to print", SAYS, tuple(blocks))
