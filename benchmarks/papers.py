"""How long the papers of a job take to print, as ratios to an empty typst document compiled in the same run.

Cold: a new interpreter prints a full pack. Warm: the same process prints it again. What is reckoned for the pack
(checks, search for designs, visit list) is timed apart: it is done once a job whatever is printed. No forecast is made.
"""

from __future__ import annotations

import pickle
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import typst
from timing import median_s

from ampwright.assess.catalogue import read_catalogue
from ampwright.assess.quote.book import read_price_book
from ampwright.deliver.demo import write_demo
from ampwright.deliver.documents.blocks import Paper
from ampwright.deliver.documents.book import PAPERS
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.printing import STANDARDS, Source, pdf
from ampwright.job.files import load

EMPTY = b'#set document(title: "empty", date: datetime(year: 2026, month: 1, day: 1))\n#heading[x]'
COLD_TARGET_S, WARM_TARGET_S = 2.0, 0.5
COLD = """
import pickle, sys
from ampwright.deliver.documents.printing import pdf
source, papers = pickle.load(open(sys.argv[1], "rb"))
for each in papers:
    pdf(each, source)
"""


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as folder:
        list(write_demo(Path(folder)))
        for name in ("house_with_garage", "farmhouse", "terrace"):
            _one(Path(folder) / f"{name}.yaml", Path(folder) / "pack.bin")


def _one(file: Path, held: Path) -> None:
    job = load(file)
    if job.date is None:
        raise SystemExit(f"{file.name} has no date")
    pack = Pack(job, job.date, read_catalogue(None), read_price_book(None))
    began_s = time.perf_counter()
    papers: list[Paper] = [each(pack) for each in PAPERS.values()]
    reckoned_s = time.perf_counter() - began_s
    source = Source(pack.name, pack.day, pack.draft, file.name, file.read_text(encoding="utf-8"))
    held.write_bytes(pickle.dumps((source, papers)))
    empty_s = median_s(lambda: typst.compile(EMPTY, format="pdf", pdf_standards=STANDARDS), 5)
    cold_s = median_s(lambda: subprocess.run([sys.executable, "-c", COLD, str(held)], check=True), 3)
    for each in papers:
        pdf(each, source)
    warm_s = median_s(lambda: [pdf(each, source) for each in papers], 5)
    began_s = time.process_time()
    for each in papers:
        pdf(each, source)
    work_s = time.process_time() - began_s
    print(
        f"{file.stem:<18} {len(papers)} papers: cold {cold_s:5.2f} s = {cold_s / empty_s:6.1f} x an empty document"
        f" = {cold_s / COLD_TARGET_S:4.2f} of two seconds; warm {warm_s:5.2f} s = {warm_s / empty_s:5.1f} x"
        f" = {warm_s / WARM_TARGET_S:4.2f} of half a second, of it"
        f" {work_s:4.2f} s of processor time (the rest is waiting, on a machine with other work);"
        f" reckoned in {reckoned_s:5.1f} s = {reckoned_s / cold_s:5.1f} x the cold printing"
    )


if __name__ == "__main__":
    main()
