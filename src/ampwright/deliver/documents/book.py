"""Which papers there are, in the order of a job."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, partial, wraps

from ampwright.assess.paperwork.boxes import BOXES
from ampwright.deliver.documents.blocks import Paper
from ampwright.deliver.documents.certificate import certificate
from ampwright.deliver.documents.commissioning import commissioning
from ampwright.deliver.documents.form import form, form_name
from ampwright.deliver.documents.grant import CLAIM, bundle
from ampwright.deliver.documents.handover import handover
from ampwright.deliver.documents.labels import labels
from ampwright.deliver.documents.materials import materials
from ampwright.deliver.documents.network import network
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.plan import plan
from ampwright.deliver.documents.quote import costs, quote
from ampwright.deliver.documents.report import report
from ampwright.deliver.documents.visit_list import visit_list
from ampwright.facts import rows

Writing = Callable[[Pack], Paper]
# Forms that go out as they are: building notice, grant, register of sales, warranty.
SENT = ("14", "17", "18", "19")


def _by_its_figures(write: Writing) -> Writing:
    """The same paper, drilled by the figures of its pack."""

    @wraps(write)
    def written(pack: Pack) -> Paper:
        with pack.figures.in_use():
            return write(pack)

    return written


PAPERS: dict[str, Writing] = {name: _by_its_figures(write) for name, write in {
    "report": report,
    "quote": quote,
    "costs": costs,
    "visit": visit_list,
    "materials": materials,
    "plan": plan,
    "tests": certificate,
    "commissioning": commissioning,
    "handover": handover,
    "network": network,
    "labels": labels,
}.items()}  # fmt: skip


@lru_cache(maxsize=1)
def every_paper() -> dict[str, Writing]:
    """The papers by name, then a form of plain boxes for each of the papers whose data the facts list."""
    forms = dict.fromkeys(row["deliverable"] for row in rows(BOXES))
    return {**PAPERS, **{form_name(each): _by_its_figures(partial(_form, each)) for each in forms}}


@lru_cache(maxsize=1)
def to_issue() -> dict[str, Writing]:
    """The papers that may be issued, by name: each, and of the forms those that no paper has in another layout."""
    forms = tuple(f"form-{number}-" for number in SENT)
    return {name: write for name, write in every_paper().items() if name in PAPERS or name.startswith(forms)}


def _form(of: str, pack: Pack) -> Paper:
    if of.startswith(CLAIM):
        return bundle(of, pack)
    return form(of, (each for each in pack.boxes if each.paper == of))
