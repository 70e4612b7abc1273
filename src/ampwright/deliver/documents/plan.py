"""The construction-phase plan: the work, who does it, what can hurt somebody and what is done about it."""

from __future__ import annotations

from ampwright.deliver.documents.blocks import Block, Boxes, BoxRow, Caution, Heading, Note, Paper, Text
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.recorded import row
from ampwright.deliver.documents.who import about
from ampwright.facts import look_up_text
from ampwright.job.record import Job
from ampwright.rules.gb.parts.carrying import BURIED
from ampwright.rules.gb.parts.loop import on_electrode

SAYS = "For work at a home the contractor takes on the client's duty under SI 2015/51; this is the plan it asks for."
ASBESTOS_YEAR = 2000
WRITE_IN = (
    ("How long it lasts", "the installer"),
    ("Who is on site, and who leads", "the installer"),
    ("Who else works there at the time", "the installer"),
    ("Where children, pets and visitors may come", "the installer"),
    ("Where water, gas and electricity are shut off", "the installer"),
    ("Ladders, and how they are footed", "the installer"),
    ("First aid", "the installer"), ("Waste, and where it goes", "the installer"),
    ("Told to everybody on site: name, date, signature", "everybody on site"),
)  # fmt: skip
RECORDED = ("dates.planned", "site.access", "site.services_traced", "site.nearest_emergency", "site.hazards")


def plan(pack: Pack) -> Paper:
    """The plan, its hazards from the record, with what must be written in on site."""
    job = pack.job
    blocks: list[Block] = [about(pack), Heading("The work"), Text(_work(job))]
    blocks.append(Heading("What can hurt somebody, and what is done about it"))
    blocks += [Caution(look_up_text("gb/cautions", "text", id=each)) for each in hazards(job)]
    blocks.append(Note("These come from the record. Look round the site yourself and write in what it does not know."))
    blocks += [Heading("The site"), Boxes(tuple(row(job, path) for path in RECORDED))]
    blocks += [Heading("To be written in"), Boxes(tuple(BoxRow(words, None, who) for words, who in WRITE_IN))]
    return Paper("plan", "Construction-phase plan", SAYS, tuple(blocks))


def hazards(job: Job) -> tuple[str, ...]:
    """The ids of the cautions that bear on this job; what nobody looked at counts as there."""
    site, built = job.site, job.site.built_year
    buried = any(section.method is None or section.method in BURIED for section in job.route)
    holes = not job.route or any(section.through for section in job.route)
    wanted = {
        "safe_isolation": True,
        "supplier_seals": True,
        "live_test": True,
        "two_supplies": job.generation.fitted is not False or job.storage.fitted is not False,
        "sensor_lead": bool(job.sensors) or job.charge_point.load_cap.fitted is not False,
        "buried_services": buried or job.electrode.fitted is not False,
        "gas": site.gas.fitted is not False,
        "asbestos": built is None or built.low < ASBESTOS_YEAR,
        "drilling": holes,
        "dust": holes,
        "concealed_cable": True,
        "keep_earths_apart": on_electrode(job) is not False,
    }
    return tuple(name for name, yes in wanted.items() if yes)


def _work(job: Job) -> str:
    stretches = "; ".join(each.name for each in job.route) or "its route is not in the record yet"
    return f"A charge point is fitted with a circuit of its own. The cable runs: {stretches}."
