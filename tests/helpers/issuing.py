"""A job that can be issued: the demo's tested one in a store, its numbers confirmed, its installer's name signed."""

from __future__ import annotations

import datetime

from ampwright.deliver.demo import demo_files
from ampwright.deliver.issuing import pack_of, sign, to_be_signed
from ampwright.deliver.store.store import Store
from ampwright.deliver.store.trust import TrustBook

DAY = datetime.date(2026, 11, 21)
STROKES = "M60 140 L90 60 L120 130 L150 50 L190 150 M210 90 L260 120 L330 70 L420 110"


def ready(store: Store, operation: str = "bungalow") -> str:
    """The name of such a job."""
    name = store.take_in(demo_files()["bungalow.yaml"], operation=operation, who="Ann", origin="a file")
    confirm(store, name)
    signs(store, name)
    return name


def confirm(store: Store, name: str) -> None:
    """Confirm every number from memory that the job rests on."""
    items = [(each.what, each.says) for each in pack_of(store, name).from_memory]
    TrustBook(store.engine).confirm(store.firm, items, "the firm's own copy", "Ann")


def signs(store: Store, name: str, strokes: str = STROKES) -> None:
    """The installer signs the certificate as it stands."""
    seen = to_be_signed(store.read(name)[0])
    sign(store, name, "installer", seen=seen, strokes=strokes, typed="", who="Ann")
