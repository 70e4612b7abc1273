"""The visit list: what to read on site, in the order of a visit, with room to write."""

from __future__ import annotations

from ampwright.deliver.documents.blocks import Block, Caution, Heading, Note, Paper, Table, Text
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.who import about
from ampwright.deliver.survey_screen import BY_HAND, about_money, instrument_words, rest, why_words
from ampwright.facts import look_up_text
from ampwright.job.fields import in_words
from ampwright.rules.gb.book import GB
from ampwright.working import capital

SAYS = "What a look at the site has to find out, where, with what, and what each answer decides."
HEAD = ("No.", "Find out", "Why", "Found")


def visit_list(pack: Pack) -> Paper:
    """The visit list, stage by stage."""
    survey = pack.survey
    blocks: list[Block] = [about(pack), Note(" ".join(about_money(survey).split()))]
    number, told = 1, set[str]()
    for name, items in survey.by_stage:
        blocks.append(Heading(capital(name)))
        for caution in dict.fromkeys(each for item in items for each in item.stage.cautions):
            if caution not in told:
                blocks.append(Caution(look_up_text(f"{GB.country}/cautions", "text", id=caution)))
                told.add(caution)
        rows = tuple((str(place), f"{in_words(item.path, how=True)}{instrument_words(item.path)}",
                      " ".join(why_words(item, survey.proposal is not None)), "")
                     for place, item in enumerate(items, number))  # fmt: skip
        blocks.append(Table(HEAD, rows, (0, 3, 5, 1.6)))
        number += len(items)
    if number == 1:
        blocks.append(Text("Nothing is left to find out: no open check of these designs asks for anything."))
    return Paper("visit", "Visit list", SAYS, (*blocks, *(Note(each) for each in rest(survey)), Note(BY_HAND)))
