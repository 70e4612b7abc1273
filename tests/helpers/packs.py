"""Jobs of a store of which a batch makes something, and what it made of them, read past the code that writes it."""

from __future__ import annotations

import hashlib
import io
import json
import re
import zipfile
from collections.abc import Callable

import sqlalchemy as sql

from ampwright.deliver.demo import demo_files
from ampwright.deliver.documents.book import PAPERS
from ampwright.deliver.store.databases import raw
from ampwright.deliver.store.shape import Place
from ampwright.deliver.store.store import Store
from ampwright.job.files import parse

PRINTED = ("--step", "papers")


def filled(place: Place, jobs_count: int, file: str = "terrace.yaml") -> list[str]:
    """The titles of so many jobs like the one of the demo."""
    store = Store(place)
    text = demo_files()[file]
    titles = [f"job {number}" for number in range(jobs_count)]
    for title in titles:
        store.take_in(re.sub("(?m)^title: .*$", f"title: {title}", text), operation=f"take-{title}", who="Owner",
                      origin="a file")  # fmt: skip
    store.close()
    return titles


def shown(place: Place) -> tuple[list[tuple[str, str]], set[str]]:
    """Job and title of every row of the table of results, and who wrote."""
    opened = raw(place)
    with opened.connect() as link:
        rows = link.execution_options(yield_per=20).execute(
            sql.text("SELECT job, step, body, worker FROM result ORDER BY number"))  # fmt: skip
        found = [((job, TITLES[step](bytes(body))), worker) for job, step, body, worker in rows]
    opened.dispose()
    return [each for each, _ in found], {worker for _, worker in found}


def title_of_pack(body: bytes) -> str:
    """The title of the job in the archive, after every file in it was found to be whole by its sum."""
    with zipfile.ZipFile(io.BytesIO(body)) as packed:
        sums = {line[66:]: line[:64] for line in packed.read("SHA256SUMS").decode().splitlines()}
        assert set(sums) == set(packed.namelist()) - {"SHA256SUMS"}
        assert all(hashlib.sha256(packed.read(name)).hexdigest() == sums[name] for name in sums)
        assert {f"papers/job-{name}.pdf" for name in PAPERS} <= set(sums)
        return str(parse(packed.read("job.yaml").decode()).title)


TITLES: dict[str, Callable[[bytes], str]] = {
    "judge": lambda body: str(json.loads(body)["title"]), "papers": title_of_pack,
}  # fmt: skip
