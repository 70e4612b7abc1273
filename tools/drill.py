"""Plant mistakes, one at a time, in a copy of the source and demand that the tests catch each (make drill).

drill.csv beside this file lists them: a name, the file, the text to find (it must stand there exactly
once) and what to put in its place. Survivors are printed; the exit status is 1 if there is one that
drill.csv does not own up to in its `survives` column, with the reason.
"""

from __future__ import annotations

import csv
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
SUITE = ["tests/core", "tests/facts", "tests/rules", "tests/published", "tests/physics", "tests/assess", "tests/house"]


def planted(row: dict[str, str], folder: Path) -> Path:
    """A copy of src with this mistake in it. Raises SystemExit if the text does not stand there once."""
    shutil.copytree(ROOT / "src", folder / "src", ignore=shutil.ignore_patterns("__pycache__", "*.egg-info"))
    path = folder / "src" / "ampwright" / row["file"]
    text = path.read_text(encoding="utf-8")
    if text.count(row["find"]) != 1:
        raise SystemExit(f"{row['name']}: {row['find']!r} stands {text.count(row['find'])} times in {row['file']}")
    path.write_text(text.replace(row["find"], row["replace"]), encoding="utf-8")
    return folder / "src"


def caught_by(src: Path) -> str:
    """The first test that fails on this source, or nothing."""
    environment = {**os.environ, "PYTHONPATH": str(src), "PYTHONDONTWRITEBYTECODE": "1"}
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-n", "2", "-p", "no:cacheprovider", *SUITE]
    run = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False)
    if run.returncode == 0:
        return ""
    failed = [line for line in run.stdout.splitlines() if line.startswith(("FAILED", "ERROR"))]
    return failed[0].split(" - ")[0] if failed else "the suite does not start"


def main() -> int:
    """Run the drill and say what was caught and what survived."""
    with (ROOT / "tools" / "drill.csv").open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    only = set(sys.argv[1:])
    unowned = 0
    for row in (each for each in rows if not only or each["name"] in only):
        with tempfile.TemporaryDirectory() as folder:
            catcher = caught_by(planted(row, Path(folder)))
        if catcher:
            print(f"caught    {row['name']}: {catcher}", flush=True)
            continue
        unowned += not row["survives"]
        print(f"SURVIVES  {row['name']}: {row['survives'] or 'nobody has said why'}", flush=True)
    print(f"{len(rows)} mistakes planted, {unowned} survive without a stated reason")
    return 1 if unowned else 0


if __name__ == "__main__":
    sys.exit(main())
