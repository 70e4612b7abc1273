"""The materials and van list: what to cut, to buy and to load, with a box to tick."""

from __future__ import annotations

from ampwright.deliver.documents.blocks import Block, Heading, Listing, Note, Paper, Table
from ampwright.deliver.documents.offered import offered
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.who import about
from ampwright.deliver.materials import LEFT_OUT, hours_words, minutes_words, need_words
from ampwright.job.fields import in_words

SAYS = "What the route and the fixings need, what each is for, and what to have in the van."


def materials(pack: Pack) -> Paper:
    """The take-off of the design that the quote prices, or of the job as entered where none is priced."""
    found = pack.take_off
    cuts = tuple((need_words(cut.length_m, "m"), cut.name, f"{need_words(cut.measured_m, 'm')} measured, and at most "
                  + ", ".join(f"{name} {metres:g} m" for name, metres in cut.allowed_m), "") for cut in found.cuts)
    fills = tuple((fill.stretch, fill.name, "fits" if fill.holds else "TOO FULL", fill.sum) for fill in found.fills)
    items = tuple((need_words(each.need, each.unit), each.name, each.why, "") for each in found.items)
    work = tuple((need_words(each.need, each.unit), each.name, minutes_words(each)) for each in found.operations)
    work += (("together", "on site", hours_words(found.operations)),) if work else ()
    tools = tuple((tool.name, tool.why, "") for tool in found.tools)
    sections: tuple[tuple[str, Table], ...] = (
        ("Cut", Table(("Length", "Cable", "Made up of", "Done"), cuts, (1, 2.4, 3, 0))),
        ("Fill", Table(("Stretch", "In", "Verdict", "Sum"), fills, (2, 2, 1, 3))),
        ("Buy", Table(("How much", "What", "What for", "Got"), items, (1, 2.4, 3, 0))),
        ("Work", Table(("How much", "What", "Time"), work, (1, 4, 1), (), ("together",))),
        ("Load", Table(("Tool", "What for", "In the van"), tools, (2, 3, 0))),
    )
    blocks: list[Block] = [about(pack), *offered(pack)]
    for heading, table in sections:
        if table.rows:
            blocks += [Heading(heading), table]
    if found.missing:
        blocks += [Heading("Find out first"), Listing(tuple(in_words(path) for path in found.missing))]
    figures = pack.figures
    whose = (figures.prices_say, figures.ways_say) if figures.own else ()
    return Paper("materials", "Materials and van list", SAYS,
                 (*blocks, *(Note(each) for each in (*found.remarks, LEFT_OUT, *whose))))  # fmt: skip
