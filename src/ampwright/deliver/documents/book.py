"""Which papers there are, in the order of a job."""

from __future__ import annotations

from collections.abc import Callable

from ampwright.deliver.documents.blocks import Paper
from ampwright.deliver.documents.certificate import certificate
from ampwright.deliver.documents.commissioning import commissioning
from ampwright.deliver.documents.handover import handover
from ampwright.deliver.documents.labels import labels
from ampwright.deliver.documents.materials import materials
from ampwright.deliver.documents.network import network
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.plan import plan
from ampwright.deliver.documents.quote import costs, quote
from ampwright.deliver.documents.report import report
from ampwright.deliver.documents.visit_list import visit_list

PAPERS: dict[str, Callable[[Pack], Paper]] = {
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
}
