"""The design and load-cap report: every check of the job with its working."""

from __future__ import annotations

from ampwright.deliver.documents.blocks import Block, Heading, Listing, Note, Paper, Text
from ampwright.deliver.documents.checks import judged
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.who import about, cap_words
from ampwright.deliver.screen import tally
from ampwright.job.fields import in_words

SAYS = "Every question that the job raises: the answer, the clause it rests on, and the arithmetic line by line."
DEFER = ("It replaces no competent person. The standard in force, the makers' instructions and the network operator go "
         "before it.")  # fmt: skip


def report(pack: Pack) -> Paper:
    """The design and load-cap report."""
    assessment = pack.assessment
    blocks: list[Block] = [about(pack), Text(f"Judged by {assessment.edition}: {tally(assessment)}."), Note(DEFER)]
    if assessment.to_find_out:
        found = tuple(in_words(each.path, how=True) for each in assessment.to_find_out)
        blocks += [Heading("What to find out next"), Listing(found, numbered=True)]
    of_cap = pack.load_cap.checks if assessment.job.charge_point.load_cap.fitted else ()
    every = tuple(judged((*of_cap, *assessment.checks)))
    blocks += [Heading("Load cap"), Text(cap_words(pack)), *every[: len(of_cap)]]
    blocks += [Heading("The checks"), *every[len(of_cap) :]]
    return Paper("report", "Design and load-cap report", SAYS, tuple(blocks))
