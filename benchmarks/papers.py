"""How long a full pack of papers takes, as ratios to an empty typst document compiled in the same run.

Cold: a new interpreter reads the job, reckons and prints every paper. Warm: the same process has printed the pack of
one house, and then reads, reckons and prints that of another. The finished job holds its design; the others have theirs
sought first, timed apart. No forecast is made. Beside the time by the clock stands that of the processor, which
does not hold what else the machine does; papers printed at once on several cores take less by the clock.
"""

from __future__ import annotations

import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import typst
from timing import median_s

from ampwright.deliver.demo import write_demo
from ampwright.deliver.documents.book import PAPERS
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.printing import AT_ONCE_COUNT, STANDARDS
from ampwright.deliver.documents.writing import printed
from ampwright.deliver.figures import Figures
from ampwright.job.files import load, parse

EMPTY = b'#set document(title: "empty", date: datetime(year: 2026, month: 1, day: 1))\n#heading[x]'
COLD_TARGET_S, WARM_TARGET_S = 2.0, 0.5
FINISHED, UNDECIDED = "bungalow", ("house_with_garage", "farmhouse", "terrace")
COLD = """
import sys
from pathlib import Path
from ampwright.deliver.cli import ampwright
ampwright(["papers", sys.argv[1], "--years", "0", "--to", sys.argv[2]])
"""
REPEATS, COLD_REPEATS = 5, 3


def main() -> None:
    """Print the table."""
    figures = Figures()
    with tempfile.TemporaryDirectory() as folder:
        list(write_demo(Path(folder)))
        file = Path(folder) / f"{FINISHED}.yaml"
        empty_s = median_s(lambda: typst.compile(EMPTY, format="pdf", pdf_standards=STANDARDS), REPEATS)
        command = [sys.executable, "-c", COLD, str(file), str(Path(folder) / "out")]
        before_s = _of_children_s()
        cold_s = median_s(lambda: subprocess.run(command, check=True, stdout=subprocess.DEVNULL), COLD_REPEATS)
        _told("cold, a new interpreter", cold_s, empty_s, COLD_TARGET_S)
        _told("  of the processor", (_of_children_s() - before_s) / COLD_REPEATS, empty_s, COLD_TARGET_S)
        texts = [file.read_text(encoding="utf-8").replace("Rowan Bungalow", f"House {number}, Rowan Bungalow")
                 for number in range(2 * REPEATS + 1)]  # fmt: skip
        _warm(texts.pop(), figures, AT_ONCE_COUNT)
        for count in (AT_ONCE_COUNT, 1):
            spent = [_warm(texts.pop(), figures, count) for _ in range(REPEATS)]
            by_clock_s, by_processor_s = (statistics.median(each) for each in zip(*spent, strict=True))
            _told(f"warm, {count} at once", by_clock_s, empty_s, WARM_TARGET_S)
            _told("  of the processor", by_processor_s, empty_s, WARM_TARGET_S)
        for name in UNDECIDED:
            _sought(Path(folder) / f"{name}.yaml", figures, by_processor_s)


def _of_children_s() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _warm(text: str, figures: Figures, at_once_count: int) -> tuple[float, float]:
    """Seconds by the clock and of the processor for a whole pack, from the text of the job to the last PDF."""
    by_clock_s, by_processor_s = time.perf_counter(), time.process_time()
    job = parse(text)
    if job.date is None:
        raise SystemExit("the job has no date")
    made = list(printed(Pack(job, job.date, figures), "job.yaml", text, PAPERS, at_once_count))
    spent = time.perf_counter() - by_clock_s, time.process_time() - by_processor_s
    if len(made) < len(PAPERS):
        raise SystemExit("a paper is missing")
    return spent


def _told(what: str, spent_s: float, empty_s: float, target_s: float) -> None:
    print(f"{what:<28} {spent_s:6.2f} s = {spent_s / empty_s:7.1f} x an empty document = "
          f"{spent_s / target_s:5.2f} x the aim of {target_s:g} s")  # fmt: skip


def _sought(file: Path, figures: Figures, warm_s: float) -> None:
    job = load(file)
    if job.date is None:
        raise SystemExit(f"{file.name} has no date")
    pack = Pack(job, job.date, figures)
    began_s = time.process_time()
    count = len(pack.sought[0].front) if pack.sought[0] else 0
    sought_s = time.process_time() - began_s
    print(f"{file.stem:<28} {count} designs sought in {sought_s:.1f} s of the processor = "
          f"{sought_s / warm_s:.1f} x a warm pack")  # fmt: skip


if __name__ == "__main__":
    main()
