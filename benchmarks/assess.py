"""How long `ampwright assess` takes, cold and warm, as ratios measured in one run.

Cold: the whole command on a demo job, against an interpreter that starts and does nothing.
Warm: one rule, against one millisecond and against reading the job file.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from timing import median_s

from ampwright.assess.book import BOOK
from ampwright.deliver.demo import JOBS, write_demo
from ampwright.job.files import load


def command(*words: str) -> Callable[[], object]:
    """A call that runs the interpreter with these words."""
    return lambda: subprocess.run([sys.executable, *words], capture_output=True, check=False)


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as folder:
        write_demo(Path(folder))
        bare_s = median_s(command("-c", "pass"), 9)
        print(f"an interpreter that does nothing      {bare_s * 1000:8.1f} ms")
        for name in JOBS:
            path = Path(folder) / name
            cold_s = median_s(command("-m", "ampwright", "assess", str(path)), 9)
            job = load(path)
            read_s = median_s(lambda path=path: load(path), 9)  # type: ignore[misc]
            book_s = median_s(lambda job=job: BOOK.judge(job), 30)  # type: ignore[misc]
            rule_s = book_s / len(BOOK.regulations)
            print(
                f"{name:<26} cold {cold_s * 1000:6.1f} ms = {cold_s / bare_s:4.1f} x the bare interpreter"
                f" = {cold_s / 0.5:4.2f} of half a second;"
                f" warm {rule_s * 1000:5.3f} ms a rule, all rules = {book_s / read_s:5.2f} x reading the file"
            )


if __name__ == "__main__":
    main()
