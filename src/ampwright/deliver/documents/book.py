"""Which papers there are, in the order of a job."""

from __future__ import annotations

from collections.abc import Callable

from ampwright.deliver.documents.blocks import Paper
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.report import report

PAPERS: dict[str, Callable[[Pack], Paper]] = {
    "report": report,
}
