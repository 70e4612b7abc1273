"""Jobs of a store whose papers are to be issued, and what must hold of the list of issued papers after a batch."""

from __future__ import annotations

import hashlib
import json
import re
from collections import Counter

import sqlalchemy as sql
from issuing import confirm, signs

from ampwright.deliver.batch.results import Results
from ampwright.deliver.demo import demo_files
from ampwright.deliver.store.databases import raw
from ampwright.deliver.store.ledger import Ledger
from ampwright.deliver.store.shape import Place
from ampwright.deliver.store.store import Store
from ampwright.job.files import dump

USUAL = ("tests", "commissioning", "handover")
UNSIGNED_EACH = 10


def filled(place: Place, jobs_count: int) -> dict[str, str]:
    """The titles of so many tested jobs by their ids; all but every tenth are signed, and so ready."""
    store = Store(place)
    titles: dict[str, str] = {}
    for number in range(jobs_count):
        title = f"House {number:04}"
        text = re.sub("(?m)^title: .*$", f"title: {title}", demo_files()["bungalow.yaml"])
        name = store.take_in(text, operation=f"take-{number}", who="Ann", origin="a file")
        if not titles:
            confirm(store, name)
        if number % UNSIGNED_EACH:
            signs(store, name)
        titles[name] = title
    store.close()
    return titles


def ready_of(titles: dict[str, str]) -> set[str]:
    """Those of `filled` that are signed."""
    return {name for number, name in enumerate(titles) if number % UNSIGNED_EACH}


def prove(place: Place, titles: dict[str, str]) -> None:
    """Every ready job has each paper once and its own, no other job has one, and the list agrees with itself."""
    store = Store(place)
    rows = Ledger(store.engine).rows()
    ready = ready_of(titles)
    assert Ledger(store.engine).check() is None
    assert Counter((row.job, row.kind) for row in rows) == Counter((name, kind) for name in ready for kind in USUAL)
    for kind in USUAL:
        assert sorted(row.serial for row in rows if row.kind == kind) == list(range(1, len(ready) + 1))
    hashes = {name: hashlib.sha256(dump(store.read(name)[0]).encode()).hexdigest() for name in ready}
    assert [row.job_hash for row in rows] == [hashes[row.job] for row in rows]
    store.close()
    opened = raw(place)
    with opened.connect() as link:  # past the code that wrote them
        found = link.execute(sql.text("SELECT job, words FROM issued")).all()
    opened.dispose()
    assert all(titles[job] in words for job, words in found)
    of_results = Results(place)
    told = {key[0]: made for key, made in of_results.read(of_results.keys()) if key[1] == "issue"}
    of_results.close()
    assert set(told) == set(titles)
    labels = {(row.job, row.label) for row in rows}
    for name, made in told.items():
        says = json.loads(made.body)
        assert made.refused == (name not in ready)
        assert {(name, each["number"]) for each in says["issued"]} == {each for each in labels if each[0] == name}
        assert {each["gate"] for each in says["not_ready"]} == (set() if name in ready else {"person"})
