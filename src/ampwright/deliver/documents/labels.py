"""Labels to print, cut out and fix."""

from __future__ import annotations

from ampwright.deliver.documents.blocks import Block, Heading, Label, Note, Paper, Text
from ampwright.deliver.documents.pack import Pack
from ampwright.facts import look_up_text
from ampwright.job.fields import in_words
from ampwright.rules.gb.labels import label_names, wording
from ampwright.working import Verdict, capital

SAYS = "Print at full size on a material that lasts where it is fixed. Photograph each label when it is fixed."


LINE = "_" * 20
# What a label of the table asks for, where its words there say what it is about and not what it says.
SAID = {
    "circuit_name": "Charge point",
    "next_inspection": f"Inspected on {LINE}\nNext inspection {LINE}",
    "two_supplies_board": f"Two supplies: isolate both before work\nthe network's at {LINE}\nthe other at {LINE}",
    "isolation_place": f"This charge point is isolated at {LINE}",
}
NO_LABEL = {"circuit_chart": "The circuit chart is no label: bring it up to date, the charge point's circuit in it."}


def labels(pack: Pack) -> Paper:
    """Every label that the job wants, by the place where it is fixed."""
    wanted = [(look_up_text("gb/labels", "place", id=name), SAID.get(name) or wording(pack.job, name))
              for name in label_names(pack.job) if name not in NO_LABEL]  # fmt: skip
    blocks: list[Block] = []
    for place in dict.fromkeys(place for place, _ in wanted):
        blocks.append(Heading(capital(place)))
        blocks += [Label(words) for at, words in wanted if at == place]
    check = next(each for each in pack.assessment.checks if each.rule == "labels_to_fix")
    if check.verdict is Verdict.NOT_YET_KNOWN:
        needs = "; ".join(in_words(path) for path in check.needs)
        blocks.append(Text(f"There may be more labels. Find out: {needs}."))
    blocks += [Text(NO_LABEL[name]) for name in label_names(pack.job) if name in NO_LABEL]
    blocks.append(Note("The wording is ours, for the labels that the standard asks for; where the standard prints a "
                       "wording or a size of its own, use that. Write in by hand what only the site can tell: dates, "
                       "the way of the board, where to isolate."))  # fmt: skip
    return Paper("labels", "Labels to print", SAYS, tuple(blocks))
