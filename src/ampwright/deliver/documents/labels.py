"""Labels to print, cut out and fix."""

from __future__ import annotations

from ampwright.deliver.documents.blocks import Block, Heading, Label, Note, Paper, Text
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.who import board_words
from ampwright.facts import look_up_text
from ampwright.job.days import tests_day
from ampwright.job.fields import in_words
from ampwright.job.record import Job
from ampwright.rules.gb.labels import label_names, wording
from ampwright.working import Verdict, capital, written_day

SAYS = "Print at full size on a material that lasts where it is fixed. Photograph each label when it is fixed."


LINE = "_" * 20
NO_LABEL = {"circuit_chart": "The circuit chart is no label: bring it up to date, the charge point's circuit in it."}


def _said(job: Job) -> dict[str, str]:
    """What a label says whose words in the table are what it is about: from the record, else a line to write on."""
    day, place = tests_day(job), job.installation.board_place
    known = bool(place or job.circuit.fed_from)
    way = f", circuit {job.circuit.number}" if job.circuit.number else ""
    return {
        "circuit_name": "Charge point",
        "next_inspection": f"Inspected on {written_day(day) if day else LINE}\nNext inspection {LINE}",
        "two_supplies_board": f"Two supplies: isolate both before work\n"
                              f"the network's at {f'the main switch, {place}' if place else LINE}\n"
                              f"the other at {job.generation.isolator_place or LINE}",
        "isolation_place": f"This charge point is isolated at {board_words(job) + way if known else LINE}",
    }  # fmt: skip


def labels(pack: Pack) -> Paper:
    """Every label that the job wants, by the place where it is fixed."""
    said = _said(pack.job)
    wanted = [(look_up_text("gb/labels", "place", id=name), said.get(name) or wording(pack.job, name))
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
                       "wording or a size of its own, use that. Write in by hand what the record does not have: dates, "
                       "where to isolate."))  # fmt: skip
    return Paper("labels", "Labels to print", SAYS, tuple(blocks))
