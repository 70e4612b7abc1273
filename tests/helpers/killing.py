"""Workers of a batch that are killed at random, and what they do it to."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

from ampwright.deliver.store.shape import Place

SILENT_S = 2


def worker(place: Place, code: str = "") -> subprocess.Popen[bytes]:
    """A worker in a process group of its own, which waits for what is queued; by the command, or by this program."""
    program = ["-c", code] if code else ["-m", "ampwright"]
    command = [sys.executable, *program, "work", "--store", str(place), "--silent", str(SILENT_S)]
    return subprocess.Popen(command, start_new_session=True, stderr=subprocess.DEVNULL)


def batch(place: Place, cwd: Path, *words: str) -> subprocess.Popen[str]:
    """A batch on the jobs of a store, in a process group of its own."""
    command = [sys.executable, "-m", "ampwright", "batch", "--store", str(place), *words]
    return subprocess.Popen(command, cwd=cwd, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
                            start_new_session=True)  # fmt: skip


def pool_of(asked: subprocess.Popen[str]) -> list[int]:
    """The processes that work for a batch on this machine."""
    try:
        children = Path(f"/proc/{asked.pid}/task/{asked.pid}/children").read_text(encoding="ascii").split()
    except FileNotFoundError:
        return []
    return [int(child) for child in children if b"spawn_main" in _words(child)]


def kill(group: int) -> None:
    """Kill a process and all of its group, with no word to anybody."""
    os.killpg(group, signal.SIGKILL)


def _words(process: str) -> bytes:
    try:
        return Path(f"/proc/{process}/cmdline").read_bytes()
    except (FileNotFoundError, ProcessLookupError):
        return b""
