"""The commands, run as a person runs them."""

import subprocess
import sys
from pathlib import Path


def run(*words: str, cwd: Path) -> "subprocess.CompletedProcess[str]":
    """Run `ampwright` with these words in a folder."""
    command = [sys.executable, "-m", "ampwright", *words]
    return subprocess.run(command, cwd=cwd, capture_output=True, text=True, check=False)
